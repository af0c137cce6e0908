"""How tight bundles are packed, and how fast: against the best that is known, and a plain packer.

Equal circles from 1 to 37, 61 and 91, and circles with the radii 1 to n, have published best known
packings (`reference.packings`). Bundles of usual wires have none: their gap is to the bound that no
packing can beat, and to what more work finds. The plain packer is scipy's SLSQP from random starts,
given as much time as ours took. Times are of one thread, loading of libraries not counted.
"""

from __future__ import annotations

import preparation  # noqa: F401  (before numpy)

# isort: split

import time
from collections.abc import Sequence

import attrs
import numpy as np

import report
from loomwright.physics.packing import Packing, pack
from reference.packings import (
    CONSECUTIVE,
    EQUAL,
    EQUAL_LARGE,
    consecutive,
    deepest_overlap,
    one_start,
)

GAP_PCT, SECONDS, LARGE_SECONDS = 1.0, 1.0, 2.0
USUAL_MM = (1.6, 1.9, 2.0, 2.4, 2.5, 3.0, 3.4)
SHARES = (0.3, 0.3, 0.1, 0.1, 0.1, 0.05, 0.05)


@attrs.frozen
class Case:
    """A set of circles with the best outer diameter known, None where none is published."""

    name: str
    diameters: tuple[float, ...]
    best: float | None = None


@attrs.frozen
class Packed:
    """A case packed: wall and processor seconds, and the plain packer's diameter in as long."""

    case: Case
    packing: Packing
    seconds: float
    processor: float
    plain: float

    @property
    def gap_pct(self) -> float:
        """Above the best known [%]; above the bound where none is known."""
        best = self.packing.bound if self.case.best is None else self.case.best
        return 100.0 * (self.packing.diameter / best - 1.0)


def cases(*, quick: bool) -> dict[str, list[Case]]:
    """Groups of cases by name."""
    draw = np.random.default_rng(5)
    usual = [
        Case(f"usual {count}", tuple(draw.choice(USUAL_MM, count, p=SHARES).tolist()))
        for count in (8, 15, 25, 37, 61, 100, 200)
    ]
    equal = [Case(f"equal {n}", (2.0,) * n, 2.0 * best) for n, best in EQUAL.items()]
    large = [Case(f"equal {n}", (2.0,) * n, 2.0 * best) for n, best in EQUAL_LARGE.items()]
    unlike = [
        Case(f"radii 1 to {n}", tuple(consecutive(n)), 2.0 * best)
        for n, best in CONSECUTIVE.items()
    ]
    groups = {
        "equal, 1 to 37": equal[4:6] if quick else equal,
        "radii 1 to n, to 12": unlike[:1] if quick else unlike,
        "usual wires, to 37": usual[:1] if quick else usual[:4],
        "equal, 61 and 91": [] if quick else large,
        "usual wires, 61 to 200": [] if quick else usual[4:],
    }
    return {name: group for name, group in groups.items() if group}


def packed(case: Case, *, seed: int, peer: bool) -> Packed:
    """One case by ours, then by the plain packer for as long."""
    began, used = time.perf_counter(), time.process_time()
    packing = pack(case.diameters, seed=seed)
    seconds, processor = time.perf_counter() - began, time.process_time() - used
    if deepest_overlap(packing.diameters, packing.centres, packing.diameter) > 1e-9:
        raise SystemExit(f"{case.name}: circles overlap")
    plain = plainly(case.diameters, processor, seed) if peer else float("nan")
    return Packed(case, packing, seconds, processor, plain)


def plainly(diameters: Sequence[float], seconds: float, seed: int) -> float:
    """The best of the plain packer's starts in a time, at least of one."""
    draw = np.random.default_rng(seed)
    best, until = float("inf"), time.process_time() + seconds
    while not np.isfinite(best) or time.process_time() < until:
        best = min(best, one_start(diameters, draw))
    return best


def judged(name: str, found: Sequence[Packed]) -> list[report.Figure]:
    """The worst of a group against its targets."""
    worst = max(found, key=lambda each: each.gap_pct)
    slowest = max(found, key=lambda each: each.processor)
    large = max(len(each.case.diameters) for each in found) > 37
    known = worst.case.best is not None
    to = "the best known" if known else "the bound"
    gap = f"{worst.gap_pct:.3f} % ({worst.case.name})"
    limit = LARGE_SECONDS if large else SECONDS
    rows = [
        report.Figure(
            f"{name}: worst gap to {to}", gap, *((f"at most {GAP_PCT:g} %",
            worst.gap_pct <= GAP_PCT) if known and not large else ("", None)),
        ),
        report.Figure(
            "  slowest", f"{slowest.processor:.2f} s ({slowest.case.name})",
            f"at most {limit:g} s", slowest.processor <= limit,
        ),
    ]  # fmt: skip
    against = [each for each in found if np.isfinite(each.plain) and len(each.case.diameters) > 3]
    if against:
        ratios = [each.plain / each.packing.diameter for each in against]
        worse = sum(ratio > 1.0 + 1e-6 for ratio in ratios)
        told = f"{max(ratios):.4f} at most; {worse} of {len(ratios)} above ours"
        rows.append(report.Figure("  plain packer in the same time, over ours", told))
    return rows


def more_work(groups: dict[str, list[Packed]], seed: int) -> list[report.Figure]:
    """What ten times the work from another seed still gains on usual wires."""
    found = []
    for each in groups.get("usual wires, to 37", ()):
        more = pack(each.case.diameters, seed=seed + 1, effort=10.0)
        gain = max(0.0, 100.0 * (each.packing.diameter / more.diameter - 1.0))
        name = f"{each.case.name}: above what ten times the work finds"
        found.append(report.at_most(name, gain, GAP_PCT, " %"))
    return found


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--seed", type=int, default=0, help="of the search and the plain packer")
    options = parser.parse_args()
    report.machine()
    pack([1.0] * 4, effort=0.1)  # loads what is loaded late
    groups, began = cases(quick=options.quick), time.perf_counter()
    found: dict[str, list[Packed]] = {}
    total, done = sum(map(len, groups.values())), 0
    for name, group in groups.items():
        found[name] = []
        for case in group:
            peer = len(case.diameters) <= 37
            found[name].append(packed(case, seed=options.seed, peer=peer))
            done += 1
            report.progress(done, total, case.name, began)
    rows = [row for name, each in found.items() for row in judged(name, each)]
    if options.quick:
        rows = [report.unjudged(row) for row in rows]
    else:
        rows += more_work(found, options.seed)
    report.figures("Bundles packed, one thread", rows)
    each_case([one for group in found.values() for one in group])
    if options.quick:
        print(report.QUICK_NOTE)


def each_case(found: Sequence[Packed]) -> None:
    """Every case on a line."""
    report.table(
        "Each case", ("case", "outer", "to best %", "to bound %", "s", "cpu s", "plain/ours"),
        [
            (
                one.case.name, f"{one.packing.diameter:.4f}",
                "" if one.case.best is None else f"{one.gap_pct:.4f}",
                f"{100 * one.packing.gap:.1f}", f"{one.seconds:.2f}", f"{one.processor:.2f}",
                "" if np.isnan(one.plain) else f"{one.plain / one.packing.diameter:.4f}",
            )
            for one in found
        ],
    )  # fmt: skip


if __name__ == "__main__":
    main()

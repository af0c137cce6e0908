"""How exact the closed forms are: one and two faults against 50 digits and against ngspice.

Every case is one reading of one random loom. `reference.exact` is the judge (star-mesh elimination
in 50-digit arithmetic, over-range by connection); ngspice is a second one, good to its own
rounding. Besides plain random faults there are cases made to hurt: pairs of edges that are a cut
but for some megohms, two shunts onto one floating island, and a stretched loom with sub-milliohm
wires beside megohm inputs.
"""

from __future__ import annotations

import preparation  # noqa: F401  (before numpy)

# isort: split

import math
import time
from collections import defaultdict

import attrs

import report
from reference import exact, spice
from reference.looms import make_job
from solver_cases import KINDS, Case, LoomCases

SIZES = (60, 120, 250, 500)
EACH = {60: 80, 120: 50, 250: 25, 500: 12}
RELATIVE, FLOOR = 1e-10, 1e-6  # floor in ohm or V
SPICE_RELATIVE = 1e-6


@attrs.frozen
class Judged:
    """One case with its answers [ohm or V] and how far they are apart."""

    case: Case
    ours: float
    true: float
    spice: float | None

    @property
    def same_class(self) -> bool:
        """Whether over-range was told right."""
        return math.isinf(self.ours) == math.isinf(self.true)

    @property
    def error(self) -> float:
        """Absolute error; 0 where both are over-range, infinite where one is."""
        return _apart(self.ours, self.true)

    @property
    def relative(self) -> float:
        """Relative error; that within the floor counts as 0."""
        return self.scaled(self.error)

    def scaled(self, apart: float) -> float:
        """A difference relative to the reading (volts: to 1 V or more), 0 within the floor."""
        least = 1.0 if self.case.quantity == "volt" else FLOOR
        return 0.0 if apart <= FLOOR else apart / max(abs(self.true), least)

    @property
    def spice_apart(self) -> float:
        """Disagreement with ngspice, scaled alike; 0 where it was not asked."""
        return 0.0 if self.spice is None else self.scaled(_apart(self.ours, self.spice))

    @property
    def within(self) -> bool:
        """Whether the target holds."""
        return self.same_class and self.relative <= RELATIVE


def _apart(one: float, other: float) -> float:
    if math.isinf(one) or math.isinf(other):
        return 0.0 if one == other else math.inf
    return abs(one - other)


def judge(cases: list[Case]) -> list[Judged]:
    """Solve the cases three ways; ngspice only where a second opinion is wanted and installed."""
    circuits = [case.circuit() for case in cases]
    by_spice: list[float | None] = [None] * len(cases)
    if spice.installed():
        by_spice = list(spice.together(circuits))
    judged = []
    for case, circuit, other in zip(cases, circuits, by_spice, strict=True):
        solve = exact.ohm if circuit.quantity == "ohm" else exact.volt
        true = float(solve(circuit.nodes, circuit.branches, circuit.plus, circuit.minus))
        judged.append(Judged(case, case.ours, true, other))
    return judged


def by_kind(judged: list[Judged]) -> list[tuple[object, ...]]:
    """A row a kind: cases, wrong class, worst errors."""
    groups: dict[str, list[Judged]] = defaultdict(list)
    for each in judged:
        groups[each.case.kind].append(each)
    rows: list[tuple[object, ...]] = []
    for kind in KINDS:
        some = groups.get(kind, [])
        if not some:
            rows.append((kind, 0, "-", "-", "-", "-"))
            continue
        rows.append(
            (
                kind,
                len(some),
                sum(not each.same_class for each in some),
                f"{max(each.relative for each in some):.1e}",
                f"{_spice_worst(some):.1e}" if some[0].spice is not None else "-",
                sum(not each.within for each in some),
            )
        )
    return rows


def _spice_worst(judged: list[Judged]) -> float:
    """Worst disagreement with ngspice, beyond its floor."""
    return max((each.spice_apart for each in judged), default=0.0)


def verdicts(judged: list[Judged]) -> list[report.Figure]:
    """The targets."""
    wrong = sum(not each.same_class for each in judged)
    found = [
        report.Figure(
            "worst error against 50 digits",
            f"{max(each.relative for each in judged):.1e} relative",
            "at most 1e-10, or 1 µΩ (1 µV)",
            all(each.within for each in judged),
        ),
        report.Figure("over-range told wrong", f"{wrong} of {len(judged)}", "none", wrong == 0),
    ]
    if any(each.spice is not None for each in judged):
        found += spice_verdicts(judged)
    return found


def spice_verdicts(judged: list[Judged]) -> list[report.Figure]:
    """Where ngspice differs by more than its target, 50 digits say which of the two is off."""
    apart = [each for each in judged if each.spice_apart > SPICE_RELATIVE]
    its_own = sum(each.within for each in apart)
    agreeing = [each for each in judged if each.spice_apart <= SPICE_RELATIVE]
    spice_worst = max(each.scaled(_apart(each.true, each.spice or 0.0)) for each in judged)
    text = f"{len(apart)} of {len(judged)} beyond 1e-6; in {its_own} of them ngspice is off"
    return [
        report.Figure("disagreement with ngspice", text, "none of ours", its_own == len(apart)),
        report.Figure("worst of the others", f"{_spice_worst(agreeing):.1e} relative"),
        report.Figure(
            "ngspice's own worst against 50 digits",
            f"{spice_worst:.1e} relative",
        ),
    ]


def show_worst(judged: list[Judged], most: int = 12) -> None:
    """Print the cases that miss the target, worst first, so that they can be made again."""
    missed = sorted((each for each in judged if not each.within), key=lambda each: -each.relative)
    if not missed:
        return
    report.table(
        f"Cases that miss the target ({len(missed)}; the worst {min(most, len(missed))})",
        ("case", "ours", "50 digits", "ngspice", "relative"),
        [
            (
                each.case.label,
                f"{each.ours:.12g}",
                f"{each.true:.12g}",
                "-" if each.spice is None else f"{each.spice:.12g}",
                f"{each.relative:.1e}",
            )
            for each in missed[:most]
        ],
    )


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--seed", type=int, default=1, help="of the looms and the cases")
    parser.add_argument("--scale", type=float, default=1.0, help="times as many cases")
    options = parser.parse_args()
    report.machine()
    began = time.perf_counter()
    judged: list[Judged] = []
    for wires in SIZES[:1] if options.quick else SIZES:
        each = 2 if options.quick else max(1, round(EACH[wires] * options.scale))
        looms = LoomCases(make_job(wires, options.seed), wires, options.seed)
        found = judge(looms.cases(each))
        judged += found
        report.table(
            f"{wires} wires",
            ("kind", "readings", "wrong class", "worst vs 50 digits", "worst vs ngspice", "missed"),
            by_kind(found),
        )
    show_worst(judged)
    seconds = time.perf_counter() - began
    told = verdicts(judged)
    told = [report.unjudged(figure) for figure in told] if options.quick else told
    report.figures(f"All {len(judged)} readings ({seconds:.0f} s)", told)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()

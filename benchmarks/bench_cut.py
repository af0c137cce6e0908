"""How long a cut plan takes, how often it is proved, and how much wire is lost.

Looms are invented: wires of a few colours and sections, reels of 25 and 100 m, a drawer of
offcuts. Published bin-packing instances are solved to the optimum that is told with them.
"""

from __future__ import annotations

import preparation  # before numpy

# isort: split

import random
import time
from collections.abc import Sequence

import attrs

import report
from loomwright import bootstrap
from loomwright.build.cut_plan import cut_lengths
from loomwright.loom import Job, Part, StockRow
from loomwright.services.cut import cut
from sample.cut_instances import TEXTBOOK, UNIFORM, UNIFORM_LENGTH

DEMO = preparation.HOUSE / "examples" / "tarn-2300"
TARGET_S = {60: 2.0, 500: 10.0}
COLOURS = {60: ("BK", "BN", "RD"), 500: ("BK", "BN", "RD", "GN", "YE", "WH", "BU", "GY")}
SECTIONS = (0.5, 0.75, 1.0, 1.5)
LOOMS = 5


@attrs.frozen
class Planned:
    """One loom: seconds, kinds of wire, how many of them are proved, metres needed and lost."""

    seconds: float
    kinds: int
    proved: int
    needed_mm: int
    waste_mm: int


def invented(wires: int, seed: int) -> tuple[Job, dict[str, float]]:
    """The example's job with other wires, and what each is cut to."""
    chance, job = random.Random(seed), bootstrap.jobs().read(DEMO)
    rows, cut_mm = [], {}
    for number in range(wires):
        name = f"N{number}"
        rows.append(attrs.evolve(
            chance.choice(job.wires), wire=name, colour=chance.choice(COLOURS[wires]),
            section_mm2=chance.choice(SECTIONS), insulation=None,
        ))  # fmt: skip
        cut_mm[name] = float(chance.randint(300, 4500))
    parts = [
        Part(part=f"WIRE-{section}", kind="wire", section_min_mm2=section, section_max_mm2=section)
        for section in SECTIONS
    ]
    stock = [
        StockRow(part=part.part, colour=colour, count=chance.randint(500, 9000) / 1000, unit="m")
        for part in parts
        for colour in COLOURS[wires]
        for _ in range(chance.randint(0, 8))
    ]
    changed = attrs.evolve(
        job, wires=tuple(rows), catalogue=tuple(parts), stock=tuple(stock), offers=(), plugs=()
    )
    return changed, cut_mm


def planned(wires: int, seed: int) -> Planned:
    """Plan one invented loom."""
    job, cut_mm = invented(wires, seed)
    began = time.perf_counter()
    made = cut(job, cut_mm=cut_mm)
    return Planned(
        seconds=time.perf_counter() - began,
        kinds=len(made.kinds),
        proved=sum(kind.proved for kind in made.kinds),
        needed_mm=sum(kind.needed_mm for kind in made.kinds),
        waste_mm=sum(kind.waste_mm for kind in made.kinds),
    )


def of_looms(wires: int, found: Sequence[Planned]) -> list[report.Figure]:
    """Looms of one size against their targets."""
    kinds, proved = sum(each.kinds for each in found), sum(each.proved for each in found)
    lost = sum(each.waste_mm for each in found) / sum(each.needed_mm for each in found)
    worst = max(each.seconds for each in found)
    return [
        report.at_most(f"{wires} wires: plan, worst of {len(found)}", worst, TARGET_S[wires], " s"),
        report.share("  kinds of wire with a proved plan", proved, kinds),
        report.Figure("  short ends lost, of the wire needed", f"{100 * lost:.2f} %"),
    ]


def of_instances(names: Sequence[str]) -> list[report.Figure]:
    """Published instances: whether the optimum is found and proved, and in what time."""
    told, right = [], 0
    for name in names:
        if name in TEXTBOOK:
            reel, counts, best = TEXTBOOK[name]
            pieces = [length for length, count in counts.items() for _ in range(count)]
        else:
            reel, (best, pieces) = UNIFORM_LENGTH, UNIFORM[name]
        began = time.perf_counter()
        found = cut_lengths(pieces, reels_mm=[reel], seconds=60.0)
        told.append(time.perf_counter() - began)
        right += (found.reels.got, found.reels.least) == (best, best)
    return [
        report.share("published instances solved and proved", right, len(names), target=1.0),
        report.at_most("  worst time", max(told), 10.0, " s"),
    ]


def main() -> None:
    options = report.options(__doc__).parse_args()
    report.machine()
    looms = 1 if options.quick else LOOMS
    shown = []
    for wires in (60,) if options.quick else (60, 500):
        shown += of_looms(wires, [planned(wires, seed) for seed in range(looms)])
    shown += of_instances([*TEXTBOOK] if options.quick else [*TEXTBOOK, *UNIFORM])
    report.figures("Cut plans", [report.unjudged(f) for f in shown] if options.quick else shown)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()

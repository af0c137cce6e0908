"""How long the list that proves a finished loom takes, every single mistake tried: up to 500 wires.

The list's worth is counted with it: lines against pairs of points, isolation tests against pairs
of nets, and the share of mistakes that it shows. Each size is measured in this process, once warm.
"""

from __future__ import annotations

import preparation  # before numpy

# isort: split

import resource
import time
from itertools import pairwise
from math import comb

import attrs

import report
from loomwright import bootstrap
from loomwright.services.verify import VerifyReport, verify
from reference.looms import make_job

DEMO = preparation.HOUSE / "examples" / "tarn-2300"
SIZES = (0, 120, 500)
"""Wires; 0 is the example job."""
TARGET_S = {0: 2.0, 500: 30.0}
LONGEST_SILENCE_S = 2.0
REPEATS = 3


@attrs.frozen
class Proved:
    """One size: its list, seconds of each run, the longest time between two looks for a stop."""

    wires: int
    made: VerifyReport
    seconds: list[float]
    silence: float


def measured(size: int, repeats: int) -> Proved:
    """Make the list some times over."""
    job = make_job(size, 1) if size else bootstrap.jobs().read(DEMO)
    seconds: list[float] = []
    asked: list[float] = []

    def progress(_step: str, _share: float) -> bool:
        asked.append(time.perf_counter())
        return True

    for _ in range(repeats):
        began = time.perf_counter()
        asked.append(began)
        made = verify(job, progress)
        seconds.append(time.perf_counter() - began)
    silence = max(later - before for before, later in pairwise(asked))
    return Proved(wires=len(job.wires), made=made, seconds=seconds, silence=silence)


def verdicts(size: int, found: Proved) -> list[report.Figure]:
    """One size against its targets, and what the list saves and shows."""
    made, worst, target = found.made, max(found.seconds), TARGET_S.get(size)
    name = f"{'example job' if not size else f'{found.wires} wires'}: list and all mistakes"
    pairs = comb(len(made.nets), 2)
    tried = sum(each.made for each in made.mistakes)
    passing = sum(len(each.passing) for each in made.mistakes)
    return [
        report.Figure(name, f"{report.number(worst)} s")
        if target is None
        else report.at_most(name, worst, target, " s"),
        report.at_most("  longest wait for a stop", found.silence, LONGEST_SILENCE_S, " s"),
        report.Figure("  lines of continuity", str(len(made.lines))),
        report.Figure(
            "  isolation tests: fixture, by hand, pairs",
            f"{len(made.fixture)}, {len(made.by_hand)}, {report.number(pairs)}",
        ),
        report.Figure("  mistakes tried", report.number(tried)),
        report.Figure("  of them let pass", report.number(passing)),
    ]


def main() -> None:
    options = report.options(__doc__).parse_args()
    report.machine()
    sizes = SIZES[:1] if options.quick else SIZES
    found = {size: measured(size, 1 if options.quick else REPEATS) for size in sizes}
    shown = [figure for size, each in found.items() for figure in verdicts(size, each)]
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    shown.append(report.Figure("peak memory", f"{report.number(peak)} MB"))
    report.figures("Lists", [report.unjudged(f) for f in shown] if options.quick else shown)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()

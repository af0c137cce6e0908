"""How long a board takes, and how large it is: 60, 120 and 500 wires, and the example job.

Each board is proved to be one by the check (`board_layout.faults`): true lengths, no crossing, room
between. Times are of one thread.
"""

from __future__ import annotations

import preparation  # before numpy

# isort: split

import time

import attrs

import report
from branched_looms import branched_job
from loomwright import bootstrap
from loomwright.build.board_layout import faults
from loomwright.loom import Job
from loomwright.services.board import board

DEMO = preparation.HOUSE / "examples" / "tarn-2300"
SIZES = ((60, 15), (120, 30), (500, 120))
"""Wires and branches."""
TARGET_S = {0: 1.0, 60: 1.0, 500: 10.0}
SEEDS = (1, 2, 3)


@attrs.frozen
class Laid:
    """The boards of one loom: seconds for all; of the largest its size, and what is wrong."""

    seconds: float
    branches: int
    wide_mm: float
    high_mm: float
    clear_mm: float
    fan: bool
    apart: int
    faults: int
    strips: float

    @property
    def words(self) -> str:
        """Its size in words."""
        fan = ", a plain fan" if self.fan else ""
        return (
            f"{self.wide_mm:.0f} x {self.high_mm:.0f} mm, {self.branches} branches, "
            f"{self.clear_mm:.0f} mm clear, {self.apart} boxes apart{fan}"
        )


def laid(job: Job) -> Laid:
    """Lay a loom out."""
    began = time.perf_counter()
    made = board(job)
    seconds = time.perf_counter() - began
    each = max(made.boards, key=lambda board: len(board.layout.runs)).layout
    long = sum(run.branch.length_mm or 0.0 for run in each.runs)
    used = long * each.clear_mm + sum(box.wide * box.high for box in each.boxes)
    return Laid(
        seconds=seconds, branches=len(each.runs), wide_mm=each.wide_mm, high_mm=each.high_mm,
        clear_mm=each.clear_mm, fan=each.fan,
        apart=sum(box.leader is None for box in each.boxes),
        faults=sum(len(faults(board.layout)) for board in made.boards),
        strips=used / (each.wide_mm * each.high_mm),
    )  # fmt: skip


def verdicts(name: str, wires: int, found: list[Laid]) -> list[report.Figure]:
    """The looms of one size against the targets."""
    worst, target = max(each.seconds for each in found), TARGET_S.get(wires)
    time_name = f"{name}: worst of {len(found)}"
    return [
        report.Figure(time_name, f"{report.number(worst)} s")
        if target is None
        else report.at_most(time_name, worst, target, " s"),
        report.at_most("  faults by the check", sum(each.faults for each in found), 0),
        report.Figure(
            "  strips and boxes of the board's area",
            f"{100 * sum(each.strips for each in found) / len(found):.0f} %",
        ),
        *(report.Figure("  largest board", each.words) for each in found),
    ]


def main() -> None:
    options = report.options(__doc__).parse_args()
    report.machine()
    shown = verdicts("example job", 0, [laid(bootstrap.jobs().read(DEMO))])
    sizes, seeds = (SIZES[:1], SEEDS[:1]) if options.quick else (SIZES, SEEDS)
    for wires, branches in sizes:
        found = [laid(branched_job(wires, branches, seed)) for seed in seeds]
        shown += verdicts(f"{wires} wires, {branches} branches", wires, found)
    report.figures("Boards", [report.unjudged(f) for f in shown] if options.quick else shown)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()

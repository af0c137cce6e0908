"""How long a plan takes, with its optimum proven: the example job, 60 wires, and ten times that.

Each size is measured in a process of its own. A plan holds the diagnosis, three offers, the free
choice, the order of work, and what would change the choice; the solver stops only at a proven
optimum (no gap is allowed), so that a time is the time to a proof.
"""

from __future__ import annotations

import preparation  # before numpy

# isort: split

import json
import math
import resource
import subprocess
import sys
import time

import attrs

import report
from loomwright import bootstrap
from loomwright.services.plan import plan
from surveyed_looms import surveyed_job

DEMO = preparation.HOUSE / "examples" / "tarn-2300"
SIZES = (0, 60, 600)
"""Wires; 0 is the example job."""
TARGET_S = {0: 2.0, 60: 2.0}
REPEATS = 3


@attrs.frozen
class Planned:
    """One size: plugs, seconds of each plan, items that could be cured, cures chosen, memory."""

    wires: int
    plugs: int
    seconds: list[float]
    items: int
    cures: int
    peak_mb: float


def measured_here(size: int, repeats: int) -> Planned:
    """Plan in this process, some times over."""
    job = surveyed_job(size) if size else bootstrap.jobs().read(DEMO)
    seconds = []
    for _ in range(repeats):
        began = time.perf_counter()
        made = plan(job)
        seconds.append(time.perf_counter() - began)
    chosen = made.pays.choice
    return Planned(
        wires=len(job.wires), plugs=len(job.plugs), seconds=seconds, items=len(made.items),
        cures=0 if chosen is None else len(chosen.cures),
        peak_mb=resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0,
    )  # fmt: skip


def in_fresh_process(size: int, repeats: int) -> Planned:
    """`measured_here` in a subprocess."""
    done = subprocess.run(
        [sys.executable, __file__, "--measure", str(size), str(repeats)],
        capture_output=True, text=True, check=False, timeout=1800,
    )  # fmt: skip
    if done.returncode:
        raise SystemExit(f"{size} wires: the measuring process failed:\n{done.stderr[-2000:]}")
    return Planned(**json.loads(done.stdout.splitlines()[-1]))


def verdicts(size: int, found: Planned) -> list[report.Figure]:
    """One size against its targets."""
    loom = f"{found.wires} wires, {found.plugs} plugs"
    name = f"{'example job' if not size else loom}: plan, worst of {len(found.seconds)}"
    worst, target = max(found.seconds), TARGET_S.get(size)
    return [
        report.Figure(name, f"{report.number(worst)} s")
        if target is None
        else report.at_most(name, worst, target, " s"),
        report.Figure("  items that could be cured", str(found.items)),
        report.Figure("  cures of what pays", str(found.cures)),
        report.Figure("  peak memory", f"{report.number(found.peak_mb)} MB"),
    ]


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--measure", nargs=2, type=int, help="for the measuring process only")
    options = parser.parse_args()
    if options.measure:
        print(json.dumps(attrs.asdict(measured_here(*options.measure))))
        return
    report.machine()
    sizes = SIZES[:1] if options.quick else SIZES
    found = {size: in_fresh_process(size, 1 if options.quick else REPEATS) for size in sizes}
    shown = [figure for size, each in found.items() for figure in verdicts(size, each)]
    report.figures("Plans", [report.unjudged(f) for f in shown] if options.quick else shown)
    if options.quick:
        print(report.QUICK_NOTE)
        return
    one, other = found[60], found[600]
    power = math.log(min(other.seconds) / min(one.seconds)) / math.log(other.wires / one.wires)
    print(f"\nFrom {one.wires} to {other.wires} wires the time grows as wires^{power:.2f}")


if __name__ == "__main__":
    main()

"""How long the full pack of papers takes: the example job, 60 wires, and ten times that.

The whole command is timed beside a bare start of Python, the sizes each in a process of its own.
What the services work out and what setting it in type takes are told apart.
"""

from __future__ import annotations

import preparation  # before numpy

# isort: split

import json
import math
import resource
import statistics
import subprocess
import sys
import tempfile
import time

import attrs

import report
from loomwright import bootstrap
from loomwright.documents.pack import papers
from loomwright.documents.typesetting import pages, pdf
from loomwright.services.workup import WorkUp
from surveyed_looms import surveyed_job

DEMO = preparation.HOUSE / "examples" / "tarn-2300"
SIZES, QUICK = (0, 60, 600), (12,)
"""Wires; 0 is the example job."""
QUICK_KINDS = "labels,tests"
TARGET_S = 3.0
"""The full pack of the example job, command start to finish."""
REPEATS = 3
DAY = "2026-03-21"
PROGRAM = "import sys; from loomwright.cli import main; sys.exit(main())"


@attrs.frozen
class Set:
    """One size: seconds of working out and of setting in type, papers, pages, peak memory."""

    wires: int
    plugs: int
    worked_s: float
    set_s: float
    papers: int
    pages: int
    peak_mb: float


def measured_here(size: int) -> Set:
    """Make the pack in this process, in memory."""
    job = surveyed_job(size) if size else bootstrap.jobs().read(DEMO)
    began = time.perf_counter()
    made = list(papers(WorkUp(job), made_on=DAY))
    worked = time.perf_counter() - began
    counted = [pages(pdf(paper)) for paper in made]
    return Set(
        wires=len(job.wires), plugs=len(job.plugs), worked_s=worked,
        set_s=time.perf_counter() - began - worked, papers=len(made), pages=sum(counted),
        peak_mb=resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0,
    )  # fmt: skip


def in_fresh_process(size: int) -> Set:
    """`measured_here` in a subprocess."""
    done = subprocess.run(
        [sys.executable, __file__, "--measure", str(size)],
        capture_output=True, text=True, check=False, timeout=1800,
    )  # fmt: skip
    if done.returncode:
        raise SystemExit(f"{size} wires: the measuring process failed:\n{done.stderr[-2000:]}")
    return Set(**json.loads(done.stdout.splitlines()[-1]))


def wall_s(*arguments: str, repeats: int) -> float:
    """Median wall time of a Python program, start to finish [s]."""
    times = []
    for _ in range(repeats):
        began = time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True, timeout=600)
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def command(repeats: int, kinds: str = "") -> list[report.Figure]:
    """The whole command beside a bare start; only some kinds of papers where they are given."""
    bare = wall_s("-c", "pass", repeats=repeats)
    with tempfile.TemporaryDirectory() as folder:
        line = ("-c", PROGRAM, "print", str(DEMO), "--out", folder, "--date", DAY, "--only", kinds)
        pack = wall_s(*line, repeats=repeats)
    what = kinds or "full pack"
    return [
        report.at_most(f"{what} of the example job, command", pack, TARGET_S, " s"),
        report.Figure("  a bare start of Python", f"{report.number(bare)} s"),
        report.Figure("  the pack in bare starts", f"{report.number(pack / bare)}"),
    ]


def told(size: int, found: Set) -> list[report.Figure]:
    """One size as figures."""
    loom = f"{found.wires} wires, {found.plugs} plugs" if size else "example job"
    a_page = 1000 * found.set_s / max(found.pages, 1)
    return [
        report.Figure(f"{loom}: working out", f"{report.number(found.worked_s)} s"),
        report.Figure(
            f"  setting {found.papers} papers, {found.pages} pages",
            f"{report.number(found.set_s)} s, {report.number(a_page)} ms a page",
        ),
        report.Figure("  peak memory", f"{report.number(found.peak_mb)} MB"),
    ]


def growth(one: Set, other: Set) -> None:
    """Print how each share of the time grows with the number of wires."""
    ratio = math.log(other.wires / one.wires)
    rows = []
    for name in ("worked_s", "set_s", "pages", "peak_mb"):
        first, last = float(getattr(one, name)), float(getattr(other, name))
        power = math.log(last / first) / ratio
        rows.append((name, report.number(first), report.number(last), f"wires^{power:.2f}"))
    heads = ("growth", f"{one.wires} wires", f"{other.wires} wires", "as")
    report.table(f"From {one.wires} to {other.wires} wires", heads, rows)


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--measure", type=int, help="for the measuring process only")
    options = parser.parse_args()
    if options.measure is not None:
        print(json.dumps(attrs.asdict(measured_here(options.measure))))
        return
    report.machine()
    sizes = QUICK if options.quick else SIZES
    shown = command(1, QUICK_KINDS) if options.quick else command(REPEATS)
    found = {size: in_fresh_process(size) for size in sizes}
    shown += [figure for size, each in found.items() for figure in told(size, each)]
    report.figures("Papers", [report.unjudged(f) for f in shown] if options.quick else shown)
    if options.quick:
        print(report.QUICK_NOTE)
        return
    growth(found[60], found[600])


if __name__ == "__main__":
    main()

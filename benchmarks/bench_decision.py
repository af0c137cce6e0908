"""How long a person waits: "given these readings, which next?", model build, and the commands.

Each size is measured in a process of its own, so that its peak memory is its own. The make-believe
workshop that draws the faults and answers the readings stands for the loom and its owner: it works
in another process, and its memory is told apart. A decision is one new reading taken in, the
posterior with pairs, and the next suggestions. From bare readings means that the whole list is
taken in anew on a built model, as a command does that reads a job folder.
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
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path

import attrs
import numpy as np

import report
from loomwright.diagnosis.model import Model, Probe
from loomwright.diagnosis.weighing import Diagnosis
from policies import Advised
from reference.looms import make_job
from reference.workshop import Bench, Drawer, Mix, Request
from simulated_jobs import request

SIZES, QUICK = (60, 120, 250, 500), (12,)
TARGET_S = {60: (0.1, 0.5), 500: (1.5, None)}  # median, worst
BUILD_S = {60: 1.0, 500: 10.0}
MEMORY_MB = {500: 500.0}
JOBS, READINGS = 4, 12
COMMANDS = (("--help", 0.3), ("suspects examples/tarn-2300", 1.0))
REPEATS = 5
LIMIT_MB = 4000
"""Address space of a measuring process: a benchmark must not bring the machine to its knees."""


@attrs.frozen
class Measured:
    """One size: seconds of each kind of wait, processor time of decisions, peak memory.

    That of the make-believe workshop stands beside it.
    """

    wires: int
    build_s: float
    first_s: float
    decisions_s: list[float]
    busy_s: list[float]
    anew_s: list[float]
    peak_mb: float
    start_mb: float
    workshop_mb: float = 0.0
    ran_out: str = ""


class Workshop:
    """The make-believe workshop in a process of its own.

    Parameters
    ----------
    wires, seed : of the loom
    """

    def __init__(self, wires: int, seed: int) -> None:
        context = get_context("spawn")
        self.pipe, there = context.Pipe()
        self.process = context.Process(target=_at_work, args=(there, wires, seed), daemon=True)
        self.process.start()
        there.close()

    def begin(self, number: int) -> None:
        """Draw the faults of the next job."""
        self.pipe.send(number)
        self.pipe.recv()

    def answer(self, asked: Request) -> float:
        """What the meter shows [ohm or V]."""
        self.pipe.send(asked)
        return float(self.pipe.recv())

    def close(self) -> float:
        """Send it home; its peak memory [MB]."""
        self.pipe.send(None)
        peak = float(self.pipe.recv())
        self.process.join()
        return peak


def _at_work(pipe: Connection, wires: int, seed: int) -> None:
    job = make_job(wires, seed)
    drawer, rng = Drawer(job), np.random.default_rng([wires, seed, 17])
    mix = Mix(sound=0.0, single=0.5, double=0.5)
    bench = None
    while (asked := pipe.recv()) is not None:
        if isinstance(asked, Request) and bench is not None:
            pipe.send(bench.answer(asked))
        else:
            bench = Bench(job, drawer.draw(rng, mix).faults, seed=asked)
            pipe.send(0.0)
    pipe.send(peak_mb())


class Measurement:
    """One model and some jobs on it, each wait timed; for a process of its own.

    Parameters
    ----------
    wires, seed : of the loom
    """

    def __init__(self, wires: int, seed: int) -> None:
        self.job = make_job(wires, seed)
        self.workshop = Workshop(wires, seed)
        start = peak_mb()
        began = time.perf_counter()
        self.model = Model(self.job)
        Diagnosis(self.model)  # builds faults, cells and places
        _ = self.model.singles
        build = time.perf_counter() - began
        self.found = Measured(wires, build, 0.0, [], [], [], 0.0, start)

    def run(self, jobs: int, readings: int) -> Measured:
        """So many jobs of at most so many readings; what there is when memory runs out."""
        ran_out = ""
        try:
            self.first()
            for number in range(jobs):
                self.one_job(number, readings)
        except MemoryError as shortage:
            ran_out = f"{type(shortage).__name__}: {shortage}"
        peak = peak_mb()
        return attrs.evolve(
            self.found, peak_mb=peak, workshop_mb=self.workshop.close(), ran_out=ran_out
        )

    def first(self) -> None:
        diagnosis = Diagnosis(self.model)
        began = time.perf_counter()
        Advised(diagnosis).next(diagnosis.posterior())
        self.found = attrs.evolve(self.found, first_s=time.perf_counter() - began)

    def one_job(self, number: int, readings: int) -> None:
        """Take readings until a claim; then, with all else forgotten, take the list in anew."""
        taken = self.decided(number, readings)
        began = time.perf_counter()
        again = Diagnosis(self.model)
        for probe, value in taken:
            again.add(probe, value)
        Advised(again, number).next(again.posterior())
        self.found.anew_s.append(time.perf_counter() - began)

    def decided(self, number: int, readings: int) -> list[tuple[Probe, float]]:
        """The readings of one job, each decision timed."""
        self.workshop.begin(number)
        diagnosis = Diagnosis(self.model)
        policy = Advised(diagnosis, number)
        chosen = policy.next(diagnosis.posterior())
        taken: list[tuple[Probe, float]] = []
        while chosen is not None and len(taken) < readings:
            value = self.workshop.answer(request(chosen.probe))
            taken.append((chosen.probe, value))
            began, busy = time.perf_counter(), time.process_time()
            diagnosis.add(chosen.probe, value)
            posterior = diagnosis.posterior()
            chosen = policy.next(posterior)
            self.found.decisions_s.append(time.perf_counter() - began)
            self.found.busy_s.append(time.process_time() - busy)
            if posterior.claimed is not None:
                break
        return taken


def measured_here(wires: int, jobs: int, readings: int, seed: int) -> Measured:
    """Measure in this process, with a limit on its memory."""
    limit = LIMIT_MB * 1024 * 1024
    resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
    return Measurement(wires, seed).run(jobs, readings)


def peak_mb() -> float:
    """Peak resident memory of this process [MB]; Linux counts it in KB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def in_fresh_process(wires: int, jobs: int, readings: int, seed: int) -> Measured:
    """`measured_here` in a subprocess."""
    arguments = [str(each) for each in (wires, jobs, readings, seed)]
    done = subprocess.run(
        [sys.executable, __file__, "--measure", *arguments],
        capture_output=True, text=True, check=False, timeout=3600,
    )  # fmt: skip
    if done.returncode:
        raise SystemExit(f"{wires} wires: the measuring process failed:\n{done.stderr[-2000:]}")
    return Measured(**json.loads(done.stdout.splitlines()[-1]))


def verdicts(size: Measured) -> list[report.Figure]:
    """One size against its targets; nothing is judged met when memory ran out on the way."""
    wires, waits = size.wires, size.decisions_s
    median, worst = TARGET_S.get(wires, (None, None))
    found = [_at_most(f"{wires} wires: model build", size.build_s, BUILD_S.get(wires))]
    if size.first_s:
        found.append(_at_most("  first suggestion, settings solved", size.first_s, None))
    if waits:
        found += [
            _at_most(f"  decision, median of {len(waits)}", float(np.median(waits)), median),
            _at_most("  decision, worst", max(waits), worst),
            _at_most("  processor time of it, median", float(np.median(size.busy_s)), None),
            _at_most("  processor time of it, worst", max(size.busy_s), None),
        ]
    if size.anew_s:
        found.append(_at_most("  from bare readings, worst", max(size.anew_s), None))
    limit = MEMORY_MB.get(wires)
    found.append(_at_most("  peak memory", size.peak_mb, limit, " MB"))
    found.append(_at_most("  make-believe workshop, not in it", size.workshop_mb, None, " MB"))
    if size.ran_out:
        text = f"ran out at {LIMIT_MB} MB after {len(waits)} decisions"
        target = "stays within" if limit is None else f"at most {limit:g} MB"
        found.append(report.Figure("  memory", text, target, False))
    return found


def _at_most(name: str, value: float, target: float | None, unit: str = " s") -> report.Figure:
    if target is None:
        return report.Figure(name, f"{report.number(value)}{unit}")
    return report.at_most(name, value, target, unit)


def growth(sizes: list[Measured]) -> None:
    """Print how each wait grows with the number of wires: p of wires^p between the ends."""
    one, other = sizes[0], sizes[-1]
    ratio = math.log(other.wires / one.wires)
    rows = []
    for name, value in (
        ("decision, median", lambda size: float(np.median(size.decisions_s))),
        ("decision, worst", lambda size: max(size.decisions_s)),
        ("model build", lambda size: size.build_s),
        ("memory beyond the start", lambda size: max(size.peak_mb - size.start_mb, 0.1)),
    ):
        power = math.log(value(other) / value(one)) / ratio
        cells = [report.number(value(size)) for size in sizes]
        rows.append((name, *cells, f"wires^{power:.2f}"))
    heads = ("growth", *(f"{size.wires} wires" for size in sizes), "as")
    report.table(f"From {one.wires} to {other.wires} wires (s, MB)", heads, rows)


def commands(repeats: int) -> list[report.Figure]:
    """Wall time of commands from start to finish, best of some."""
    tool = Path(sys.executable).with_name("loomwright")
    found = []
    for text, target in COMMANDS:
        name = f"loomwright {text}"
        if not tool.exists():
            found.append(report.Figure(name, "not installed", f"at most {target} s"))
            continue
        times = []
        for _ in range(repeats):
            began = time.perf_counter()
            done = subprocess.run(
                [str(tool), *text.split()], cwd=preparation.HOUSE,
                capture_output=True, text=True, check=False, timeout=120,
            )  # fmt: skip
            times.append(time.perf_counter() - began)
            if done.returncode:
                break
        if done.returncode:
            said = (done.stderr or done.stdout).strip().splitlines() or ["nothing"]
            failed = f"does not run (exit {done.returncode}): {said[-1][:60]}"
            found.append(report.Figure(name, failed, f"at most {target} s"))
        else:
            found.append(
                report.at_most(
                    f"{name}, median of {repeats}", float(np.median(times)), target, " s"
                )
            )
    return found


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--jobs", type=int, default=JOBS, help="simulated jobs a size")
    parser.add_argument("--seed", type=int, default=1, help="of looms and faults")
    parser.add_argument("--measure", nargs=4, type=int, help="for the measuring process only")
    options = parser.parse_args()
    if options.measure:
        print(json.dumps(attrs.asdict(measured_here(*options.measure))))
        return
    report.machine()
    sizes = QUICK if options.quick else SIZES
    jobs, readings = (1, 2) if options.quick else (options.jobs, READINGS)
    measured = []
    for wires in sizes:
        print(f"{wires} wires ...", file=sys.stderr)
        measured.append(in_fresh_process(wires, jobs, readings, options.seed))
    found = [figure for size in measured for figure in verdicts(size)]
    found += commands(1 if options.quick else REPEATS)
    report.figures("Waits", [report.unjudged(f) for f in found] if options.quick else found)
    measured = [size for size in measured if size.decisions_s]
    if len(measured) > 1:
        growth(measured)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()

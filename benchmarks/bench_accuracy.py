"""How well faults are found: simulated jobs that choose their own readings.

Each job is a random loom of 40 to 60 wires with 72 % one, 25 % two and 3 % no faults, read by the
make-believe workshop of `reference`, which shares neither solver nor noise model with the package.
Readings go on until a place may be claimed, nothing useful is left, or 40 are taken. Faults that
no admissible reading could tell from a sound loom are drawn again (`simulated_jobs.visible`).
"Right" means that the place holds a truly faulty item. With `--complaint` the owner says what is
felt of the faults (`reference.complaint`: one in ten says nothing, one in ten anything at all).
"""

from __future__ import annotations

import preparation  # noqa: F401  (before numpy)

# isort: split

import functools
import json
import multiprocessing
import signal
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

import attrs

import report
import scoring
import simulated_jobs
from reference.workshop import Mix
from simulated_jobs import Row

SOUND = Mix(sound=1.0, single=0.0, double=0.0)
SOUND_FROM = 1_000_000  # numbers of the extra sound looms, away from the others


def one(number: int, seed: int, most: int, complaint: bool = False) -> Row:
    """One job by its number."""
    mix = SOUND if number >= SOUND_FROM else Mix()
    return simulated_jobs.run(number, mix=mix, seed=seed, most=most, complaint=complaint)


def saved(path: Path) -> list[Row]:
    """Jobs of an earlier run's `--out`."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return [simulated_jobs.row_of(json.loads(line)) for line in lines]


def ignore_interrupt() -> None:
    """Ctrl-C is for the parent, which stops the others."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def collect(
    numbers: Sequence[int], task: Callable[[int], Row], *, workers: int, out: Path | None
) -> list[Row]:
    """All jobs, in the order they finish; what there is so far on Ctrl-C."""
    rows: list[Row] = []
    began = time.perf_counter()
    try:
        if workers == 1:
            for number in numbers:
                keep(task(number), rows, out, of=len(numbers), began=began)
        else:
            with multiprocessing.Pool(workers, initializer=ignore_interrupt) as pool:
                for row in pool.imap_unordered(task, numbers, chunksize=1):
                    keep(row, rows, out, of=len(numbers), began=began)
    except KeyboardInterrupt:
        print(f"\nstopped: the figures are of {len(rows)} jobs", file=sys.stderr)
    return rows


def keep(row: Row, rows: list[Row], out: Path | None, *, of: int, began: float) -> None:
    """Add a finished job, write it down, show progress on stderr."""
    rows.append(row)
    if out is not None:
        with out.open("a", encoding="utf-8") as file:
            file.write(json.dumps(attrs.asdict(row)) + "\n")
    report.progress(len(rows), of, "jobs", began)


def in_turn(jobs: int, sound: int, first: int) -> list[int]:
    """Numbers of the mix with the extra sound looms spread among them, so a stop leaves both."""
    mixed = range(first, first + jobs)
    extra = range(SOUND_FROM + first, SOUND_FROM + first + sound)
    keyed = [((n - first + 0.5) / max(jobs, 1), n) for n in mixed]
    keyed += [((n - SOUND_FROM - first + 0.5) / max(sound, 1), n) for n in extra]
    return [number for _, number in sorted(keyed)]


def show(rows: Sequence[Row], *, judge: bool) -> None:
    """All tables."""
    mixed = [row for row in rows if row.number < SOUND_FROM]
    sound = [row for row in rows if row.number >= SOUND_FROM]
    faulty = [row for row in mixed if not row.is_sound]
    heads = scoring.BREAKDOWN_HEADS
    report.table("By kind and size", heads, scoring.breakdown(rows, scoring.group_of))
    report.table("By loom", heads, scoring.breakdown(faulty, lambda row: f"{row.wires} wires"))
    steps = [step for row in mixed for step in row.steps]
    report.table(
        "Confidence in the top place after each reading",
        ("confidence", "readings", "mean", "right"),
        scoring.calibration_rows(steps),
    )
    missed = [
        row for row in rows if (row.claimed and not row.right) or (not row.right and row.kinds)
    ]
    report.table(
        "Missed or claimed wrongly",
        ("job", "wires", "loom", "truth", "top place", "confidence", "claimed", "readings"),
        [
            (
                row.number,
                row.wires,
                row.loom_seed,
                " + ".join(
                    f"{k} {'/'.join(i)} {s:.3g}"
                    for k, i, s in zip(row.kinds, row.items, row.sizes, strict=True)
                )
                or "sound",
                "/".join(row.top[:3]) + f" ({', '.join(row.top_kinds[:2])})",
                f"{row.confidence:.3f}",
                "CLAIMED" if row.claimed else "no",
                row.readings,
            )
            for row in missed
        ],
    )
    report.figures(f"{len(rows)} jobs", scoring.verdicts(mixed, sound, judge=judge))


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--jobs", type=int, default=500, help="of the mix")
    parser.add_argument("--sound", type=int, default=100, help="extra sound looms")
    parser.add_argument("--first", type=int, default=0, help="number of the first job")
    parser.add_argument("--seed", type=int, default=1, help="of looms and faults")
    parser.add_argument("--complaint", action="store_true", help="ask the owner first")
    parser.add_argument("--workers", type=int, default=2, help="processes")
    parser.add_argument("--out", type=Path, help="append each job here, one JSON line each")
    parser.add_argument("--saved", type=Path, help="run nothing; tables of an earlier --out")
    options = parser.parse_args()
    report.machine()
    if options.saved is not None:
        show(saved(options.saved), judge=True)
        return
    jobs, sound = (2, 1) if options.quick else (options.jobs, options.sound)
    workers = 1 if options.quick else options.workers
    numbers = in_turn(jobs, sound, options.first)
    began = time.perf_counter()
    most = 4 if options.quick else simulated_jobs.MOST_READINGS
    task = functools.partial(one, seed=options.seed, most=most, complaint=options.complaint)
    rows = collect(numbers, task, workers=workers, out=options.out)
    if not rows:
        return
    show(rows, judge=not options.quick)
    print(f"\n{(time.perf_counter() - began) / 60:.1f} min on {workers} process(es)")
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()

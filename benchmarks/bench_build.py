"""How long a new loom takes: the example job, 500 wires, and splices that all want one stretch.

Each size is measured in a process of its own, the first time with what is loaded for it. A new loom
holds the spots of its splices under all rules, the length of every wire, bundles, and the order of
laying. Crowded looms have so many splices of four wires with like weights on one trunk, without
wires between splices and with some; how much copper is not proven to be needed is told besides.
"""

from __future__ import annotations

import preparation  # before numpy

# isort: split

import json
import random
import resource
import subprocess
import sys
import time

import attrs

import report
from loomwright import bootstrap
from loomwright.loom import Job
from loomwright.services.build import build
from sample.new_looms import branch, new_loom, wire

DEMO = preparation.HOUSE / "examples" / "tarn-2300"
SECTIONS = (0.5, 0.75, 1.0, 1.5, 2.5)
TARGET_S = 2.0
REPEATS = 3


def grown(wires: int, places: int, splices: int, seed: int = 1) -> Job:
    """A random tree with so many places, wires and splices of four wires; all of it is invented."""
    chance = random.Random(seed)
    branches = tuple(
        branch(f"B{i} p{chance.randrange(max(0, i - 4), i)} p{i} {10 * chance.randrange(8, 60)}")
        for i in range(1, places)
    )
    plugs = {f"P{i}": f"p{i % places}" for i in range(2 * places)}

    def end() -> str:
        return f"{chance.choice([*plugs])}.{chance.randrange(1, 21)}"

    rows = [f"{end()} S{i} {chance.choice(SECTIONS)}" for i in range(splices) for _ in range(4)]
    rows += [f"{end()} {end()} {chance.choice(SECTIONS)}" for _ in range(wires - len(rows))]
    joints = {f"S{i}": "splice p0" for i in range(splices)}
    named = tuple(wire(f"W{i} {row}") for i, row in enumerate(rows))
    return new_loom(branches, named, plugs=plugs, joints=joints)


def crowded(splices: int, linked: int, seed: int = 1) -> Job:
    """Splices on a trunk of 2 m with a fork, the first ones with wires between them."""
    chance = random.Random(seed)
    branches = (branch("B1 a b 2000"), branch("B2 b c 500"), branch("B3 b d 500"))
    rows = [f"{end}.1 S{i} {chance.choice(SECTIONS)}" for i in range(splices) for end in "ABCD"]
    rows += [f"S{i} S{i + 1} 1.5" for i in range(linked)]
    named = tuple(wire(f"W{i} {row}") for i, row in enumerate(rows))
    joints = {f"S{i}": "splice b" for i in range(splices)}
    return new_loom(branches, named, plugs=dict(zip("ABCD", "abcd", strict=True)), joints=joints)


CASES = {
    "example job": lambda: bootstrap.jobs().read(DEMO),
    "500 wires, 25 splices": lambda: grown(500, 60, 25),
    "12 crowded splices": lambda: crowded(12, 0),
    "8 crowded, 2 wires between": lambda: crowded(8, 2),
    "14 crowded, 1 wire between": lambda: crowded(14, 1),
}


@attrs.frozen
class Made:
    """One loom: seconds of each time, share of copper not proven to be needed [%], memory."""

    seconds: list[float]
    gap_pct: float
    splices: int
    peak_mb: float


def measured_here(case: str, repeats: int) -> Made:
    """Work a loom out in this process, some times over."""
    job, seconds = CASES[case](), []
    for _ in range(repeats):
        began = time.perf_counter()
        made = build(job)
        seconds.append(time.perf_counter() - began)
    plan = made.plan
    return Made(
        seconds=seconds,
        gap_pct=100 * (1 - plan.bound_mm3 / plan.copper_mm3),
        splices=len(plan.spots),
        peak_mb=resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0,
    )


def in_fresh_process(case: str, repeats: int) -> Made:
    """`measured_here` in a subprocess."""
    done = subprocess.run(
        [sys.executable, __file__, "--measure", case, str(repeats)],
        capture_output=True, text=True, check=False, timeout=600,
    )  # fmt: skip
    if done.returncode:
        raise SystemExit(f"{case}: the measuring process failed:\n{done.stderr[-2000:]}")
    return Made(**json.loads(done.stdout.splitlines()[-1]))


def verdicts(case: str, found: Made) -> list[report.Figure]:
    """One loom against its target."""
    name = f"{case}: new loom, worst of {len(found.seconds)}"
    return [
        report.at_most(name, max(found.seconds), TARGET_S, " s"),
        report.Figure("  splices placed", str(found.splices)),
        report.Figure("  copper not proven to be needed", f"{report.number(found.gap_pct)} %"),
        report.Figure("  peak memory", f"{report.number(found.peak_mb)} MB"),
    ]


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--measure", nargs=2, help="for the measuring process only")
    options = parser.parse_args()
    if options.measure:
        case, repeats = options.measure
        print(json.dumps(attrs.asdict(measured_here(case, int(repeats)))))
        return
    report.machine()
    cases = [*CASES][:1] if options.quick else [*CASES]
    found = {case: in_fresh_process(case, 1 if options.quick else REPEATS) for case in cases}
    shown = [figure for case, each in found.items() for figure in verdicts(case, each)]
    report.figures("New looms", [report.unjudged(f) for f in shown] if options.quick else shown)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()

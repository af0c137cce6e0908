"""Whether the choice of readings is any good: against the optimum, and against a checklist.

(a) On looms of 12 wires with single faults and noise-free readings the best possible order of
readings is found by dynamic programming over sets of faults that are still possible. The rule of
the package (most information about the place, one step ahead) is followed on the same classes.

(b) On looms of 40 to 60 wires a patient person follows a checklist (`policies.Checklist`), with
the same posterior, stop rule, make-believe workshop and minutes. Both are told what the owner says
(`reference.complaint`): it is in both priors, and after the control plug the checklist opens first
the plugs that the complaint points to.
"""

from __future__ import annotations

import preparation  # noqa: F401  (before numpy)

# isort: split

import sys
import time

import attrs
import numpy as np

import report
import simulated_jobs
from policies import Checklist
from reference.workshop import Mix
from simulated_jobs import Row
from small_looms import Orders, orders

OPTIMUM_MEAN, OPTIMUM_WORST = 1.03, 1.15
MINUTES_RATIO, READINGS_RATIO = 0.4, 0.35
HYPOTHESES = (10, 14, 18)
CHECKLIST_CAP = 250


def against_optimum(looms: int, hypotheses: tuple[int, ...]) -> list[Orders]:
    """Small looms, each solved to the optimum; numbers of hypotheses in turn."""
    found, began = [], time.perf_counter()
    for seed in range(looms):
        found.append(orders(seed, hypotheses[seed % len(hypotheses)]))
        report.progress(len(found), looms, "small looms", began)
    return found


def show_optimum(found: list[Orders], *, judge: bool) -> list[report.Figure]:
    """Tables and verdicts of (a)."""
    report.table(
        "Small looms: expected readings until one class is left",
        ("loom", "classes", "useful readings", "optimum", "one step", "ratio", "random", "bound"),
        [
            (
                each.seed, each.classes, each.readings, f"{each.optimum:.3f}",
                f"{each.greedy:.3f}", f"{each.greedy / each.optimum:.3f}",
                f"{each.random:.2f}", f"{each.bound:.2f}",
            )
            for each in found
        ],
    )  # fmt: skip
    ratios = [each.greedy / each.optimum for each in found]
    figures = [
        report.at_most("readings, one step / optimum, mean", float(np.mean(ratios)), OPTIMUM_MEAN),
        report.at_most("readings, one step / optimum, worst", max(ratios), OPTIMUM_WORST),
    ]
    return figures if judge else [report.unjudged(figure) for figure in figures]


@attrs.frozen
class Paired:
    """The same loom, faults and workshop, read in two orders."""

    ours: Row
    checklist: Row


def against_checklist(jobs: int, first: int, cap: int) -> list[Paired]:
    """Jobs of the study's mix; sound looms are left out. Ctrl-C gives what there is so far."""
    mix = Mix(sound=0.0)
    found: list[Paired] = []
    began = time.perf_counter()
    try:
        for number in range(first, first + jobs):
            ours = simulated_jobs.run(number, mix=mix, seed=1, most=min(cap, 40), complaint=True)
            theirs = simulated_jobs.run(
                number, mix=mix, seed=1, most=cap, complaint=True,
                make=lambda diagnosis, _: Checklist(diagnosis),
            )  # fmt: skip
            found.append(Paired(ours, theirs))
            report.progress(len(found), jobs, "jobs in both orders", began)
    except KeyboardInterrupt:
        print(f"\nstopped: the figures are of {len(found)} jobs", file=sys.stderr)
    return found


def show_checklist(found: list[Paired], *, judge: bool) -> list[report.Figure]:
    """Tables and verdicts of (b)."""
    rows = []
    for name, some in (
        ("information a minute", [pair.ours for pair in found]),
        ("checklist", [pair.checklist for pair in found]),
    ):
        rows.append(
            (
                name,
                len(some),
                sum(row.right for row in some),
                sum(row.claimed for row in some),
                sum(row.claimed and row.right for row in some),
                f"{np.mean([row.readings for row in some]):.1f}",
                f"{np.mean([row.minutes for row in some]):.1f}",
            )
        )
    heads = ("order", "jobs", "top right", "claims", "right claims", "readings", "minutes")
    report.table("Against a checklist that follows bad readings (means of all jobs)", heads, rows)
    # Cut short, the checklist is cheaper than it would be: the ratio is at most this.
    ours = [pair for pair in found if pair.ours.claimed]
    both = [pair for pair in ours if pair.checklist.claimed]
    lost = sum(pair.checklist.claimed and not pair.ours.claimed for pair in found)
    if not ours:
        return [report.Figure("minutes / checklist's", "no claim", f"at most {MINUTES_RATIO}")]
    name = f"checklist's, {len(ours)} jobs claimed by information a minute"
    figures = [
        report.at_most(f"minutes / {name}", _minutes(ours), MINUTES_RATIO),
        report.at_most(f"readings / {name}", _readings(ours), READINGS_RATIO),
        report.Figure("claimed by the checklist alone", f"{lost} of {len(found)}"),
    ]
    if both:
        text = f"{_minutes(both):.2f} minutes, {_readings(both):.2f} readings"
        figures.append(report.Figure(f"the same, {len(both)} jobs that both claim", text))
    return figures if judge else [report.unjudged(figure) for figure in figures]


def _minutes(pairs: list[Paired]) -> float:
    return sum(p.ours.minutes for p in pairs) / sum(p.checklist.minutes for p in pairs)


def _readings(pairs: list[Paired]) -> float:
    return sum(p.ours.readings for p in pairs) / sum(p.checklist.readings for p in pairs)


def main() -> None:
    parser = report.options(__doc__)
    parser.add_argument("--looms", type=int, default=36, help="small looms for the optimum")
    parser.add_argument("--jobs", type=int, default=40, help="jobs read in both orders")
    parser.add_argument("--cap", type=int, default=CHECKLIST_CAP, help="readings of the checklist")
    parser.add_argument("--first", type=int, default=0, help="number of the first job")
    options = parser.parse_args()
    report.machine()
    began = time.perf_counter()
    judge = not options.quick
    looms, hypotheses = (2, (8,)) if options.quick else (options.looms, HYPOTHESES)
    figures = show_optimum(against_optimum(looms, hypotheses), judge=judge)
    jobs, cap = (1, 4) if options.quick else (options.jobs, options.cap)
    paired = against_checklist(jobs, options.first, cap)
    if paired:
        figures += show_checklist(paired, judge=judge)
    report.figures(f"Choice of readings ({time.perf_counter() - began:.0f} s)", figures)
    if options.quick:
        print(report.QUICK_NOTE)


if __name__ == "__main__":
    main()

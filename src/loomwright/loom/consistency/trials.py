"""Trial crimps: what was pulled has a force, and a set-up stays one set-up."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.loom.cells import cell_text
from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.errors import Problem, Where
from loomwright.loom.records import CrimpTrial

ONE_SET_UP = ("terminal", "section_mm2", "die")
"""Columns that are the same in all trials of a set-up."""


def pulls_not_pulled(evidence: Evidence) -> Iterator[Problem]:
    """A force of a crimp that was not pulled, or a break without a force."""
    for trial in evidence.job.crimps:
        if trial.failed_at == "not pulled" and trial.pull_n is not None:
            yield Problem(
                Where("crimps", trial.row, "failed_at"),
                f'"not pulled" stands beside a pull of {trial.pull_n:g} N',
                "write wire or crimp, whichever gave way, or delete the force",
            )
        if trial.failed_at in ("wire", "crimp") and trial.pull_n is None:
            yield Problem(
                Where("crimps", trial.row, "pull_n"),
                f'"{trial.failed_at}" gave way, but the force is not given',
                "give the force in N; without it the trial proves nothing about the pull",
                warning=True,
            )


def mixed_set_ups(evidence: Evidence) -> Iterator[Problem]:
    """Trials of one set-up with different terminals, wires or dies."""
    first: dict[tuple[str, str], tuple[object, CrimpTrial]] = {}
    for trial in evidence.job.crimps:
        for column in ONE_SET_UP:
            value = getattr(trial, column)
            if value is None:
                continue
            before, row = first.setdefault((trial.set_up, column), (value, trial))
            if before != value:
                yield Problem(
                    Where("crimps", trial.row, column),
                    f'"{cell_text(value)}" differs from "{cell_text(before)}" in row {row.row} '
                    f'of the same set-up "{trial.set_up}"',
                    "give the trials of another terminal, wire or die a set-up of their own",
                )

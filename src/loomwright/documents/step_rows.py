"""The steps on a job card, each with what was logged of it."""

from __future__ import annotations

import attrs

from loomwright.services.words import sentence
from loomwright.services.work_done import told
from loomwright.services.work_log import LoggedStep

TICK, CROSS = "✓", "✗"
"""What stands in a box."""


@attrs.frozen(kw_only=True)
class StepRow:
    """One step.

    Attributes
    ----------
    number : on this card
    words : what to do
    hold : whether it wants a sign before going on
    caution : what can hurt or go wrong at this step, empty when nothing is said
    mark : what stands in its box: a tick, or a cross where it failed; empty where it is open
    told : when and by whom it was logged; empty where it was not
    """

    number: int
    words: str
    hold: bool
    caution: str
    mark: str
    told: str


def step_rows(steps: tuple[LoggedStep, ...]) -> tuple[StepRow, ...]:
    """The steps in their order, numbered from 1."""
    return tuple(
        StepRow(
            number=number,
            words=f"{sentence(each.step.words)}.",
            hold=each.step.hold,
            caution=f"{each.step.caution}." if each.step.caution else "",
            mark=TICK if each.finished else CROSS if each.state == "failed" else "",
            told=_told(each),
        )
        for number, each in enumerate(steps, start=1)
    )


def _told(each: LoggedStep) -> str:
    """When and by whom; how it stands, where the box alone does not tell."""
    if each.task is None:
        return ""
    state = "" if each.finished and not each.step.hold else each.state
    if each.state == "done" and each.step.hold:
        state = "done, not passed yet"
    return " ".join(filter(None, (state, told(each.task))))

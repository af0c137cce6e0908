"""The work as it really goes: each step of the cards with what was logged, and what it waits for.

Nothing is cut or opened before it is recorded, and nothing goes on past a hold point that is not
passed. Common practice, no published source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain

import attrs

from loomwright.loom import TaskRow
from loomwright.repair.order import Step
from loomwright.services.job_cards import Work

__all__ = ["LoggedStep", "WorkLog", "logged"]

RECORD = "record"
"""Name of the step that comes before anything is cut or opened."""

_Key = tuple[str, str, int]


@attrs.frozen(kw_only=True)
class LoggedStep:
    """One step of the work, and how far it is.

    Attributes
    ----------
    step : as the plan gives it
    nth : which of the steps of that name at its item, from 1
    task : the row of `tasks` that stands for it; None where nothing is logged
    why_not : what has to come before it, in a clause; empty when it may be begun
    """

    step: Step
    nth: int
    task: TaskRow | None = None
    why_not: str = ""

    @property
    def state(self) -> str:
        """`begun`, `done`, `passed` or `failed`; empty where nothing is logged."""
        return self.task.state if self.task else ""

    @property
    def may_begin(self) -> bool:
        """Whether all that it waits for is finished."""
        return not self.why_not

    @property
    def finished(self) -> bool:
        """Whether others need not wait for it any more; a hold point has to be passed."""
        return self.state == "passed" or (self.state == "done" and not self.step.hold)


@attrs.frozen(kw_only=True)
class WorkLog:
    """All steps of the work with what was logged.

    Attributes
    ----------
    steps : those before all cards, then card by card, then those after
    minutes : all that was logged, steps done twice and stray rows included [min]
    minutes_at : the same by item; an empty name is the whole job [min]
    stray : rows that no step of the work answers to, in sheet order
    """

    steps: tuple[LoggedStep, ...]
    minutes: float
    minutes_at: Mapping[str, float]
    stray: tuple[TaskRow, ...]

    @property
    def next_step(self) -> LoggedStep | None:
        """The first that is not finished and may be begun; None when all is finished."""
        return next((each for each in self.steps if each.may_begin and not each.finished), None)

    @property
    def done_share(self) -> tuple[int, int]:
        """How many steps are finished, and how many there are."""
        return sum(each.finished for each in self.steps), len(self.steps)

    def at(self, item: str) -> tuple[LoggedStep, ...]:
        """The steps of one item; of an empty name those of the whole job."""
        return tuple(each for each in self.steps if each.step.item == item)


def logged(work: Work, tasks: tuple[TaskRow, ...]) -> WorkLog:
    """What was done of each step, and which may be begun.

    Parameters
    ----------
    work : the cards of the chosen offer
    tasks : rows of the table `tasks`; of several for one step the last one stands
    """
    rows = {_key(row.item or "", row.step, row.nth): row for row in tasks}
    numbers: Counter[tuple[str, str]] = Counter()
    before = _entered(work.before, rows, numbers)
    cards = [_entered(card.steps, rows, numbers) for card in work.cards]
    after = _entered(work.after, rows, numbers)
    holds = [each for each in before if each.step.hold]
    steps = tuple(chain(
        _held(before, ()),
        chain.from_iterable(_held(card, holds) for card in cards),
        _held(after, [*holds, *chain.from_iterable(cards)]),
    ))  # fmt: skip
    keys = {_key(each.step.item, each.step.name, each.nth) for each in steps}
    return WorkLog(
        steps=steps,
        minutes=sum(row.minutes or 0.0 for row in tasks),
        minutes_at=_minutes_at(tasks),
        stray=tuple(row for row in tasks if _key(row.item or "", row.step, row.nth) not in keys),
    )


def _key(item: str, step: str, nth: int) -> _Key:
    """The same for what a person writes with other capitals or more spaces."""
    return item, " ".join(step.split()).casefold(), nth


def _entered(
    steps: Iterable[Step], rows: Mapping[_Key, TaskRow], numbers: Counter[tuple[str, str]]
) -> list[LoggedStep]:
    """The steps with their numbers and rows, not yet with what they wait for."""
    found = []
    for step in steps:
        item, name, _ = _key(step.item, step.name, 1)
        numbers[item, name] += 1
        nth = numbers[item, name]
        found.append(LoggedStep(step=step, nth=nth, task=rows.get((item, name, nth))))
    return found


def _held(steps: Sequence[LoggedStep], first: Sequence[LoggedStep]) -> Iterator[LoggedStep]:
    """The steps of one item, each with why it may not be begun; they all wait for `first`."""
    for number, each in enumerate(steps):
        waits = [one for one in (*first, *_before(steps, number)) if not one.finished]
        yield attrs.evolve(each, why_not=_why_not(waits))


def _before(steps: Sequence[LoggedStep], number: int) -> list[LoggedStep]:
    """What a step waits for at its own item: the record, wherever it stands, and earlier holds.

    The first record waits for none of them, so that no two steps wait for each other.
    """
    records = [place for place, each in enumerate(steps) if each.step.name == RECORD]
    if number in records[:1]:
        return []
    waits = {place for place in range(number) if steps[place].step.hold}
    if number not in records:
        waits |= {*records[:1], *(place for place in records if place < number)}
    return [steps[place] for place in sorted(waits)]


def _why_not(waits: Sequence[LoggedStep]) -> str:
    """What comes first, what has failed before all else; empty where nothing is waited for."""
    if not waits:
        return ""
    failed = [each for each in waits if each.state == "failed"]
    others = len(waits) - 1
    more = f"; {others} more {'comes' if others == 1 else 'come'} first, too" if others else ""
    return _words((failed or waits)[0]) + more


def _words(each: LoggedStep) -> str:
    step, row = each.step, each.task
    at = f" at {step.item}" if step.item else ""
    named = f'{"hold point " if step.hold else ""}"{step.name}"{at}'
    if row and row.state == "failed":
        note = f" ({row.note.strip()})" if row.note else ""
        return f"{named} has failed{note}: put it right and {'pass' if step.hold else 'do'} it"
    if step.hold:
        told = "was done but not passed or failed: say which" if each.state == "done" else ""
        return f"{named} {told or 'is not passed yet'}"
    if step.name == RECORD:
        return f"{named} comes before anything is cut or opened, and is not done yet"
    return f"{named} is not done yet"


def _minutes_at(tasks: Iterable[TaskRow]) -> dict[str, float]:
    found: dict[str, float] = {}
    for row in tasks:
        if row.minutes is not None:
            found[row.item or ""] = found.get(row.item or "", 0.0) + row.minutes
    return found

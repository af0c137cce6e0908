"""What was really done: item by item the cures, the hold points, who and when, and what is open."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date

import attrs

from loomwright.loom import Job, TaskRow
from loomwright.services.doing import named
from loomwright.services.job_cards import JobCard, Work
from loomwright.services.wire_use import is_use, uses
from loomwright.services.words import listed
from loomwright.services.work_log import LoggedStep, WorkLog
from loomwright.standards.cures import CureKind, cure_steps

__all__ = ["HoldPoint", "ItemDone", "Open", "WorkDone", "spent", "told", "work_done"]


@attrs.frozen(kw_only=True)
class HoldPoint:
    """A hold point that was looked at.

    Attributes
    ----------
    words : what it asks for, a clause
    passed : whether it was passed; else it failed
    told : when, by whom, what was noted, and how often it failed before; may be empty
    """

    words: str
    passed: bool
    told: str


@attrs.frozen(kw_only=True)
class ItemDone:
    """What was done at one item.

    Attributes
    ----------
    item : its name; empty for the whole job
    cures : kinds of work that are finished, in the words of the plan
    steps : short names of the other steps that are finished
    holds : hold points that were passed or failed, in the order of work
    days : first and last day, as written; one where they are the same, none where untold
    people : who did it
    minutes : that were logged [min]
    wire_mm : wire that was used up [mm]
    notes : what was noted at steps that are no hold points, each with its step
    """

    item: str
    cures: tuple[str, ...]
    steps: tuple[str, ...]
    holds: tuple[HoldPoint, ...]
    days: tuple[str, ...]
    people: tuple[str, ...]
    minutes: float
    wire_mm: float
    notes: tuple[str, ...]


@attrs.frozen(kw_only=True)
class Open:
    """What is not done yet at one item.

    Attributes
    ----------
    item : its name; empty for the whole job
    begun : whether anything was logged there
    words : what is open there, a clause
    """

    item: str
    begun: bool
    words: str


@attrs.frozen(kw_only=True)
class WorkDone:
    """What was done of the offer that the work follows.

    Attributes
    ----------
    items : those where something was logged, in the order of work, the whole job last
    finished, all : steps of the offer that are finished, and all
    minutes, likely_minutes : that were logged, and that the offer reckons with [min]
    open : what is not done yet; empty where nothing was logged at all
    failed : hold points that failed and were not passed since
    also : what was logged and is no step of this offer, a clause each
    """

    items: tuple[ItemDone, ...] = ()
    finished: int = 0
    all: int = 0
    minutes: float = 0.0
    likely_minutes: float = 0.0
    open: tuple[Open, ...] = ()
    failed: tuple[str, ...] = ()
    also: tuple[str, ...] = ()

    @property
    def begun(self) -> bool:
        """Whether anything was logged."""
        return bool(self.items or self.also)

    @property
    def whole(self) -> tuple[str, ...]:
        """Items at which all is finished."""
        open_ = {each.item for each in self.open}
        return tuple(each.item for each in self.items if each.item and each.item not in open_)


def work_done(job: Job, log: WorkLog, *, work: Work, likely_minutes: float = 0.0) -> WorkDone:
    """What was really done, by the table `tasks`; empty where nothing was logged.

    Parameters
    ----------
    job : the job with its tasks
    log : its steps with what was logged
    work : the cards of the offer that is followed
    likely_minutes : that the offer reckons with [min]
    """
    if not job.tasks:
        return WorkDone()
    cards = {card.item: card for card in work.cards}
    items = sorted(dict.fromkeys(each.step.item for each in log.steps), key=lambda item: not item)
    done = (_item(job, log, item, cards.get(item)) for item in items)
    finished, all_ = log.done_share
    return WorkDone(
        items=tuple(each for each in done if each is not None),
        finished=finished,
        all=all_,
        minutes=log.minutes,
        likely_minutes=likely_minutes,
        open=tuple(_open(log, items, cards)),
        failed=tuple(named(e.step.name, e.step.item) for e in log.steps if e.state == "failed"),
        also=tuple(_also(job, log, items)),
    )


def spent(done: WorkDone) -> str:
    """The time in a clause: `85 min of work are logged, about 240 min are likely for all of it`."""
    if not done.minutes:
        return "no time was logged"
    logged = f"{done.minutes:.0f} min of work are logged"
    if not done.likely_minutes:
        return logged
    return f"{logged}, about {done.likely_minutes:.0f} min are likely for all of it"


def told(row: TaskRow) -> str:
    """When, and by whom: `2026-05-15 09:25, first bench`; empty where neither is written down."""
    return ", ".join(filter(None, (row.done_at or row.begun_at, row.by)))


def _item(job: Job, log: WorkLog, item: str, card: JobCard | None) -> ItemDone | None:
    """What was done at an item; None where nothing was logged."""
    steps = log.at(item)
    used = [use.mm for use in uses(job.tasks, item)] if item else []
    rows = [each.task for each in steps if each.task]
    if not rows and not used:
        return None
    cures = [(kind, _steps_of(kind, steps)) for kind in (card.cures if card else ())]
    whole = [(kind, its) for kind, its in cures if its and all(each.finished for each in its)]
    told_of = {_key(each) for _, its in whole for each in its}
    return ItemDone(
        item=item,
        cures=tuple(kind.short for kind, _ in whole),
        steps=_names(e for e in steps if e.finished and _key(e) not in told_of),
        holds=tuple(_holds(job, steps)),
        days=_days(rows),
        people=tuple(dict.fromkeys(row.by for row in rows if row.by)),
        minutes=log.minutes_at.get(item, 0.0),
        wire_mm=sum(used),
        notes=tuple(_notes(steps)),
    )


def _steps_of(kind: CureKind, steps: Iterable[LoggedStep]) -> list[LoggedStep]:
    """The steps of one kind of cure among those of its item."""
    wanted = Counter((each.step, each.words) for each in cure_steps(kind.cure))
    found = []
    for each in steps:
        name = each.step.name, each.step.words
        if wanted[name]:
            wanted[name] -= 1
            found.append(each)
    return found


def _holds(job: Job, steps: Iterable[LoggedStep]) -> Iterator[HoldPoint]:
    for each in steps:
        if each.step.hold and each.task and each.state in ("passed", "failed"):
            row = each.task
            yield HoldPoint(
                words=each.step.words,
                passed=each.state == "passed",
                told="; ".join(filter(None, (told(row), row.note, _failed_before(job, each)))),
            )


def _failed_before(job: Job, each: LoggedStep) -> str:
    failed = sum(
        row.state == "failed"
        and row is not each.task
        and _row_key(row) == (each.step.item, *_key(each))
        for row in job.tasks
    )
    return f"failed {'once' if failed == 1 else f'{failed} times'} before" if failed else ""


def _notes(steps: Iterable[LoggedStep]) -> Iterator[str]:
    for each in steps:
        told_as_hold = each.step.hold and each.state in ("passed", "failed")
        if each.task and each.task.note and not told_as_hold:
            yield f"{each.step.name}: {each.task.note}"


def _days(rows: Iterable[TaskRow]) -> tuple[str, ...]:
    """First and last day; sorted, as a job writes days with the year first."""
    days = sorted({_day(when) for row in rows if (when := row.done_at or row.begun_at)})
    return tuple(dict.fromkeys((days[0], days[-1]))) if days else ()


def _day(when: str) -> str:
    """The day of a moment; all of what is written in another way."""
    try:
        return date.fromisoformat(when[:10]).isoformat()
    except ValueError:
        return when


def _open(log: WorkLog, items: Iterable[str], cards: dict[str, JobCard]) -> Iterator[Open]:
    for item in items:
        steps = log.at(item)
        left = [each for each in steps if not each.finished]
        if not left:
            continue
        kinds = cards[item].cures if item in cards else ()
        open_ = [kind.short for kind in kinds if any(e in left for e in _steps_of(kind, steps))]
        begun = any(each.task for each in steps)
        how_far = f"{listed(list(_names(left)))} left to do" if begun or not kinds else "not begun"
        yield Open(item=item, begun=begun, words=": ".join(filter(None, (listed(open_), how_far))))


def _names(steps: Iterable[LoggedStep]) -> tuple[str, ...]:
    """Short names, each once, with how it ended where that needs saying."""
    return tuple(dict.fromkeys(f"{each.step.name}{_stands(each)}" for each in steps))


def _stands(each: LoggedStep) -> str:
    if each.state == "done" and each.step.hold:
        return " (done, but neither passed nor failed)"
    return f" ({each.state})" if each.state in ("begun", "failed") else ""


def _also(job: Job, log: WorkLog, items: Iterable[str]) -> Iterator[str]:
    known = set(items)
    for row in log.stray:
        if not is_use(row.step):
            said = ", ".join(filter(None, (row.state, told(row), row.note)))
            yield f"{named(row.step, row.item or '')}: {said}"
        elif row.item not in known:
            yield f"{row.step} at {row.item}"


def _key(each: LoggedStep) -> tuple[str, int]:
    return _plain(each.step.name), each.nth


def _row_key(row: TaskRow) -> tuple[str, str, int]:
    return row.item or "", _plain(row.step), row.nth


def _plain(name: str) -> str:
    """The same for what a person writes with other capitals or more spaces."""
    return " ".join(name.split()).casefold()

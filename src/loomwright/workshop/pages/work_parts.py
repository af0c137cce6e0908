"""The steps of the work's page, card by card, each with how far it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from urllib.parse import urlencode

import attrs
from django.urls import reverse

from loomwright.documents.job_card import Card, CrimpRow, PartRow, card_words
from loomwright.loom import Job
from loomwright.services.counting import counted
from loomwright.services.doing import last_tick, named
from loomwright.services.job_cards import JobCard, Work
from loomwright.services.labels import Labels
from loomwright.services.moments import moment, now_text
from loomwright.services.wire_use import is_use
from loomwright.services.words import listed, sentence
from loomwright.services.work_log import RECORD, LoggedStep, WorkLog
from loomwright.services.workup import WorkUp
from loomwright.workshop.bench import BENCH

_ITEMS = ("wire", "joint", "device")


@attrs.frozen(kw_only=True)
class StepPart:
    """One step, and how far it is.

    Attributes
    ----------
    n, words, hold, cautions : its number on the card, what to do, and what to mind before it
    state, why_not : how far it is, and what has to come first
    next : whether it is the one that the page shows large
    url, label : where it is ticked off, blank while it may not be; what an entry is called
    since : when it was begun, as a clock reads it; blank unless it is going on
    told : when and by whom it was ticked, how long it took, what was noted
    change_url : the form of its row; blank where nothing is logged
    """

    n: int
    words: str
    hold: bool
    cautions: tuple[str, ...]
    state: str
    why_not: str
    next: bool
    url: str
    label: str
    since: str
    told: str
    change_url: str


@attrs.frozen(kw_only=True)
class CardPart:
    """The steps at one item, or those before or after all items.

    Attributes
    ----------
    title, url, place : what it is, its page, where it sits; blank where there is none
    cures : what is done, a sentence
    how_far : steps that are done, and minutes
    open : whether the next step is here, or one that was begun
    steps : its steps
    parts, crimps, notes : what goes on new, how, and what stands against it
    """

    title: str
    url: str
    place: str
    cures: str
    how_far: str
    open: bool
    steps: tuple[StepPart, ...]
    parts: tuple[PartRow, ...] = ()
    crimps: tuple[CrimpRow, ...] = ()
    notes: tuple[str, ...] = ()


@attrs.frozen(kw_only=True)
class UndoPart:
    """The last tick, to be taken back: its key, and what it says."""

    key: str
    words: str


@attrs.define
class Maker:
    """Makes the parts of one job's page.

    Attributes
    ----------
    ref, job : name of the job, and all of it
    known : what the services say of it
    log : the work with what was logged
    shown : the step that is shown large; None where all is done
    chosen : whether an offer is chosen, so that its steps may be ticked off
    """

    ref: str
    job: Job
    known: WorkUp
    log: WorkLog
    shown: LoggedStep | None
    chosen: bool
    _keys: dict[str, str] = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        rows = BENCH.rows.rows(self.ref, "tasks")
        self._keys = {row.cells.get("task", ""): row.key for row in rows}

    def cards(self) -> tuple[CardPart, ...]:
        """What is done before all items, item by item, and after all."""
        work, papers = self.known.work, papers_of(self.known)
        steps = list(self.log.steps)
        made = [self._frame("Before any plug comes apart", _taken(steps, len(work.before)))]
        made += [
            self._card(card, _taken(steps, len(card.steps)), papers.get(card.item))
            for card in work.cards
        ]
        made.append(self._frame("When all plugs are done", steps))
        return tuple(each for each in made if each.steps)

    def step(self, n: int, each: LoggedStep) -> StepPart:
        """One step."""
        row, step = each.task, each.step
        may = self.chosen and each.may_begin and not each.finished
        begun_at = (row.begun_at or "") if row and each.state == "begun" else ""
        return StepPart(
            n=n,
            words=f"{sentence(step.words)}.",
            hold=step.hold,
            cautions=(f"{sentence(step.caution)}.",) if step.caution else (),
            state=each.state,
            why_not="" if each.finished else each.why_not,
            next=self.chosen and each is self.shown,
            url=tick_url(self.ref, each) if may else "",
            label=named(step.name, step.item),
            since=clock(begun_at),
            told=_told(each),
            change_url=self._change(str(row.task)) if row else "",
        )

    def _change(self, task: str) -> str:
        back = reverse("work", args=[self.ref])
        return f"{reverse('row', args=[self.ref, 'tasks', self._keys[task]])}?back={back}"

    def _frame(self, title: str, steps: Sequence[LoggedStep]) -> CardPart:
        return CardPart(
            title=title, url="", place="", cures="", how_far=_how_far(steps),
            open=self._open(steps), steps=self._numbered(steps),
        )  # fmt: skip

    def _card(self, card: JobCard, steps: Sequence[LoggedStep], paper: Card | None) -> CardPart:
        minutes = self.log.minutes_at.get(card.item, 0.0)
        if self.chosen and self.shown in steps:
            paper = None  # the next step shows it already
        return CardPart(
            title=self.known.labels.called(card.item),
            url=item_url(self.ref, card),
            place=card.place,
            cures=sentence(listed([kind.short for kind in card.cures])),
            how_far=_how_far(steps) + (f", {minutes:g} min" if minutes else ""),
            open=self._open(steps),
            steps=self._numbered(steps),
            parts=paper.parts if paper else (),
            crimps=paper.crimps if paper else (),
            notes=paper.part_notes if paper else (),
        )

    def _open(self, steps: Sequence[LoggedStep]) -> bool:
        return self.shown in steps or any(each.state == "begun" for each in steps)

    def _numbered(self, steps: Sequence[LoggedStep]) -> tuple[StepPart, ...]:
        return tuple(self.step(n, each) for n, each in enumerate(steps, start=1))

    def undo(self) -> UndoPart | None:
        """The last tick."""
        last = last_tick(BENCH.rows.rows(self.ref, "tasks"))
        if last is None:
            return None
        step = named(last.cells.get("step", ""), last.cells.get("item", ""))
        return UndoPart(key=last.key, words=f"{step}: {last.cells.get('state', '')}")

    def stray(self) -> Iterator[str]:
        """What was logged and is no step of this offer."""
        for row in self.log.stray:
            if not is_use(row.step):
                told = ", ".join(filter(None, (row.state, row.done_at or row.begun_at, row.by)))
                yield f"{named(row.step, row.item or '')}: {told}"


def tick_url(ref: str, each: LoggedStep) -> str:
    """Where a step is ticked off; the address names the step."""
    step = {"item": each.step.item, "step": each.step.name, "nth": each.nth}
    return f"{reverse('tick', args=[ref])}?{urlencode(step)}"


def item_url(ref: str, card: JobCard) -> str:
    """The page of an item; blank for a branch and the whole loom."""
    if card.kind == "plug":
        return reverse("plug", args=[ref, card.item])
    return reverse("item", args=[ref, card.item]) if card.kind in _ITEMS else ""


def papers_of(known: WorkUp) -> dict[str, Card]:
    """The words of the printed cards, by item."""
    today = now_text()[:10]
    return {card.item: card_words(known, card, made_on=today) for card in known.work.cards}


def card_of(work: Work, each: LoggedStep | None) -> JobCard | None:
    """The card that a step stands on; None for one of the whole job."""
    item = each.step.item if each else ""
    return next((card for card in work.cards if card.item == item), None)


def record_words(each: LoggedStep, labels: Labels) -> str:
    """What the link to a plug's page is called while it is to be recorded."""
    if each.step.name == RECORD:
        return f"Photograph and record {labels.item(each.step.item)}"
    return f"Look at {labels.item(each.step.item)}"


def clock(begun_at: str) -> str:
    """A moment as a clock of a page counts from it; blank where it is written in another way."""
    found = moment(begun_at)
    return found.astimezone().isoformat() if found else ""


def _taken(steps: list[LoggedStep], count: int) -> list[LoggedStep]:
    """The first so many, taken from the list."""
    first, steps[:] = steps[:count], steps[count:]
    return first


def _how_far(steps: Sequence[LoggedStep]) -> str:
    done = sum(each.finished for each in steps)
    begun = sum(each.state == "begun" for each in steps)
    going_on = f", {begun} begun" if begun else ""
    return f"{done} of {counted(len(steps), 'step')} done{going_on}"


def _told(each: LoggedStep) -> str:
    row = each.task
    if row is None:
        return ""
    minutes = "" if row.minutes is None else f"{row.minutes:g} min"
    return ", ".join(filter(None, (row.done_at or row.begun_at, row.by, minutes, row.note)))

"""Proof: what has to be read again after the work, and each reading beside the one before it."""

from __future__ import annotations

from itertools import groupby

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.documents.before_after import HOW_TO_READ, BeforeAfter, Belief, before_after
from loomwright.documents.before_after import Reading as Told
from loomwright.services.measuring import retaken
from loomwright.services.moments import now_text
from loomwright.services.prove import ProveReport
from loomwright.services.verdicts import OnScale, on_scale
from loomwright.services.words import sentence, state_words
from loomwright.workshop.asking import asking_url
from loomwright.workshop.pages.not_yet import nothing_yet
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import Worked, worked_up

KINDS = {"better": "good", "same": "good", "in order": "good", "not shown": "watch",
         "not in order": "bad", "worse": "bad"}  # fmt: skip
"""Kind of the chip of each verdict; the word stands in it."""
_OF_THE_PAPER = HOW_TO_READ[1]  # the marks of the printed scale, which are others


@attrs.frozen
class Again:
    """A reading to take again; a row that is a link."""

    url: str
    title: str
    words: str
    chip: str
    kind: str


@attrs.frozen
class Compared:
    """A reading after the work: its words, where it lay and lies, the kind of its verdict."""

    told: Told
    then: OnScale | None
    now: OnScale
    kind: str


@attrs.frozen
class Sensor:
    """What the control unit sees by one sensor."""

    name: str
    rows: tuple[Belief, ...]


@page("proof.html")
@attrs.frozen(kw_only=True)
class ProofPage:
    """Before and after."""

    job: str = told("Name of the job")
    proved: bool = told("Whether all that was not in order is in order now")
    verdict: str = told("The whole in a sentence")
    counts: str = told("How many readings have each verdict, a sentence")
    again: tuple[Again, ...] = told("Readings to take again")
    aside: tuple[str, ...] = told("Readings that say nothing reliable, with the reason")
    compared: tuple[Compared, ...] = told("Readings after the work")
    meanings: tuple[tuple[str, str, str], ...] = told("Mark, word and meaning of each verdict")
    how_to_read: tuple[str, ...] = told("The scales, in sentences")
    beliefs: tuple[Sensor, ...] = told("What the control unit sees, before and after")
    beliefs_note: str = told("What that rests on; blank without")
    notes: tuple[str, ...] = told("What all of it rests on")


def proof(request: HttpRequest, job: str) -> HttpResponse:
    """Show before and after."""
    if early := nothing_yet(request, job, title="Proof", here="Work"):
        return early
    with worked_up(job) as worked:
        shown = _page(job, worked)
    return show(request, shown, title="Proof", job=job, here="Work")


def _page(job: str, worked: Worked) -> ProofPage:
    report = worked.results.proof
    papers = before_after(worked.results, now_text()[:10])
    context = next(each.context for each in papers if isinstance(each.context, BeforeAfter))
    return ProofPage(
        job=job,
        proved=report.proved,
        verdict=report.verdict,
        counts=context.counts,
        again=_again(job, worked, report),
        aside=tuple(f"{name} is set aside: {why}." for name, why in report.set_aside),
        compared=_compared(context, report),
        meanings=context.meanings,
        how_to_read=tuple(each for each in context.how_to_read if each != _OF_THE_PAPER),
        beliefs=tuple(
            Sensor(name, tuple(rows))
            for name, rows in groupby(context.beliefs, key=lambda each: each.sensor)
        ),
        beliefs_note=context.beliefs_note,
        notes=context.notes,
    )


def _compared(context: BeforeAfter, report: ProveReport) -> tuple[Compared, ...]:
    return tuple(
        Compared(
            told=each,
            then=on_scale(proof.before) if proof.before else None,
            now=on_scale(proof.after),
            kind=KINDS[each.verdict],
        )
        for each, proof in zip(context.readings, report.proofs, strict=True)
    )


def _again(job: str, worked: Worked, report: ProveReport) -> tuple[Again, ...]:
    """What was not read again, then what was read again and is not in order."""
    chips = dict.fromkeys(report.unproved, ("not read again", "waiting"))
    chips |= dict.fromkeys(report.still_open, ("not in order yet", "bad"))
    state = {str(each.reading): str(each.state) for each in worked.job.readings}
    return tuple(
        Again(
            asking_url(job, probe, after=True, again=name),
            f"Take {name} again: red to {probe.plus}, black to {probe.minus}",
            sentence(state_words(state[name])),
            *chips[name],
        )
        for name, probe in retaken(worked.job, tuple(chips))
    )

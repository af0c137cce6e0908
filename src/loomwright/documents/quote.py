"""The quote: three offers side by side, the chosen one in stages, and what the promise rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import attrs

from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.services.plan import Offered, PlanReport
from loomwright.services.plan_words import does, flips_said, line_words
from loomwright.services.staged import Stage
from loomwright.services.words import listed, sentence, sure
from loomwright.services.workup import WorkUp

NOT_POSSIBLE = "–"
NOT_INCLUDED = (
    "Faults that show only when something is opened: we call you before we mend them.",
    "Engine work that is not wiring: fuel, ignition, mixture, mechanical wear.",
    "Faults that come and go and do not show while the car is with us.",
    "What must come off to reach a part that is renewed, beyond the places named here.",
)
"""What such a quote does not cover; common practice, no published source."""


@attrs.frozen(kw_only=True)
class OfferRow:
    """One line of the comparison.

    Attributes
    ----------
    name : what is compared, with its unit
    values : of each offer
    """

    name: str
    values: tuple[str, ...]


@attrs.frozen(kw_only=True)
class OfferText:
    """What an offer does.

    Attributes
    ----------
    name : the offer
    does : in a sentence
    """

    name: str
    does: str


@attrs.frozen(kw_only=True)
class StageRow:
    """One stage: what is done at one place.

    Attributes
    ----------
    place : where
    lines : what is done there, a few words each
    minutes, span : likely time, and the time that 8 of 10 such jobs take
    work, parts : price at the likely time, and of its parts; parts empty where there are none
    """

    place: str
    lines: tuple[str, ...]
    minutes: str
    span: str
    work: str
    parts: str


@attrs.frozen(kw_only=True)
class SumRow:
    """A line of the sum.

    Attributes
    ----------
    name, value : what it is, and its price
    strong : whether it is the sum itself
    """

    name: str
    value: str
    strong: bool


@attrs.frozen(kw_only=True)
class QuotePaper(Context):
    """What the template is given.

    Attributes
    ----------
    money : which currency the prices are in, in a sentence
    offers : names of the offers
    rows : the comparison
    texts : what each offer does
    chosen : name of the offer that is quoted
    lack : why there is nothing to quote; empty otherwise
    stages : of the chosen offer, place by place
    total : all stages together, None where there is none
    stages_note : how to read them
    sums : the lines of the sum
    low, middle, high : what it will come to: 1 of 10 below, half, 1 of 10 above
    call : when we call first, and how often that happens
    included_not : what is not included
    flips : what would change the choice
    assumes : what the price rests on
    valid : until when it holds
    """

    money: str
    offers: tuple[str, ...]
    rows: tuple[OfferRow, ...]
    texts: tuple[OfferText, ...]
    chosen: str
    lack: str
    stages: tuple[StageRow, ...]
    total: StageRow | None
    stages_note: str
    sums: tuple[SumRow, ...]
    low: str
    middle: str
    high: str
    call: str
    included_not: tuple[str, ...]
    flips: tuple[str, ...]
    assumes: tuple[str, ...]
    valid: str


def quote(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The quote for the offer that the work follows.

    Parameters
    ----------
    known : the job and what is known of it
    made_on : the day, ISO 8601
    """
    report, staged = known.plan, known.quote
    offers = (*report.offers, report.pays)
    money = _Money(report.currency)
    quoted = staged.offer.quote
    yield Paper(
        name="quote",
        template="quote",
        context=QuotePaper(
            **headed(known.job, "Quote", made_on),
            money=_currency(report),
            offers=tuple(sentence(each.name) for each in offers),
            rows=tuple(_rows(report, money)),
            texts=tuple(
                OfferText(name=sentence(each.name), does=sentence(does(each))) for each in offers
            ),
            chosen=staged.offer.name,
            lack=_lack(staged.offer),
            stages=tuple(_stage(known, each, money) for each in staged.stages),
            total=_total(known, money),
            stages_note="A place is opened once. The spans do not add up, because not everything "
            "goes well or badly at once; the middle lies above the likely, because work runs over "
            "more often than it runs short.",
            sums=tuple(_sums(known, money)),
            low=money(quoted.low) if quoted else "",
            middle=money(quoted.middle) if quoted else "",
            high=money(quoted.high) if quoted else "",
            call=_call(known, money),
            included_not=NOT_INCLUDED,
            flips=tuple(sentence(each) for each in flips_said(report)),
            assumes=tuple(_assumes(known, money)),
            valid=staged.valid_until(made_on),
        ),
    )


@attrs.frozen
class _Money:
    """Writes sums in the job's currency."""

    currency: str

    def __call__(self, sum_: float) -> str:
        """`234 EUR`; the bare number where the job names no currency."""
        return f"{sum_:,.0f} {self.currency}".replace(",", "\u00a0").strip()


def _currency(report: PlanReport) -> str:
    if report.currency:
        return f"All prices in {report.currency}."
    return "The job names no currency: prices are in the unit of its hourly rate."


def _lack(offer: Offered) -> str:
    if offer.choice is None:
        return f"The offer “{offer.name}” is not possible: {offer.why_not}."
    if not offer.choice.cures:
        return "There is nothing to be done by what is known so far, and so nothing to quote."
    return ""


def _rows(report: PlanReport, money: _Money) -> Iterator[OfferRow]:
    def parts(sum_: float) -> str:
        return money(sum_) if report.parts_priced else "not priced"

    told: tuple[tuple[str, Callable[[Offered], str]], ...] = (
        ("Items of work", lambda o: str(len(o.choice.cures)) if o.choice else NOT_POSSIBLE),
        ("Places opened", lambda o: str(len(o.choice.opened)) if o.choice else NOT_POSSIBLE),
        ("Work, middle", lambda o: _hours(o.quote.minutes[1]) if o.quote else NOT_POSSIBLE),
        ("Parts", lambda o: parts(o.quote.parts) if o.quote else NOT_POSSIBLE),
        ("Sum, low", lambda o: money(o.quote.low) if o.quote else NOT_POSSIBLE),
        ("Sum, middle", lambda o: money(o.quote.middle) if o.quote else NOT_POSSIBLE),
        ("Sum, high", lambda o: money(o.quote.high) if o.quote else NOT_POSSIBLE),
        ("Left as they are", lambda o: str(len(o.choice.left)) if o.choice else NOT_POSSIBLE),
        (
            "Comebacks to reckon with",
            lambda o: f"{o.choice.comebacks:.1f}" if o.choice else NOT_POSSIBLE,
        ),
        (
            "Sum with comebacks",
            lambda o: money(o.choice.expected_cost) if o.choice else NOT_POSSIBLE,
        ),
    )
    for name, value in told:
        values = tuple(value(offer) for offer in (*report.offers, report.pays))
        yield OfferRow(name=name, values=values)


def _hours(minutes: float) -> str:
    return f"{minutes / 60.0:.1f} h"


def _stage(known: WorkUp, stage: Stage, money: _Money) -> StageRow:
    low, _, high = stage.minutes
    timed = stage.likely > 0.0
    return StageRow(
        place=sentence(stage.place) or "For all",
        lines=tuple(sentence(line_words(line.words, known.labels)) for line in stage.lines),
        minutes=f"{stage.likely:.0f} min" if timed else "",
        span=f"{low:.0f} to {high:.0f} min" if timed else "",
        work=money(stage.work) if timed else "",
        parts=money(stage.parts) if stage.parts else "",
    )


def _total(known: WorkUp, money: _Money) -> StageRow | None:
    staged = known.quote
    quoted = staged.offer.quote
    if quoted is None or not staged.stages:
        return None
    low, _, high = quoted.minutes
    return StageRow(
        place="Together",
        lines=(),
        minutes=f"{staged.likely_minutes:.0f} min",
        span=f"{low:.0f} to {high:.0f} min",
        work=money(staged.likely_work),
        parts=money(quoted.parts) if quoted.parts else "",
    )


def _sums(known: WorkUp, money: _Money) -> Iterator[SumRow]:
    """The lines at the middle value, as the quote adds them up."""
    staged = known.quote
    quoted = staged.offer.quote
    if quoted is None or not staged.stages:
        return
    yield _sum(f"Work, {_hours(quoted.minutes[1])} (middle)", money(quoted.work))
    yield _sum("Parts", money(quoted.parts) if known.plan.parts_priced else "not priced")
    if quoted.parts:
        yield _sum(f"Handling of parts, {sure(staged.handling)}", money(quoted.handling))
    if quoted.postage:
        yield _sum("Postage", money(quoted.postage))
    if quoted.vat is None:
        yield _sum("VAT", "none")
    else:
        yield _sum("VAT", money(quoted.vat))
    yield SumRow(name="Sum, middle", value=money(quoted.middle), strong=True)


def _sum(name: str, value: str) -> SumRow:
    return SumRow(name=name, value=value, strong=False)


def _call(known: WorkUp, money: _Money) -> str:
    staged = known.quote
    quoted = staged.offer.quote
    if quoted is None or not staged.stages:
        return ""
    often = (
        "fewer than 1 of 100 such jobs"
        if staged.in_a_hundred < 1.0
        else f"about {staged.in_a_hundred:.0f} of 100 such jobs"
    )
    return (
        f"We call you before going beyond {money(quoted.call_at)}, and stop until you say. That "
        f"happens in {often}."
    )


def _assumes(known: WorkUp, money: _Money) -> Iterator[str]:
    """What the price rests on, in words."""
    report, staged = known.plan, known.quote
    given = "the job's own rate" if report.rate_given else "an assumed rate: the job gives none"
    yield f"An hour's work is counted at {money(report.rate)} ({given})."
    yield (
        f"The price holds where the copper is bright when a wire is cut back by "
        f"{staged.bright_mm:.0f} mm; dark copper asks for a longer cut."
    )
    yield (
        "Minutes are common practice, least, likely and most; the chances that something comes "
        "back are assumed, no published source."
    )
    if staged.offer.quote is not None and staged.offer.quote.vat is None:
        yield "No VAT is shown: the job sets none."
    if report.parts_priced:
        yield "Parts are at the prices written down with the job; they may have changed."
    else:
        yield "Parts are not priced in this quote: the job gives no prices."
    if staged.offer.choice is not None and staged.offer.choice.left:
        yield f"Left as they are: {listed(list(staged.offer.choice.left))}."
    for note in report.notes:
        yield f"{sentence(note)}."

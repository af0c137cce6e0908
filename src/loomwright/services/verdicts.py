"""What one reading says at once: in band, outside or borderline, and where on the scale."""

from __future__ import annotations

import math

import attrs

from loomwright.diagnosis import Model
from loomwright.loom import Job, NotFound, Reading, State
from loomwright.services.diagnose import unusable
from loomwright.services.expect import Expectation, expectation
from loomwright.services.numbers import shown
from loomwright.services.prove import IN_ORDER, off_in_bands
from loomwright.services.words import VERDICTS, band, state_words

_EDGE_FROM, _EDGE_TO = 0.9, 1.5  # half widths of the band; up to three standard uncertainties
_MIDDLE, _HALF, _MOST = 50, 20, 46
_OPEN_LOW, _OPEN_SPAN, _NOT_OPEN = 60, 20, 30
EDGE = "at the edge of the band, where sound looms and faulty ones meet: take it again"


@attrs.frozen(kw_only=True)
class OnScale:
    """A band on a scale, in whole percent of its length.

    Attributes
    ----------
    low, span : the band's lower end and length
    at : the value; None before it is read
    low_words, high_words : at the ends of the band
    words : the whole as a sentence
    """

    low: int
    span: int
    at: int | None
    low_words: str
    high_words: str
    words: str


@attrs.frozen(kw_only=True)
class Judged:
    """One reading against the band of a sound loom.

    Attributes
    ----------
    row : it with its band
    kind : `in`, `out`, or `near` at an edge of the band
    words : the verdict with mark, value and band
    aside : why it says nothing reliable; blank where it does
    """

    row: Expectation
    kind: str
    words: str
    aside: str


def verdict(job: Job, reading: Reading, model: Model | None = None) -> Judged:
    """What one reading says by itself; quick, nothing is weighed.

    Parameters
    ----------
    job : the job
    reading : a row of its readings, before or after the work
    model : of the loom, where it is already made
    """
    model = model or Model(job)
    row = expectation(model, reading)
    near = _borderline(row)
    return Judged(
        row=row,
        kind="near" if near else _inside(row),
        words=f"{_words(row)}, {EDGE}." if near else f"{_words(row)}.",
        aside=unusable(model, reading),
    )


def reading_named(job: Job, name: str, table: str) -> Reading:
    """A reading by its name.

    Raises
    ------
    NotFound
        when there is none.
    """
    for reading in job.proof if table == "proof" else job.readings:
        if reading.reading == name:
            return reading
    raise NotFound(f'there is no reading "{name}" in {table}')


def on_scale(row: Expectation) -> OnScale:
    """Where band and value lie; the band in the middle, over-range beyond all values."""
    text = sound_words(row)
    if math.isinf(row.nominal):
        low, span = _OPEN_LOW, _OPEN_SPAN
        at = None
        if row.taken is not None:
            at = low + span // 2 if row.verdict == IN_ORDER else _NOT_OPEN
        return OnScale(low=low, span=span, at=at, low_words="", high_words="OL", words=text)
    off = off_in_bands(row)
    at = None
    if off is not None:
        at = round(_MIDDLE + max(-_MOST, min(_MOST, _HALF * off)))
    ends = [band(end, end, row.quantity) for end in (row.low, row.high)]
    return OnScale(
        low=_MIDDLE - _HALF, span=2 * _HALF, at=at, low_words=ends[0], high_words=ends[1],
        words=text,
    )  # fmt: skip


def sound_words(row: Expectation) -> str:
    """What a sound loom reads, at which temperatures: `A sound loom reads OL at engine 18 °C.`"""
    told = [f"{name}={value:g}" for name, value in sorted(State.parse(row.state).settings.items())
            if isinstance(value, float)]  # fmt: skip
    told = [] if math.isinf(row.nominal) else told
    at = f" at {state_words('; '.join(told))}" if told else ""
    return f"A sound loom reads {band(row.low, row.high, row.quantity)}{at}."


def _words(row: Expectation) -> str:
    mark, _ = VERDICTS[row.verdict]
    taken = "" if row.taken is None else f" {shown(row.taken, row.quantity)}"
    return f"{mark} {row.verdict}:{taken}"


def _inside(row: Expectation) -> str:
    return "in" if row.verdict == IN_ORDER else "out"


def _borderline(row: Expectation) -> bool:
    """Whether a value lies at an edge of the band, where sound looms and faulty ones meet."""
    off = off_in_bands(row)
    if off is None or row.verdict == "refused" or (off < 0.0 and row.low <= 0.0):
        return False
    return _EDGE_FROM <= abs(off) <= _EDGE_TO

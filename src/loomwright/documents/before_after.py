"""The report before and after: whether the readings show that the work helped, for the owner."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import attrs

from loomwright.documents.done_part import Done, DonePart
from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.drawings.reading_scale import Marks, reach, reading_scale
from loomwright.loom import State
from loomwright.services.effect_words import Twice, named, twice
from loomwright.services.expect import Expectation
from loomwright.services.numbers import shown
from loomwright.services.prove import Proof, counted, off_in_bands
from loomwright.services.words import band, degrees, listed, sentence, signed, state_words
from loomwright.services.workup import WorkUp

MEANS: Mapping[str, str] = {
    "better": "the reading came closer to a sound loom by more than its uncertainty",
    "same": "in order before and in order now",
    "in order": "in order now; there is no reading before",
    "not shown": "the change is smaller than its uncertainty, or none that helps",
    "not in order": "not in order now; there is no reading before",
    "worse": "the reading moved away from a sound loom by more than its uncertainty",
}
"""What each verdict means."""
MARKS: Mapping[str, str] = {
    "better": "✓", "same": "=", "in order": "✓", "not shown": "?", "not in order": "✗",
    "worse": "✗",
}  # fmt: skip
"""A mark for each verdict; the word always stands beside it."""
HOW_TO_READ = (
    "The box is what about 95 of 100 sound looms would read. Each value is set against a sound "
    "loom at its own temperature, so that a cold and a hot day can be compared.",
    "The open circle is the reading before the work, the filled dot the one after it. A dot inside "
    "the box is in order. An arrow says that the value lies far beyond the end.",
    "Give or take is two standard uncertainties of the change: meter, leads, probes, parts and "
    "temperatures together. Only a change larger than that counts.",
)


@attrs.frozen(kw_only=True)
class Reading:
    """One reading, before and after.

    Attributes
    ----------
    name, probe : its name, and where red and black went
    state : of the car
    mark, verdict : of the comparison, the word as it is
    scale, alt : its drawing, and the same in words
    before, after : the values with their temperatures; before empty where there is none
    sound_then, sound_now : what a sound loom reads at those temperatures
    change : change of what it is off by, with its uncertainty; empty where there is none
    """

    name: str
    probe: str
    state: str
    mark: str
    verdict: str
    scale: str
    alt: str
    before: str
    sound_then: str
    after: str
    sound_now: str
    change: str


@attrs.frozen(kw_only=True)
class Belief:
    """What the control unit believes at one temperature.

    Attributes
    ----------
    sensor : in words
    true, before, after : temperatures
    fuel_before, fuel_after : how much more or less fuel; empty without a table
    """

    sensor: str
    true: str
    before: str
    after: str
    fuel_before: str
    fuel_after: str


@attrs.frozen(kw_only=True)
class BeforeAfter(Context):
    """What the template is given.

    Attributes
    ----------
    verdict : the whole in a sentence
    counts : how many readings have each verdict, in a sentence
    how_to_read : the drawing and the words, in a few sentences
    meanings : verdicts that occur, with what they mean
    readings : those after the work
    beliefs : what the control unit believes, before and after
    beliefs_note : what that rests on; empty without them
    open_points : readings that are not proved, and what else is open
    done_note : how far the work is, in a sentence; empty where nothing was logged
    done : what was done, item by item
    also : what was done and no offer asked for, a sentence each
    not_done : what is open of the work, in sentences
    pictured : photos of items at which nothing was logged
    photos_note : photos that are only named, in sentences
    notes : what the paper rests on
    """

    verdict: str
    counts: str
    how_to_read: tuple[str, ...]
    meanings: tuple[tuple[str, str, str], ...]
    readings: tuple[Reading, ...]
    beliefs: tuple[Belief, ...]
    beliefs_note: str
    open_points: tuple[str, ...]
    done_note: str
    done: tuple[Done, ...]
    also: tuple[str, ...]
    not_done: tuple[str, ...]
    pictured: tuple[Done, ...]
    photos_note: tuple[str, ...]
    notes: tuple[str, ...]


def before_after(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The report; it says so where nothing was measured after the work.

    Parameters
    ----------
    known : the job and what is known of it
    made_on : the day, ISO 8601
    """
    report = known.proof
    marks = [_marks(proof) for proof in report.proofs]
    wide = reach(marks)
    found = dict(counted(report))
    believed = tuple(_beliefs(known))
    part = DonePart(known)
    yield Paper(
        name="before-and-after-report",
        template="before-after",
        context=BeforeAfter(
            **headed(known.job, "Before and after", made_on),
            verdict=report.verdict,
            counts=_counts(found),
            how_to_read=HOW_TO_READ if report.proofs else (),
            meanings=tuple((MARKS[word], word, f"{MEANS[word]}.") for word in found),
            readings=tuple(
                _reading(number, proof, mark)
                for number, (proof, mark) in enumerate(zip(report.proofs, marks, strict=True))
            ),
            beliefs=believed,
            beliefs_note="Middle values over all that the readings leave open; fuel against what "
            "the true temperature would ask for."
            if believed
            else "",
            open_points=tuple(_open(known)),
            done_note=part.note(),
            done=part.done(),
            also=part.also(),
            not_done=part.not_done(),
            pictured=part.pictured(),
            photos_note=part.photos_note(),
            notes=(
                "The uncertainty of the change is reckoned by the law of propagation; what both "
                "readings share is taken as shared (JCGM 100:2008, 5.2.2).",
                "A reading in order shows this path at rest, on that day. It does not show faults "
                "that come and go, nor what was not measured.",
            ),
        ),
        pictures={
            _picture(number): reading_scale(mark, reach=wide) for number, mark in enumerate(marks)
        }
        | part.pictures(),
    )


def _picture(number: int) -> str:
    return f"scale-{number}.svg"


def _counts(found: Mapping[str, int]) -> str:
    if not found:
        return (
            "Take the readings of the test sheet again, above all those that were not in order, "
            "and write them into proof."
        )
    total = sum(found.values())
    things = "reading" if total == 1 else "readings"
    told = listed([f"{count} {word}" for word, count in found.items()])
    return f"{total} {things} after the work: {told}."


def _marks(proof: Proof) -> Marks:
    return Marks(
        reading=proof.after.reading or "without a name",
        before=None if proof.before is None else off_in_bands(proof.before),
        after=off_in_bands(proof.after),
        words=" ".join(_said(proof)),
    )


def _said(proof: Proof) -> Iterator[str]:
    """The drawing in words."""
    if proof.before is not None:
        yield f"Before the work {_value(proof.before)}, {_stands(proof.before)}."
    yield f"After it {_value(proof.after)}, {_stands(proof.after)}."
    yield f"{sentence(proof.verdict)}."


def _stands(row: Expectation) -> str:
    return "inside the band of a sound loom" if row.verdict == "as expected" else row.verdict


def _reading(number: int, proof: Proof, marks: Marks) -> Reading:
    now, then = proof.after, proof.before
    return Reading(
        name=now.reading or "",
        probe=f"red {now.plus}, black {now.minus}",
        state=_state(now),
        mark=MARKS[proof.verdict],
        verdict=proof.verdict,
        scale=_picture(number),
        alt=marks.words,
        before="not read" if then is None else _value(then),
        sound_then="" if then is None else band(then.low, then.high, then.quantity),
        after=_value(now),
        sound_now=band(now.low, now.high, now.quantity),
        change=_change(proof),
    )


def _value(row: Expectation) -> str:
    """A value with the engine's temperature, where it was written: `431 Ω at 82 °C`."""
    engine = State.parse(row.state).settings.get("engine_c")
    at = f" at {degrees(engine)}" if isinstance(engine, float) else ""
    return "" if row.taken is None else f"{shown(row.taken, row.quantity)}{at}"


def _change(proof: Proof) -> str:
    if proof.change is None or proof.uncertainty is None:
        return ""
    quantity = proof.after.quantity
    sign = "−" if proof.change < 0 else "+"
    return (
        f"{sign}{shown(abs(proof.change), quantity)}, give or take "
        f"{shown(proof.uncertainty, quantity)}"
    )


def _state(row: Expectation) -> str:
    """The state without its temperatures, and what is unplugged."""
    settings = State.parse(row.state).settings
    held = "; ".join(f"{k}={v}" for k, v in settings.items() if not isinstance(v, float))
    off = f"{listed(list(row.unplugged))} unplugged" if row.unplugged else ""
    return sentence("; ".join(each for each in (state_words(held), off) if each))


def _beliefs(known: WorkUp) -> Iterator[Belief]:
    after = known.sees_after
    before = known.sees if after else None  # of a large loom it takes seconds
    for row in () if before is None or after is None else twice(before, after):
        yield Belief(
            sensor=named(row.device, known.labels),
            true=degrees(row.before.true_c),
            before=degrees(row.before.believed_c),
            after="" if row.after is None else degrees(row.after.believed_c),
            fuel_before=_fuel(row, after=False),
            fuel_after=_fuel(row, after=True),
        )


def _fuel(row: Twice, *, after: bool) -> str:
    seen = row.after if after else row.before
    return "" if seen is None or seen.fuel_pct is None else signed(seen.fuel_pct, "%")


def _open(known: WorkUp) -> Iterator[str]:
    report = known.proof
    for name in report.unproved:
        yield f"{name}: not in order before the work and not read again."
    for proof in report.proofs:
        if proof.after.reading in report.still_open:
            yield f"{proof.after.reading}: {proof.verdict}, {proof.after.verdict} now."
    for name, why in report.set_aside:
        yield f"{name} is set aside: {why}."

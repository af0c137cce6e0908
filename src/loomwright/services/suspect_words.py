"""A suspect in words: what is wrong and how much, what speaks for it and against it."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.services.finding_words import doubt
from loomwright.services.suspects import Suspect, SuspectsReport
from loomwright.services.words import BETWEEN, band, fault, listed, sure

NOT_A_SUM = "Two things can be wrong at once: the shares need not add up to 100 %."


def likely(suspect: Suspect) -> str:
    """A word for its share."""
    if suspect.probability >= 0.5:
        return "likely"
    return "possible" if suspect.probability >= 0.1 else "hardly"


def magnitude(suspect: Suspect) -> str:
    """What is wrong there and how much: `high resistance, about 111 Ω (90 % range …)`."""
    if suspect.ohm is None:
        return fault(suspect.kind)
    low, middle, high = suspect.ohm
    about = band(middle, middle, "ohm")
    return f"{fault(suspect.kind)}, about {about} (90 % range {band(low, high, 'ohm')})"


def said_of(suspect: Suspect) -> Iterator[tuple[str, str]]:
    """What is told of it, each with a word: `for`, `but`, `kind`, `doubt`, `apart`."""
    yield from (("for", reason.sentence) for reason in suspect.because)
    if suspect.complaint:
        yield "for", suspect.complaint
    yield from (("but", reason.sentence) for reason in suspect.against)
    if len(suspect.kinds) > 1:
        kinds = [f"{fault(kind)} {sure(share)}" for kind, share in suspect.kinds]
        yield "kind", listed(kinds, "or")
    if doubt(suspect):
        yield "doubt", f"it rests on {doubt(suspect)}"
    if suspect.apart and not between_two(suspect):
        yield "apart", suspect.apart


def between_two(suspect: Suspect) -> bool:
    """Whether the two items are the ends of one fault rather than two candidates for it."""
    owners = {item.partition(".")[0] for item in suspect.items}
    return suspect.kind in BETWEEN and len(suspect.items) == 2 and len(owners) == 1


def not_used(report: SuspectsReport) -> Iterator[str]:
    """Readings that fit nothing, and those that were set aside, each with why."""
    yield from (each.sentence for each in report.contradictions)
    yield from (f"{reading} is set aside: {reason}." for reading, reason in report.set_aside)


def reach(report: SuspectsReport) -> Iterator[str]:
    """How far the readings reach."""
    yield (
        f"These readings could have shown {sure(report.coverage)} of the faults that are modelled, "
        "each counted by how often it is met. The rest has not been looked at."
    )
    yield (
        f"Nothing wrong at all: {sure(report.sound)}. "
        f"Something that is not modelled: {sure(report.unmodelled)}."
    )

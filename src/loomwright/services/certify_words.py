"""How far a loom is shown to be sound, in words, and the readings that would show more."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.services.certify import CertifyReport, PlannedReading
from loomwright.services.next_words import Caution
from loomwright.services.words import sure

ONCE = "A caution is told where it first applies and holds from there on."
SOUND_THEN = "Each reading as it was expected, the loom is sound as far as this coverage goes."


def covered(report: CertifyReport) -> str:
    """What the readings so far have covered."""
    return (
        f"The readings taken would have shown {sure(report.coverage)} of the faults that are "
        f"modelled. Nothing wrong at all: {sure(report.sound)}."
    )


def would_cover(report: CertifyReport) -> str:
    """How many readings would cover more."""
    if not report.plan:
        return "No further reading covers more."
    minutes = sum(planned.step.candidate.minutes for planned in report.plan)
    return f"{len(report.plan)} readings would cover more, about {minutes:.0f} min"


def then_covered(planned: PlannedReading) -> str:
    """What one reading costs, and the coverage with it."""
    minutes = planned.step.candidate.minutes
    return f"about {minutes:.1f} min, then {sure(planned.step.coverage)} covered"


def cautions_once(report: CertifyReport) -> Iterator[tuple[PlannedReading, tuple[Caution, ...]]]:
    """Each reading with the cautions that were not told before it."""
    said: set[str] = set()
    for planned in report.plan:
        new = tuple(caution for caution in planned.cautions if caution.rule not in said)
        said |= {caution.rule for caution in new}
        yield planned, new

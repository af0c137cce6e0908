"""What was found, in sentences: what is wrong, how sure, the next thing to do."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.diagnosis.posterior import CLAIM
from loomwright.services.labels import Labels
from loomwright.services.suspects import NextReading, Suspect, SuspectsReport
from loomwright.services.words import CURES, band, fault, listed, sure

WORTH_NAMING = 0.2
"""A suspect less likely than this waits for the list below."""
MOST_LIKELY = 0.5


def worth_naming(report: SuspectsReport) -> list[tuple[int, Suspect]]:
    """Suspects to be named at a glance, with their numbers; none before the first reading."""
    return [
        (number, each)
        for number, each in enumerate(report.suspects)
        if report.readings_used and (number == report.claimed or each.probability >= WORTH_NAMING)
    ]


def overall(report: SuspectsReport) -> str:
    """What holds of the whole loom, where no suspect says it better; empty otherwise."""
    if not report.readings_used:
        return "Not known: no reading has been taken yet."
    if report.unmodelled > MOST_LIKELY:
        return "The readings fit no fault that is modelled."
    if report.sound > MOST_LIKELY:
        return "Nothing shows in these readings."
    return "" if worth_naming(report) else "Not known: no place stands out yet."


def wrong(report: SuspectsReport, labels: Labels) -> Iterator[str]:
    """What is wrong, as far as it is known."""
    said = overall(report)
    if said:
        yield said
    for number, suspect in worth_naming(report):
        mark = "●" if number == report.claimed else "○ perhaps"
        yield f"{mark} {labels.place(suspect.items, suspect.kind)}: {about(suspect)}"


def how_sure(report: SuspectsReport) -> Iterator[str]:
    """How sure that is, and on what it rests."""
    if not report.readings_used:
        yield "Not at all: the list below only knows what fails most often."
        return
    for number, _ in worth_naming(report):
        yield f"{'●' if number == report.claimed else '○'} {certainty(report, number)}"
    if report.suspects and report.suspects[0].probability < WORTH_NAMING:
        yield f"No place reaches {sure(WORTH_NAMING)}; nothing wrong at all: {sure(report.sound)}."
    elif report.sound > MOST_LIKELY:
        yield (
            f"{sure(report.sound)} that nothing modelled is wrong; the readings could have shown "
            f"{sure(report.coverage)} of it."
        )


def certainty(report: SuspectsReport, number: int) -> str:
    """How sure one suspect is, and why that is enough or not."""
    suspect = report.suspects[number]
    if number == report.claimed:
        return f"{sure(report.sure)}{_which(suspect)}: sure enough to act on."
    return f"{sure(suspect.probability)}{_not_yet(report, number)}."


def _which(suspect: Suspect) -> str:
    """Where an item is surely at fault but the kind of fault is not sure."""
    if suspect.probability >= CLAIM:
        return ""
    return f" that one of these is at fault ({sure(suspect.probability)} that in this way)"


def _not_yet(report: SuspectsReport, number: int) -> str:
    """Why a suspect that is not claimed is not to be acted on."""
    suspect = report.suspects[number]
    if suspect.probability < CLAIM:
        held = f", and it rests on {doubt(suspect)}" if doubt(suspect) else ""
        return f": not sure enough to act on{held}"
    if report.claimed is not None:
        return ": put the other right first, then look again"
    carrier = doubt(suspect) or "one reading alone"
    return f", but {carrier} carries it: confirm it before acting"


def to_do(report: SuspectsReport, labels: Labels) -> Iterator[str]:
    """The next thing to do."""
    claimed = None if report.claimed is None else report.suspects[report.claimed]
    if claimed is not None:
        yield action(claimed, labels)
    if report.next_readings and not report.stop:
        then = "Then measure" if claimed is not None else "Measure"
        yield f"{then} {briefly(report.next_readings[0])}, reading A below."
    elif claimed is None:
        yield "No reading within reach tells more. Look by eye at the first places in the list."


def action(suspect: Suspect, labels: Labels) -> str:
    """What to do about a suspect, and how to see that it helped."""
    owners = list(dict.fromkeys(item.partition(".")[0] for item in suspect.items))
    where = labels.owner(owners[0]).partition(" (")[0] if len(owners) == 1 else "each of them"
    again = f", then take {suspect.because[0].reading} again" if suspect.because else ""
    return f"At {where}: {CURES[suspect.kind]}{again}."


def briefly(reading: NextReading) -> str:
    """A reading in half a line: `ohms, CU.9 to CU.10 (0.5 min)`."""
    probe = reading.suggestion.candidate.probe
    kind = "ohms" if probe.quantity == "ohm" else "volts"
    minutes = reading.suggestion.candidate.minutes
    return f"{kind}, red {probe.plus}, black {probe.minus} (about {minutes:.1f} min)"


def doubt(suspect: Suspect) -> str:
    """Words for a suspect that one reading carries alone; empty when more do."""
    names = list(dict.fromkeys(reason.reading for reason in suspect.because))
    return f"{listed(names)} alone" if len(names) == 1 else ""


def about(suspect: Suspect) -> str:
    """What is wrong with a suspect and how much: `high resistance, about 113 Ω`."""
    if suspect.ohm is None:
        return fault(suspect.kind)
    return f"{fault(suspect.kind)}, about {band(suspect.ohm[1], suspect.ohm[1], 'ohm')}"

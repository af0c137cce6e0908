"""The top of the `suspects` page: what is wrong, how sure, the next thing to do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.cli.page import folded
from loomwright.services.labels import Labels
from loomwright.services.suspects import NextReading, Suspect, SuspectsReport
from loomwright.services.words import CURES, band, fault, listed, sure

if TYPE_CHECKING:
    from rich.panel import Panel

WORTH_NAMING = 0.2
"""A suspect less likely than this waits for the list below."""
MOST_LIKELY = 0.5
CLAIMABLE = 0.95
"""From here on a suspect is acted on, unless one reading alone carries it (docs/diagnosis.md)."""


def glance(report: SuspectsReport, labels: Labels, *, width: int) -> Panel:
    """The panel.

    Parameters
    ----------
    report : what is believed of the job
    labels : the job's names
    width : of the page [columns]
    """
    from rich.panel import Panel
    from rich.text import Text

    lines = []
    for word, said in (
        ("Wrong", wrong(report, labels)),
        ("How sure", how_sure(report)),
        ("Mind", (each.sentence for each in report.contradictions)),
        ("Next", to_do(report, labels)),
    ):
        for n, text in enumerate(said):
            lead = f"{word if n == 0 else '':<10}"
            line = Text(folded(text, width - 4, lead=lead))
            line.stylize("head", 0, 10)
            lines.append(line)
    return Panel(Text("\n").join(lines), padding=(0, 1))


def wrong(report: SuspectsReport, labels: Labels) -> Iterator[str]:
    """What is wrong, as far as it is known."""
    named = [
        (number, each)
        for number, each in enumerate(report.suspects)
        if number == report.claimed or each.probability >= WORTH_NAMING
    ]
    if not report.readings_used:
        yield "Not known: no reading has been taken yet."
        return
    if report.unmodelled > MOST_LIKELY:
        yield "The readings fit no fault that is modelled."
    elif report.sound > MOST_LIKELY:
        yield "Nothing shows in these readings."
    elif not named:
        yield "Not known: no place stands out yet."
    for number, suspect in named:
        mark = "●" if number == report.claimed else "○ perhaps"
        yield f"{mark} {labels.place(suspect.items, suspect.kind)}: {_about(suspect)}"


def how_sure(report: SuspectsReport) -> Iterator[str]:
    """How sure that is, and on what it rests."""
    if not report.readings_used:
        yield "Not at all: the list below only knows what fails most often."
        return
    for number, suspect in enumerate(report.suspects):
        if number == report.claimed:
            yield f"● {sure(report.sure)}{_which(suspect)}: sure enough to act on."
        elif suspect.probability >= WORTH_NAMING:
            yield f"○ {sure(suspect.probability)}{_not_yet(report, number)}."
    if report.suspects and report.suspects[0].probability < WORTH_NAMING:
        yield f"No place reaches {sure(WORTH_NAMING)}; nothing wrong at all: {sure(report.sound)}."
    elif report.sound > MOST_LIKELY:
        yield (
            f"{sure(report.sound)} that nothing modelled is wrong; the readings could have shown "
            f"{sure(report.coverage)} of it."
        )


def _which(suspect: Suspect) -> str:
    """Where an item is surely at fault but the kind of fault is not sure."""
    if suspect.probability >= CLAIMABLE:
        return ""
    return f" that one of these is at fault ({sure(suspect.probability)} that in this way)"


def _not_yet(report: SuspectsReport, number: int) -> str:
    """Why a suspect that is not claimed is not to be acted on."""
    suspect = report.suspects[number]
    if suspect.probability < CLAIMABLE:
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


def _about(suspect: Suspect) -> str:
    if suspect.ohm is None:
        return fault(suspect.kind)
    return f"{fault(suspect.kind)}, about {band(suspect.ohm[1], suspect.ohm[1], 'ohm')}"

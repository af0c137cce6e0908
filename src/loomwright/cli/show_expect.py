"""What `expect` says: each reading against what a sound loom would read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from loomwright.cli.failures import counted
from loomwright.cli.page import Page, table
from loomwright.loom import RESTING, Job, State
from loomwright.services.expect import Expectation
from loomwright.services.numbers import shown
from loomwright.services.words import SAFETY, VERDICTS, band, degrees, listed, state_words

if TYPE_CHECKING:
    from rich.table import Table


def show_expect(rows: Sequence[Expectation], job: Job) -> None:
    """One table, then what its figures rest on.

    Parameters
    ----------
    rows : the readings with their bands
    job : for the temperature of the workshop
    """
    page = Page()
    page.title(job.about.title)
    if not rows:
        page.say("No reading has been taken yet; add --all for those worth taking.")
        return
    always = frozenset.intersection(*(frozenset(row.unplugged) for row in rows))
    page.gap()
    page.show(_table(rows, always))
    page.gap()
    for note in _notes(rows, always):
        page.say(note)
    for lead, note in _temperatures(rows, job):
        page.say(note, lead=lead)
    page.say(SAFETY)


def _table(rows: Sequence[Expectation], always: frozenset[str]) -> Table:
    from rich.text import Text

    made = table(
        ("", "left", 4),
        ("Red – black", "left", 15),
        ("State", "left", 14),
        ("A sound loom reads", "right", 18),
        ("Taken", "right", 8),
        ("Verdict", "left", 13),
    )
    for row in rows:
        mark, style = VERDICTS[row.verdict]
        made.add_row(
            row.reading or "",
            f"{row.plus} – {row.minus}",
            short_state(row, always),
            band(row.low, row.high, row.quantity),
            "" if row.taken is None else shown(row.taken, row.quantity),
            Text(f"{mark} {row.verdict}", style=style),
        )
    return made


def short_state(row: Expectation, always: frozenset[str]) -> str:
    """What sets a reading apart: `82 °C, TE off`; the rest is told below the table.

    Parameters
    ----------
    row : the reading
    always : plugs that are off in every reading
    """
    settings = State.parse(row.state).settings
    said = []
    for name, value in settings.items():
        if isinstance(value, float):
            said += [degrees(value)] if name == "engine_c" else []
        elif value != RESTING.get(name):
            said.append(f"{name} {value}")
    said += [f"{plug} off" for plug in row.unplugged if plug not in always]
    return ", ".join(said)


def _notes(rows: Sequence[Expectation], always: frozenset[str]) -> Iterator[str]:
    taken = [row for row in rows if row.taken is not None]
    odd = [row for row in taken if row.verdict not in ("as expected", "refused")]
    if taken:
        yield f"{counted(len(taken), 'reading')} taken; {len(odd)} outside a sound loom's band."
    rest = " and ".join(f"{name} {value}" for name, value in RESTING.items())
    off = f"; plug {listed(sorted(always))} off throughout" if always else ""
    yield f"State: {rest} unless it says otherwise; the temperature is the engine's{off}."
    for row in rows:
        if row.verdict == "refused" and row.cautions:
            yield f"! {row.reading} is set aside: {row.cautions[0].reason}."
    yield from _side_paths(rows)
    yield from _drops(rows)
    if len(taken) < len(rows):
        yield (
            "! Before ohms: key off and the control unit's plug off. With the key on the pump may "
            "run and fuel is under pressure."
        )
    yield "A band holds about 95 of 100 sound looms: parts within tolerance, meter, leads, probes."


def _side_paths(rows: Sequence[Expectation]) -> Iterator[str]:
    for row in rows:
        if not row.side_paths or not row.reading or row.verdict == "refused":
            continue
        names = listed(
            [f"{path.device} ({100 * path.share:.0f} % of the current)" for path in row.side_paths]
        )
        off = [
            f"{listed(list(path.unplug))} to remove {path.device}"
            for path in row.side_paths
            if path.unplug
        ]
        cure = f"; unplug {', '.join(off)}" if off else ""
        yield f"{row.reading} also sees {names}{cure}."


def _drops(rows: Sequence[Expectation]) -> Iterator[str]:
    """What a voltage along wires means in milliohms, against what the wire alone should give."""
    for row in rows:
        if row.drop is None or row.taken is None or not row.reading:
            continue
        drop = row.drop
        yield (
            f"{row.reading} means {1e3 * drop.measured_ohm(row.taken):.0f} mΩ along "
            f"{listed(list(drop.items))}, if {drop.ampere:.2g} A flow: the wire alone gives "
            f"{1e3 * drop.wire_ohm:.0f} mΩ, with its connections {1e3 * drop.ohm:.0f} mΩ."
        )


def _temperatures(rows: Sequence[Expectation], job: Job) -> Iterator[tuple[str, str]]:
    """The temperatures each stretch of readings was taken at, and what is assumed."""
    yield "", "Temperatures assumed, each with its uncertainty in the band:"
    for told, group in groupby(rows, key=_told):
        names = [row.reading for row in group if row.reading]
        ends = dict.fromkeys((names[0], names[-1])) if names else {"not taken": None}
        lead = f"  {' to '.join(ends)}: "
        yield lead, told or f"none written, so the workshop's {degrees(job.about.ambient_c)}"


def _told(row: Expectation) -> str:
    settings = State.parse(row.state).settings
    temperatures = sorted((k, v) for k, v in settings.items() if isinstance(v, float))
    return state_words("; ".join(f"{name}={value:g}" for name, value in temperatures))

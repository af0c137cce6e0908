"""Readings against their bands in words: states, what the figures rest on, temperatures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from loomwright.loom import RESTING, Job, State
from loomwright.services.counting import counted
from loomwright.services.expect import Expectation
from loomwright.services.words import degrees, listed, spoken, state_words

NONE_TAKEN = "No reading has been taken yet"


def off_throughout(rows: Sequence[Expectation]) -> frozenset[str]:
    """Plugs that are off in every reading."""
    return frozenset.intersection(*(frozenset(row.unplugged) for row in rows))


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
            said.append(f"{spoken(name)} {spoken(value)}")
    said += [f"{plug} off" for plug in row.unplugged if plug not in always]
    return ", ".join(said)


def notes(rows: Sequence[Expectation], always: frozenset[str]) -> Iterator[str]:
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
    yield from side_paths(rows)
    yield from drops(rows)
    if len(taken) < len(rows):
        yield (
            "! Before ohms: key off and the control unit's plug off. With the key on the pump may "
            "run and fuel is under pressure."
        )
    yield "A band holds about 95 of 100 sound looms: parts within tolerance, meter, leads, probes."


def side_paths(rows: Sequence[Expectation]) -> Iterator[str]:
    """Parts that carry some of a reading's current, and what to unplug against that."""
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


def drops(rows: Sequence[Expectation]) -> Iterator[str]:
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


def temperatures(rows: Sequence[Expectation], job: Job) -> Iterator[tuple[str, str]]:
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

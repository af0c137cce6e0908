"""The test sheet: every reading with what it should be, what it was, and room for what it is."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

import attrs

from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.loom import State
from loomwright.services.expect import Expectation
from loomwright.services.numbers import shown
from loomwright.services.words import band, degrees, listed, sentence, state_words
from loomwright.services.workup import WorkUp


@attrs.frozen(kw_only=True)
class Row:
    """One reading.

    Attributes
    ----------
    number : its name, or a running one where it has none
    probe : where red and black go
    nominal, band : what a sound loom reads
    before, verdict : what was read before the work and how that stands; empty when not taken
    after : what was read after it, empty when not taken
    note : what else has to be known
    """

    number: str
    probe: str
    nominal: str
    band: str
    before: str
    verdict: str
    after: str
    note: str


@attrs.frozen(kw_only=True)
class Group:
    """Readings in one state of the car.

    Attributes
    ----------
    setting : state and what is unplugged, in words
    rows : its readings
    """

    setting: str
    rows: tuple[Row, ...]


@attrs.frozen(kw_only=True)
class TestSheet(Context):
    """What the template is given.

    Attributes
    ----------
    how : how the sheet is used
    cautions : what can hurt, before anything else
    groups : the readings by state
    notes : what the bands rest on
    """

    how: str
    cautions: tuple[str, ...]
    groups: tuple[Group, ...]
    notes: tuple[str, ...]


def test_sheet(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The sheet for every reading that was taken or is worth taking; none where there is none."""
    rows = known.expected
    if not rows:
        return
    after = {
        proof.before.reading or "": _again(proof.after)
        for proof in known.proof.proofs
        if proof.before is not None
    }
    numbered = [(row.reading or f"N{n}", row) for n, row in enumerate(rows, start=1)]
    groups = tuple(
        Group(setting=setting, rows=tuple(_row(name, row, after) for name, row in group))
        for setting, group in groupby(numbered, key=lambda pair: _setting(pair[1]))
    )
    reasons = dict.fromkeys(_general(each.reason, row) for row in rows for each in row.cautions)
    yield Paper(
        name="test-sheet",
        template="test-sheet",
        context=TestSheet(
            **headed(known.job, "Test sheet", made_on),
            how="Take the readings in this order, at these temperatures, and write them down.",
            cautions=(
                "Key off and the control unit's plug off before any reading in ohms.",
                "With the key on the pump may run and fuel is under pressure; keep clear of "
                "belts, fan and hot metal.",
                *reasons,
            ),
            groups=groups,
            notes=(
                "About 95 of 100 sound looms read between the two values: parts within their "
                "tolerance, meter, leads and probes taken together.",
                "A reading after the work is compared at its own temperature; write that down "
                "beside it when it is not the one above.",
            ),
        ),
    )


def _row(name: str, row: Expectation, after: dict[str, str]) -> Row:
    taken = row.taken
    return Row(
        number=name,
        probe=f"red {row.plus}, black {row.minus}",
        nominal=shown(row.nominal, row.quantity),
        band=band(row.low, row.high, row.quantity),
        before="" if taken is None else shown(taken, row.quantity),
        verdict="" if row.verdict in ("not taken", "as expected") else row.verdict,
        after=after.get(row.reading or name, ""),
        note=_note(row),
    )


def _note(row: Expectation) -> str:
    seen = [path.device for path in row.side_paths]
    return f"also sees {listed(seen)}" if seen else ""


def _general(reason: str, row: Expectation) -> str:
    """A caution of one reading, said once for all that have it."""
    for point in (row.plus, row.minus):
        reason = reason.replace(point, "a cavity")
    return sentence(reason)


def _again(row: Expectation) -> str:
    """A value read after the work, with the engine's temperature where it was written."""
    engine = State.parse(row.state).settings.get("engine_c")
    at = f" at {degrees(engine)}" if isinstance(engine, float) else ""
    return "" if row.taken is None else f"{shown(row.taken, row.quantity)}{at}"


def _setting(row: Expectation) -> str:
    """`Key off, throttle shut, engine 18 °C; CU unplugged`."""
    settings = State.parse(row.state).settings
    order = sorted(settings, key=lambda name: (isinstance(settings[name], float), name))
    words = state_words("; ".join(f"{name}={settings[name]}" for name in order))
    off = f"{listed(list(row.unplugged))} unplugged" if row.unplugged else ""
    return sentence("; ".join(each for each in (words, off) if each) or "everything plugged")

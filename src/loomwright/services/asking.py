"""Which reading is asked for: by hand, by the diagnosis, once more; and whether it may be taken."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

import attrs

from loomwright.diagnosis import Probe, Setting
from loomwright.diagnosis.harm import control_plugs
from loomwright.loom import (
    InputProblems,
    Job,
    Point,
    Reading,
    State,
    Topology,
    inconsistencies,
    read_record,
    schema,
)
from loomwright.loom.errors import Refused
from loomwright.services.expect import Expectation
from loomwright.services.measuring import last_taken
from loomwright.services.next_words import cautions_of
from loomwright.services.suspects import NextReading, SuspectsReport

__all__ = [
    "Probe",
    "as_texts",
    "made_safe",
    "offered",
    "permitted",
    "probe_of",
    "wished",
]

_ASKED = ("quantity", "plus", "minus", "unplugged")
_TURNING = ("crank", "engine")


def wished(job: Job, texts: Mapping[str, str]) -> Probe:
    """The reading that a person asks for by hand; what is not said is as it was last, made safe.

    Parameters
    ----------
    job : the job
    texts : by column of the table readings; `plus` and `minus` at least

    Raises
    ------
    InputProblems
        holding all that is wrong with it.
    """
    last = last_taken(job)
    said = {name: texts[name] for name in (*_ASKED, "state", "meter") if texts.get(name)}
    given = {"plus": "", "minus": "", **said}
    given.setdefault("quantity", "ohm")
    volts = given["quantity"] == "volt"
    if "unplugged" not in texts and not volts:
        given["unplugged"] = " ".join(control_plugs(Topology(job)))
    if "state" not in given:
        before = last.state if last else State()
        given["state"] = str(before.changed(key="on" if volts else "off"))
    row = cast(
        Reading, read_record(schema.table("readings"), {"reading": "R", "value": "0", **given})
    )
    wrong = [
        each
        for each in inconsistencies(attrs.evolve(job, readings=(row,), proof=()))
        if each.where.table == "readings" and each.where.column in _ASKED and not each.warning
    ]
    if wrong:
        raise InputProblems(wrong)
    meter = row.meter or (last.meter if last else None)
    return attrs.evolve(Probe.of(row), meter=meter)


def as_texts(probe: Probe) -> dict[str, str]:
    """The columns that ask for a reading: `wished` makes the same of them again."""
    return {
        "quantity": probe.quantity,
        "plus": str(probe.plus),
        "minus": str(probe.minus),
        "unplugged": " ".join(sorted(probe.setting.unplugged)),
        "state": str(probe.setting.as_state),
    }


def probe_of(row: Expectation) -> Probe:
    """The reading that a band was worked out for."""
    setting = Setting.of(State.parse(row.state), row.unplugged)
    return Probe(row.quantity, Point.parse(row.plus), Point.parse(row.minus), setting)


def made_safe(loom: Topology, probe: Probe) -> Probe | None:
    """The same points with the supply off and the control unit's plug off; None if that is refused.

    Volts stay as they are: no rule refuses them.
    """
    state = probe.setting.as_state
    still = {name: value for name, value in state.settings.items() if name not in _TURNING}
    setting = Setting.of(
        State.of({**still, "key": "off"}), probe.setting.unplugged | {*control_plugs(loom)}
    )
    safe = attrs.evolve(probe, setting=setting)
    return None if any(caution.refuses for caution in cautions_of(loom, safe)) else safe


def permitted(job: Job, probe: Probe) -> None:
    """See that a reading may be taken.

    Raises
    ------
    Refused
        with the reason and what to do instead.
    """
    for caution in cautions_of(Topology(job), probe):
        if caution.refuses:
            raise Refused(caution.reason, instead=caution.instead)


def offered(report: SuspectsReport, probe: Probe) -> NextReading | None:
    """The suggestion that a reading is, None where it is the person's own."""
    wanted = as_texts(probe)
    for each in report.next_readings:
        if as_texts(each.suggestion.candidate.probe) == wanted:
            return each
    return None

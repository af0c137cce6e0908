"""The state of a reading: what is held, and the temperatures that are told with it."""

from __future__ import annotations

from collections.abc import Mapping

from loomwright.diagnosis import Probe
from loomwright.loom import (
    TEMPERATURE_KEYS,
    InputProblems,
    Problem,
    Reading,
    State,
    Where,
    read_record,
    schema,
)
from loomwright.loom.state import Value

HOT_C = 50.0
"""From here on a reading counts as hot."""
WARMER_K = 20.0
"""From this rise on the engine has to be warmed first."""
_WRITE = "write degrees, such as 82"


def held(probe: Probe) -> str:
    """The state of a reading without its temperatures: `key=off; throttle=shut`."""
    pairs = probe.setting.as_state.pairs
    return str(State(tuple(pair for pair in pairs if pair[0] not in TEMPERATURE_KEYS)))


def at_temperatures(state: str, typed: Mapping[str, str]) -> str:
    """A state with the temperatures that were typed, those left blank not told."""
    told = [f"{name}={text.strip()}" for name, text in typed.items() if text.strip()]
    return "; ".join(filter(None, (state, *told)))


def temperatures(probe: Probe, last: Reading | None) -> dict[str, str]:
    """What stands in the fields of the temperatures: the last ones, blank where it is to be warmer.

    Parameters
    ----------
    probe : the reading to take
    last : the one before it, on this day
    """
    wanted = probe.setting.as_state.settings
    known = last.state.settings if last else {}
    return {name: _stands(known.get(name), wanted.get(name)) for name in TEMPERATURE_KEYS}


def _stands(known: Value | None, wanted: Value | None) -> str:
    if not isinstance(known, float):
        return ""
    warmer = isinstance(wanted, float) and wanted > known + WARMER_K
    return "" if warmer else f"{known:g}"


def other_heat(reading: Reading) -> str:
    """Whether taking a reading once more is worth it `hot` or `cold`."""
    celsius = reading.state.settings.get("engine_c")
    return "cold" if isinstance(celsius, float) and celsius >= HOT_C else "hot"


def checked(
    table: str, cells: Mapping[str, str], typed: Mapping[str, str], needed: str = ""
) -> None:
    """See that the row of a reading can be read, its temperatures field by field.

    Parameters
    ----------
    table : `readings` or `proof`
    cells : the row, its state without temperatures
    typed : temperatures as they were typed
    needed : the one that must be told, blank where none must

    Raises
    ------
    InputProblems
        holding all that is wrong, temperatures under their own names.
    """
    wrong = [
        Problem(Where(table, None, name), *told)
        for name, text in typed.items()
        if (told := _misread(name, text, needed=name == needed))
    ]
    try:
        read_record(schema.table(table), {"reading": "R", **cells})
    except InputProblems as refusal:
        wrong += refusal.problems
    if wrong:
        raise InputProblems(wrong)


def _misread(name: str, text: str, *, needed: bool) -> tuple[str, str] | None:
    if not text.strip():
        return ("it is not told", _WRITE) if needed else None
    if ";" in text or "=" in text:
        return f'"{text}" is not a number', _WRITE
    try:
        State.parse(f"{name}={text.strip()}")
    except ValueError as failure:
        return str(failure).replace(f"{name}=", "", 1), _WRITE
    return None

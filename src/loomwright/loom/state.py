"""States (key, throttle, temperatures) and the conditions that close a contact in them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

import attrs

Value = str | float

RESTING: Mapping[str, Value] = {"key": "off", "throttle": "shut"}
"""What is assumed when a state does not say: key off, foot off the pedal."""

TEMPERATURE_KEYS = ("engine_c", "air_c", "ambient_c")

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,39}\Z")
_CONDITION = re.compile(r"([A-Za-z][A-Za-z0-9_]{0,39})\s*(!=|<|>|=)\s*([A-Za-z0-9_.+-]+)\Z")
FORM = "Write name=value pairs with semicolons between, such as key=off; throttle=shut; engine_c=18"


@attrs.frozen
class State:
    """What holds while a reading is taken: an ordered list of name and value.

    A value is a number (°C) for the temperature keys, a word for all others. Two states with the
    same pairs in another order are written differently but mean the same; see `settings`.
    """

    pairs: tuple[tuple[str, Value], ...] = ()

    @classmethod
    def parse(cls, text: str) -> State:
        """Read `key=off; throttle=shut; engine_c=18`.

        Raises
        ------
        ValueError
            naming the piece that cannot be read.
        """
        pairs: list[tuple[str, Value]] = []
        seen: set[str] = set()
        for piece in filter(None, (part.strip() for part in text.split(";"))):
            name, equals, value = (part.strip() for part in piece.partition("="))
            if not equals or not _NAME.match(name) or not value or "=" in value:
                raise ValueError(f'"{piece}" is not a name=value pair')
            if name in seen:
                raise ValueError(f'"{name}" is given twice')
            seen.add(name)
            pairs.append((name, _temperature(name, value) if name.endswith("_c") else value))
        return cls(tuple(pairs))

    @classmethod
    def of(cls, settings: Mapping[str, Value] | Iterable[tuple[str, Value]]) -> State:
        """A state from a mapping or pairs."""
        items = settings.items() if isinstance(settings, Mapping) else settings
        return cls(tuple(items))

    @property
    def settings(self) -> dict[str, Value]:
        """The pairs as a mapping, with what is assumed at rest filled in."""
        return {**RESTING, **dict(self.pairs)}

    @property
    def powered(self) -> bool:
        """Whether a supply feeds the loom: any key position but off."""
        return self.settings["key"] != "off"

    def changed(self, **settings: Value) -> State:
        """The same state with some values replaced or added."""
        return State(tuple({**dict(self.pairs), **settings}.items()))

    def __str__(self) -> str:
        return "; ".join(f"{name}={_text(value)}" for name, value in self.pairs)


@attrs.frozen
class Condition:
    """When a contact is closed: all clauses hold. `throttle=shut`, `engine_c<35; key!=off`."""

    clauses: tuple[tuple[str, str, Value], ...] = ()

    @classmethod
    def parse(cls, text: str) -> Condition:
        """Read clauses `name=word`, `name!=word`, `name<number`, `name>number`.

        Raises
        ------
        ValueError
            naming the clause that cannot be read.
        """
        clauses: list[tuple[str, str, Value]] = []
        for piece in filter(None, (part.strip() for part in text.split(";"))):
            match = _CONDITION.match(piece)
            if not match:
                raise ValueError(
                    f'"{piece}" is not a condition such as throttle=shut or engine_c<35'
                )
            name, sign, value = match.groups()
            numeric = sign in "<>" or name.endswith("_c")
            clauses.append((name, sign, _temperature(name, value) if numeric else value))
        return cls(tuple(clauses))

    def holds(self, settings: Mapping[str, Value]) -> bool:
        """Whether every clause is true; a name that is not set makes its clause false."""
        return all(_holds(settings.get(name), sign, value) for name, sign, value in self.clauses)

    def __str__(self) -> str:
        return "; ".join(f"{name}{sign}{_text(value)}" for name, sign, value in self.clauses)


def _holds(actual: Value | None, sign: str, wanted: Value) -> bool:
    if actual is None:
        return False
    if sign == "=":
        return actual == wanted
    if sign == "!=":
        return actual != wanted
    below = float(actual) < float(wanted)
    return below if sign == "<" else float(actual) > float(wanted)


def _temperature(name: str, value: str) -> float:
    try:
        number = float(value.replace(",", "."))
    except ValueError:
        raise ValueError(f'{name}="{value}" is not a number') from None
    if not -60 <= number <= 400:
        raise ValueError(f"{name}={value} is not a possible temperature in °C")
    return number


def _text(value: Value) -> str:
    return f"{value:.15g}" if isinstance(value, float) else value

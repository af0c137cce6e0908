"""A reading to take in words: its steps with their cautions, and what each suspect would give."""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from loomwright.services.next_words import Caution
from loomwright.services.suspects import NextReading
from loomwright.services.words import band, listed

STEP_OF: dict[str, str] = {
    "probing_receptacle": "Measure",
    "fuel_with_key_on": "Set key",
    "turning_engine": "Set key",
    "plug_with_key_off": "Key off",
}
"""How the step begins that a caution belongs to; the others stand before the first step."""
ONE_BIT = "1 bit halves what is still open."
MUTE = "either: it says nothing of this one"


@attrs.frozen
class Step:
    """One thing to do, with what must be minded before it."""

    words: str
    cautions: tuple[str, ...] = ()


def steps(words: tuple[str, ...], cautions: tuple[Caution, ...]) -> tuple[Step, ...]:
    """The steps of a reading, each caution with the step it protects.

    Parameters
    ----------
    words : of `next_words.in_words`
    cautions : what the harm gate says
    """
    plain = _steps(words)
    said: dict[int, list[str]] = {n: [] for n in range(len(plain))}
    for caution in cautions:
        start = STEP_OF.get(caution.rule, "")
        at = next((n for n, step in enumerate(plain) if start and step.startswith(start)), 0)
        said[at].append(_sentences(f"{caution.reason}. {caution.instead}."))
    return tuple(Step(step, tuple(said[n])) for n, step in enumerate(plain))


def numbered(words: tuple[str, ...], cautions: tuple[Caution, ...]) -> list[tuple[str, str]]:
    """Numbered steps, each caution directly before the step it protects; its mark is `!`."""
    lines = []
    for n, step in enumerate(steps(words, cautions), start=1):
        lines += [("!", text) for text in step.cautions]
        lines.append((f"{n}", step.words))
    return lines


def worth(reading: NextReading) -> str:
    """What a reading costs and tells: `about 0.5 min, worth 1.0 bit`."""
    found = reading.suggestion
    return f"about {found.candidate.minutes:.1f} min, worth {found.bits:.1f} bit"


def expected(reading: NextReading) -> Iterator[tuple[str, str]]:
    """Who gives which value: suspects that give the same together, those it cannot judge last."""
    quantity = reading.suggestion.candidate.probe.quantity
    low = min((row[1] for row in reading.expect), default=math.nan)
    high = max((row[2] for row in reading.expect), default=math.nan)
    mute = {
        number for number, least, most in reading.expect if _near(least, low) and _near(most, high)
    }
    if len(mute) == len(reading.expect):
        mute = set()
    by_band: dict[str, list[int]] = {}
    for number, least, most in reading.expect:
        text = MUTE if number in mute else band(least, most, quantity)
        by_band.setdefault(text, []).append(number)
    if len(by_band) == 1:
        yield "all of these", f"{next(iter(by_band))}; another value points elsewhere"
        return
    for text, numbers in sorted(by_band.items(), key=lambda item: item[1][0] in mute):
        yield from ((name, text) for name in _who(numbers))


def _near(value: float, end: float) -> bool:
    return math.isclose(value, end, rel_tol=0.02)


def _who(numbers: list[int]) -> Iterator[str]:
    if -1 in numbers:
        yield "if sound"
    names = [f"{number + 1}" for number in numbers if number >= 0]
    if names:
        yield f"if suspect {listed(names, 'or')}"


def _steps(words: tuple[str, ...]) -> list[str]:
    """The steps, where the two probes of one measurement go in one."""
    if len(words) > 1 and words[-1].startswith("black"):
        return [*words[:-2], f"{words[-2]}, {words[-1]}"]
    return list(words)


def _sentences(text: str) -> str:
    """Each sentence with a capital letter."""
    return ". ".join(part[:1].upper() + part[1:] for part in text.split(". "))

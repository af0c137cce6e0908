"""Trade words and figures as the screen shows them: one mapping for each, used everywhere."""

from __future__ import annotations

import math

from loomwright.services.numbers import shown

FAULTS: dict[str, str] = {
    "open": "open circuit",
    "high_resistance": "high resistance",
    "short_to_earth": "short to earth",
    "short_to_supply": "short to supply",
    "short_between": "short between two cavities",
    "leak": "leak (damp)",
    "drift": "value has drifted",
    "wrong_device": "wrong part fitted",
    "bypassed": "shorted inside",
    "stuck_open": "contact stuck open",
    "stuck_closed": "contact stuck closed",
    "swapped": "two wires swapped",
}
"""What each kind of fault is called."""

CURES: dict[str, str] = {
    "open": "look for a broken wire or a terminal pushed back; tug each wire gently",
    "high_resistance": "look for a green or loose terminal; clean or renew it; tug the wire",
    "short_to_earth": "look for chafed or cracked insulation where it touches metal",
    "short_to_supply": "look for chafed insulation beside a feed",
    "short_between": "look for touching strands or terminals side by side",
    "leak": "look for water or green salt; dry and clean it; renew the boot",
    "drift": "measure the part by itself and compare it with its own data",
    "wrong_device": "compare the part with its own data; the right one may read differently",
    "bypassed": "measure the part by itself with its plug off",
    "stuck_open": "work the contact by hand and measure across it",
    "stuck_closed": "work the contact by hand and measure across it",
    "swapped": "compare the wires in the plug with the diagram, cavity by cavity",
}
"""What to do with each kind; common practice, no published source."""

GRADES = ("as new", "aged", "worn", "bad", "danger")
"""What each grade of the survey is called, from 0."""

BETWEEN = ("short_between", "leak", "swapped")
"""Kinds that lie between two cavities rather than at one of them."""

VERDICTS: dict[str, tuple[str, str]] = {
    "as expected": ("✓", "good"),
    "too high": ("▲", "bad"),
    "too low": ("▼", "bad"),
    "open": ("✗", "bad"),
    "not open": ("✗", "bad"),
    "refused": ("!", "care"),
    "not taken": ("·", "quiet"),
}
"""Mark and style of each verdict; the word always stands beside the mark."""

BEFORE_OPENING = (
    "Key off before a plug comes off; the battery's minus off before a terminal comes out."
)
"""What to mind before anything is opened; common practice, no published source."""

SAFETY = "Figures are aids; the vehicle's own data, local codes and licensed practice come first."


def fault(kind: str) -> str:
    """The trade's words for a kind of fault."""
    return FAULTS[kind]


def sure(probability: float) -> str:
    """A probability without false precision: `46 %`, `more than 99 %`, `less than 1 %`."""
    if probability > 0.99:
        return "more than 99 %"
    return "less than 1 %" if probability < 0.01 else f"{100 * probability:.0f} %"


def band(low: float, high: float, quantity: str) -> str:
    """A range: `276 Ω to 340 Ω`; one value where both ends read the same."""
    first, last = (shown(end, quantity).replace("-", "−") for end in (low, high))
    return first if first == last else f"{first} to {last}"


def degrees(celsius: float) -> str:
    """A temperature that was stated: `82 °C`, `18.5 °C`."""
    return f"{_tidy(celsius)} °C"


def tenth(number: float) -> str:
    """A calculated number to one decimal: `71.4`, `−10.2`."""
    return f"{number:.1f}".replace("-", "−")


def signed(value: float, unit: str) -> str:
    """A difference with its sign: `−10.6 K`, `+4.9 %`, `0.0 K`."""
    if math.isinf(value):
        return "no limit"
    rounded = round(value, 1)
    return f"{rounded:+.1f} {unit}".replace("-", "−") if rounded else f"0.0 {unit}"


def spoken(text: object) -> str:
    """A name or a value of the state as one says it: `step_a` as `step a`."""
    return str(text).replace("_", " ")


def state_words(text: str) -> str:
    """`key=off; engine_c=18` as `key off, engine 18 °C`."""
    pairs = (part.strip().partition("=") for part in text.split(";") if part.strip())
    return ", ".join(
        f"{name.removesuffix('_c')} {_tidy(float(value))} °C"
        if name.endswith("_c")
        else f"{spoken(name)} {spoken(value)}"
        for name, _, value in pairs
    )


def listed(words: list[str], last: str = "and") -> str:
    """`A`, `A and B`, `A, B and C`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def sentence(text: str) -> str:
    """The same with a capital first, for a line that stands by itself."""
    return text[:1].upper() + text[1:]


def _tidy(number: float) -> str:
    text = f"{number:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text.replace("-", "−")

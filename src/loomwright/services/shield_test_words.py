"""The test of a boot with a hot-air blower in words."""

from __future__ import annotations

from math import isinf

from loomwright.services.shield_test import BAD, GOOD, Estimate, ShieldTest, WarmingFit

__all__ = ["constant_words", "range_words", "rise_line", "verdict_line"]

_FOLLOWS = {
    GOOD: "the boot shields as it should",
    BAD: "it shields too little: look for a tear, a boot slid back, or one that does not close "
    "round the wires",
}


def verdict_line(test: ShieldTest) -> str:
    """The answer: `warms 12 times slower than bare, 9 to 16; a sound boot: about 12; …`."""
    found = test.times_slower
    if found is None:
        return f"Cannot be told: {'; '.join(test.not_told)}."
    follows = _FOLLOWS.get(test.verdict, "cannot be told whether it is sound")
    return (
        f"Warms {_times(found.value)} times slower than bare, {range_words(found)}; a sound boot: "
        f"about {_times(test.usual)} (common practice); {follows}."
    )


def rise_line(test: ShieldTest) -> str:
    """The times it rests on; blank where there are none."""
    found = test.slower
    if found is None:
        return ""
    kind = "the same share of the way to the air" if found.of_air else "the same rise"
    return (
        f"To {kind} ({found.rise_k:.0f} K bare): {found.bare_s.value:.3g} s bare, "
        f"{found.shielded_s.value:.3g} s with the boot on."
    )


def constant_words(fit: WarmingFit | None) -> str:
    """A time constant with its interval: `151 s, 149 to 153 s`, or that it cannot be told."""
    if fit is None:
        return "cannot be told: too few readings"
    found = fit.time_constant_s
    if isinf(found.high):
        return f"at least {found.low:.3g} s" if found.low > 0 else "cannot be told"
    if found.low == 0:
        return f"at most {found.high:.3g} s"
    return f"{found.value:.3g} s, {found.low:.3g} to {found.high:.3g} s"


def range_words(found: Estimate) -> str:
    """An interval of times: `9 to 16`, `at least 9`, `at most 16`."""
    if isinf(found.high):
        return f"at least {_times(found.low)}" if found.low > 0 else "how much is open"
    if found.low == 0:
        return f"at most {_times(found.high)}"
    return f"{_times(found.low)} to {_times(found.high)}"


def _times(number: float) -> str:
    return f"{number:.0f}" if number >= 9.95 else f"{number:.1f}".removesuffix(".0")

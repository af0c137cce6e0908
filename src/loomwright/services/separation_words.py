"""Hot against cold in words: series resistance, leak or the sensor itself."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Protocol

from loomwright.services.numbers import shown
from loomwright.services.separate import Separated
from loomwright.services.words import listed

FITS = 0.05
"""A fit worse than one in twenty of right explanations would give is called no fit."""


class Fit(Protocol):
    """What is told of one explanation."""

    @property
    def causes(self) -> tuple[str, ...]: ...
    @property
    def series_ohm(self) -> float: ...
    @property
    def series_sd(self) -> float: ...
    @property
    def leak_ohm(self) -> float: ...
    @property
    def shift_k(self) -> float: ...
    @property
    def shift_sd(self) -> float: ...
    @property
    def p_value(self) -> float | None: ...


def separation(found: Separated) -> Iterator[str]:
    """The explanations that fit, the simplest first, and those that do not."""
    single = sorted(
        (each for each in found.explanations if len(each.causes) < 2),
        key=lambda each: (len(each.causes), -(each.p_value or 0.0)),
    )
    names = listed(list(found.readings))
    fitting = [each for each in single if _fits(each)]
    for each in fitting:
        yield f"✓ {names} are explained by {in_words(each)}."
    failing = [NAMES[each.causes] for each in single if not _fits(each)]
    if failing:
        subject = "They" if fitting else names
        yield f"✗ {subject} are not explained by {listed(failing, 'or')}."
    pairs = [in_words(each) for each in found.explanations if len(each.causes) == 2 and _fits(each)]
    if pairs:
        yield f"· Two causes at once would fit, too: {'; or '.join(pairs)}."
    if found.hidden_by_band:
        hidden = listed(list(found.hidden_by_band))
        yield f"! {hidden} alone would have passed the usual band of a quarter either side."


NAMES: dict[tuple[str, ...], str] = {
    (): "a sound circuit",
    ("series",): "resistance in wires and contacts alone",
    ("leak",): "a leak alone",
    ("shift",): "a sensor that is off",
}


def in_words(fit: Fit) -> str:
    """The causes with their sizes and uncertainties (two standard uncertainties)."""
    said = {
        "series": f"{_pm(fit.series_ohm, fit.series_sd)} in series",
        "leak": f"a leak of about {shown(fit.leak_ohm)}",
        "shift": f"a sensor off by {fit.shift_k:+.1f} K".replace("-", "−")
        + f" ± {2 * fit.shift_sd:.1f} K",
    }
    return listed([said[cause] for cause in fit.causes]) or NAMES[()]


def _pm(ohm: float, spread: float) -> str:
    if math.isinf(spread):
        return f"an unknown resistance (at best {shown(ohm)})"
    return f"{shown(ohm)} ± {shown(float(f'{2 * spread:.2g}'))}"


def _fits(fit: Fit) -> bool:
    return fit.p_value is None or fit.p_value >= FITS

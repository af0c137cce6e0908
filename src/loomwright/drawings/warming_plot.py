"""Warming runs of one plug: readings as dots, curves of the time constants through them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from loomwright.drawings.plot import Curve, Dots, Plot, plot
from loomwright.services.shield_curves import RunCurve

_STATES = (("off", "bare", False, "3 1.4"), ("on", "with boot", True, ""))


def warming_plot(plug: str, runs: Sequence[RunCurve], words: str) -> str:
    """The drawing as SVG text.

    Parameters
    ----------
    plug : its name; may be blank
    runs : of one plug, with points and curves
    words : the same in a sentence
    """
    return plot(
        Plot(
            title=f"Plug {plug} warmed by a hot-air blower".replace("  ", " "),
            words=words,
            across="seconds under the blower",
            up="°C",
            curves=tuple(_curves(runs)),
            dots=tuple(_dots(runs)),
        )
    )


def _curves(runs: Sequence[RunCurve]) -> Iterator[Curve]:
    """Each run's; the first with either state of the boot has the name."""
    for boot, name, _, dashes in _STATES:
        ours = [each for each in runs if each.boot == boot and each.curve]
        for number, each in enumerate(ours):
            named = f"{name}, fitted" if number == 0 else ""
            yield Curve(name=named, points=each.curve, dashes=dashes)


def _dots(runs: Sequence[RunCurve]) -> Iterator[Dots]:
    for boot, name, filled, _ in _STATES:
        ours = [each for each in runs if each.boot == boot]
        for number, each in enumerate(ours):
            named = f"{name}, read" if number == 0 else ""
            yield Dots(name=named, points=each.points, filled=filled)

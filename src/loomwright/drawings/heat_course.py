"""A plug after a hot stop over the minutes: the air round it, bare, and with its boot on."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.drawings.plot import Curve, Plot, Points, plot
from loomwright.services.plug_heat import PlugHeat, ZoneCourse

_MOST_MINUTES = 120.0
"""Later all curves have come together."""


def heat_course(plug: PlugHeat, course: ZoneCourse, words: str) -> str:
    """The drawing as SVG text.

    Parameters
    ----------
    plug : whose limit is drawn
    course : of its zone
    words : the same in a sentence
    """
    drawn = (
        Curve(name="air", points=_points(course, course.air_c), dashes="0.6 1.4"),
        Curve(name="bare", points=_points(course, course.bare_c), dashes="3 1.4"),
        Curve(name="with boot", points=_points(course, course.shielded_c), thick=0.9),
    )
    return plot(
        Plot(
            title=f"Plug {plug.plug} after a hot stop",
            words=words,
            across="minutes since the stop",
            up="°C",
            curves=drawn,
            level=(f"made for {plug.limit_c:.0f} °C", plug.limit_c),
        )
    )


def _points(course: ZoneCourse, celsius: Sequence[float]) -> Points:
    both = zip(course.minutes, celsius, strict=True)
    return tuple((minute, value) for minute, value in both if minute <= _MOST_MINUTES)

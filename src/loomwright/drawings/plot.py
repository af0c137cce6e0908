"""Curves and points over one axis each way, with ticks, units and a legend by dashes and shapes.

Black on white, nothing told by colour; its words in `desc`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from loomwright.drawings import svg

WIDE, HIGH = 110.0, 84.0
_LEFT, _RIGHT, _TOP, _FOOT = 15.0, 106.0, 9.0, 58.0
_LETTERS, _DOT = 4.4, 1.3
_ROW, _HALF, _SAMPLE = 6.4, 52.0, 11.0
_LEGEND = _FOOT + 18.4

Points = tuple[tuple[float, float], ...]


@attrs.frozen(kw_only=True)
class Curve:
    """A line through points.

    Attributes
    ----------
    name : in the legend; blank where another of the same looks has it
    points : from left to right
    dashes : its pattern; full where empty
    thick : of the line [mm]
    """

    name: str
    points: Points
    dashes: str = ""
    thick: float = 0.6


@attrs.frozen(kw_only=True)
class Dots:
    """Points that were read.

    Attributes
    ----------
    name : in the legend; blank where another of the same looks has it
    points : where they stand
    filled : black, or white with a rim
    """

    name: str
    points: Points
    filled: bool


@attrs.frozen(kw_only=True)
class Plot:
    """What is drawn.

    Attributes
    ----------
    title, words : what it shows, for those who cannot see it
    across, up : what the axes are, with their units
    curves, dots : what stands in it
    level : words and height of a line from side to side; None for none
    """

    title: str
    words: str
    across: str
    up: str
    curves: tuple[Curve, ...]
    dots: tuple[Dots, ...] = ()
    level: tuple[str, float] | None = None


def plot(told: Plot) -> str:
    """The drawing as SVG text."""
    scale = _Scale.of(told)
    parts = (
        *_axes(told, scale), *_level(told, scale), *_curves(told, scale), *_dots(told, scale),
        *_legend(told),
    )  # fmt: skip
    return svg.drawing(parts, wide=WIDE, high=HIGH, title=told.title, desc=told.words)


@attrs.frozen
class _Axis:
    low: float
    high: float
    step: float

    @classmethod
    def of(cls, values: list[float]) -> _Axis:
        """Round ends and a round step that hold all values: five to ten ticks."""
        low, high = (min(values), max(values)) if values else (0.0, 1.0)
        rough = max((high - low) / 6.0, 1e-3)
        ten = 10.0 ** math.floor(math.log10(rough))
        step = next(ten * each for each in (1.0, 2.0, 5.0, 10.0) if ten * each >= rough * 0.999)
        first = math.floor(low / step) * step
        last = math.ceil(high / step) * step
        return cls(first, max(last, first + step), step)

    def share(self, value: float) -> float:
        return min(max((value - self.low) / (self.high - self.low), 0.0), 1.0)

    def ticks(self) -> Iterator[float]:
        for number in range(round((self.high - self.low) / self.step) + 1):
            yield self.low + number * self.step


@attrs.frozen
class _Scale:
    across: _Axis
    up: _Axis

    @classmethod
    def of(cls, told: Plot) -> _Scale:
        drawn: tuple[Curve | Dots, ...] = (*told.curves, *told.dots)
        points = [point for each in drawn for point in each.points]
        heights = [y for _, y in points] + ([told.level[1]] if told.level else [])
        return cls(_Axis.of([x for x, _ in points]), _Axis.of(heights))

    def x(self, value: float) -> float:
        return _LEFT + self.across.share(value) * (_RIGHT - _LEFT)

    def y(self, value: float) -> float:
        return _FOOT - self.up.share(value) * (_FOOT - _TOP)


def _axes(told: Plot, scale: _Scale) -> Iterator[svg.Element]:
    yield _line(_LEFT, _TOP, _LEFT, _FOOT, thick=0.35)
    yield _line(_LEFT, _FOOT, _RIGHT, _FOOT, thick=0.35)
    for value in scale.up.ticks():
        y = scale.y(value)
        yield _line(_LEFT - 1.2, y, _LEFT, y, thick=0.35)
        yield _word(f"{value:.4g}", _LEFT - 2.0, y + 1.4, "end")
    for value in scale.across.ticks():
        x = scale.x(value)
        yield _line(x, _FOOT, x, _FOOT + 1.2, thick=0.35)
        yield _word(f"{value:.4g}", x, _FOOT + 5.6, "middle")
    yield _word(told.up, 2.0, _TOP - 3.6, "start")
    yield _word(told.across, _RIGHT, _FOOT + 11.2, "end")


def _level(told: Plot, scale: _Scale) -> Iterator[svg.Element]:
    if told.level is not None:
        words, height = told.level
        y = scale.y(height)
        yield _line(_LEFT, y, _RIGHT, y, thick=0.35, dashes="0.5 0.9")
        # Below the line where words above it would leave the paper.
        yield _word(words, _RIGHT, y - 1.2 if y > _TOP + 5.0 else y + 4.4, "end")


def _curves(told: Plot, scale: _Scale) -> Iterator[svg.Element]:
    for each in told.curves:
        way = " L ".join(
            f"{svg.number(scale.x(x))} {svg.number(scale.y(y))}" for x, y in each.points
        )
        if way:
            yield svg.element("path", d=f"M {way}", fill="none", stroke="#000000",
                              stroke_width=each.thick, **_dashed(each.dashes))  # fmt: skip


def _dots(told: Plot, scale: _Scale) -> Iterator[svg.Element]:
    for each in told.dots:
        for x, y in each.points:
            yield _dot(scale.x(x), scale.y(y), filled=each.filled)


def _legend(told: Plot) -> Iterator[svg.Element]:
    """Every name once, beside its line or its dot."""
    drawn: tuple[Curve | Dots, ...] = (*told.curves, *told.dots)
    named = [each for each in drawn if each.name]
    for number, each in enumerate(named):
        x, y = 3.0 + _HALF * (number % 2), _LEGEND + _ROW * (number // 2)
        if isinstance(each, Curve):
            yield _line(x, y - 1.4, x + _SAMPLE, y - 1.4, thick=each.thick, dashes=each.dashes)
        else:
            yield _dot(x + _SAMPLE / 2, y - 1.4, filled=each.filled)
        size = svg.fitting(each.name, _LETTERS, _HALF - _SAMPLE - 2.0)
        yield _word(each.name, x + _SAMPLE + 2.0, y, "start", size=size)


def _dot(x: float, y: float, *, filled: bool) -> svg.Element:
    return svg.element("circle", cx=x, cy=y, r=_DOT, fill="#000000" if filled else "#ffffff",
                       stroke="#000000", stroke_width=0.5)  # fmt: skip


def _dashed(dashes: str) -> dict[str, str]:
    return {"stroke_dasharray": dashes} if dashes else {}


def _line(
    x1: float, y1: float, x2: float, y2: float, *, thick: float, dashes: str = ""
) -> svg.Element:
    return svg.element("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke="#000000", stroke_width=thick,
                       **_dashed(dashes))  # fmt: skip


def _word(words: str, x: float, y: float, anchor: str, *, size: float = _LETTERS) -> svg.Element:
    return svg.text(words, x, y, font_size=size, text_anchor=anchor)

"""Pull forces of one set-up's trial crimps, trial by trial, against what is asked for.

A filled dot is a wire that broke, an open one slipped out of the crimp, a square where nobody
said; what has a cross over it did not look good. The full line is the least force asked for, the
dashed one what the pulls show. Black on white, with its words in `desc`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from loomwright.drawings import svg

WIDE, HIGH = 96.0, 80.0
_LEFT, _RIGHT, _TOP, _FOOT = 14.0, 65.0, 7.0, 59.0
_LETTERS, _DOT, _APART = 4.6, 1.7, 5.2
_FEWEST = 5
"""Places for trials at least, so that the first two do not stand at the ends."""
BROKE, SLIPPED, UNTOLD = "wire", "crimp", ""
_WORDS = {BROKE: "wire broke", SLIPPED: "slipped out", UNTOLD: "not said where"}
_HALF = 46.0  # from one mark of the legend to the next


@attrs.frozen(kw_only=True)
class Pull:
    """One pull.

    Attributes
    ----------
    trial : its name
    force_n : at which it gave way [N]
    gave_way : `wire` where it broke, `crimp` where it slipped out; empty where nobody said
    doubted : whether it did not look good
    """

    trial: str
    force_n: float
    gave_way: str
    doubted: bool


@attrs.frozen(kw_only=True)
class CrimpChart:
    """What is drawn of a set-up.

    Attributes
    ----------
    name : of the set-up
    pulls : in the order of the trials
    asked_n : least force asked for [N]; None where it is not known
    shown_n : force that the pulls show [N]; None below two pulls
    words : the same in a sentence
    """

    name: str
    pulls: tuple[Pull, ...]
    asked_n: float | None
    shown_n: float | None
    words: str


def crimp_chart(chart: CrimpChart) -> str:
    """The drawing as SVG text."""
    scale = _Scale(top_n=_top(chart))
    return svg.drawing(
        [*_axes(scale), *_lines(chart, scale), *_points(chart, scale), *_legend(chart)],
        wide=WIDE,
        high=HIGH,
        title=f"Pull forces of set-up {chart.name}",
        desc=chart.words,
    )


@attrs.frozen
class _Scale:
    top_n: float

    def y(self, force_n: float) -> float:
        share = min(max(force_n, 0.0) / self.top_n, 1.0)
        return _FOOT - share * (_FOOT - _TOP)


def _top(chart: CrimpChart) -> float:
    forces = [pull.force_n for pull in chart.pulls]
    forces += [each for each in (chart.asked_n, chart.shown_n) if each is not None]
    return 1.08 * max([*forces, 10.0])


def _axes(scale: _Scale) -> Iterator[svg.Element]:
    yield _line(_LEFT, _TOP - 2.0, _LEFT, _FOOT, thick=0.35)
    yield _line(_LEFT, _FOOT, _RIGHT, _FOOT, thick=0.35)
    step = _step(scale.top_n)
    for number in range(int(scale.top_n / step) + 1):
        y = scale.y(number * step)
        yield _line(_LEFT - 1.2, y, _LEFT, y, thick=0.35)
        yield _word(f"{number * step:g}", _LEFT - 2.0, y + 1.4, "end")
    yield _word("N", 2.0, _TOP - 1.6, "start")


def _step(top_n: float) -> float:
    """A round distance between figures: four or five of them on the scale."""
    rough = top_n / 4.0
    ten = 10.0 ** math.floor(math.log10(rough))
    return next(ten * each for each in (1.0, 2.0, 5.0, 10.0) if ten * each >= rough)


def _lines(chart: CrimpChart, scale: _Scale) -> Iterator[svg.Element]:
    """The two lines; their words stand beside them, apart where the lines are close."""
    asked, shown = chart.asked_n, chart.shown_n
    places = {}
    if asked is not None:
        places[f"asked {asked:.0f} N"] = (scale.y(asked), "")
    if shown is not None:
        places[f"shown {max(shown, 0.0):.0f} N"] = (scale.y(shown), "2.4 1.4")
    beside = _apart([y for y, _ in places.values()])
    for (words, (y, dashes)), word_y in zip(places.items(), beside, strict=True):
        yield _line(_LEFT, y, _RIGHT, y, thick=0.6, dashes=dashes)
        yield _word(words, _RIGHT + 1.5, word_y + 1.4, "start")


def _apart(heights: list[float]) -> list[float]:
    """Where words stand beside lines: at their lines, pushed apart where they would touch."""
    if len(heights) < 2 or abs(heights[0] - heights[1]) >= _APART:
        return heights
    middle = min(max(sum(heights) / 2.0, _TOP + _APART / 2.0), _FOOT - _APART / 2.0)
    up, down = middle - _APART / 2.0, middle + _APART / 2.0
    return [up, down] if heights[0] <= heights[1] else [down, up]


def _points(chart: CrimpChart, scale: _Scale) -> Iterator[svg.Element]:
    room = (_RIGHT - _LEFT) / max(len(chart.pulls), _FEWEST)
    every = max(1, math.ceil(len(chart.pulls) / 8))
    for number, pull in enumerate(chart.pulls):
        x, y = _LEFT + room * (number + 0.5), scale.y(pull.force_n)
        yield from _mark(pull, x, y)
        if number % every == 0:
            size = svg.fitting(pull.trial, _LETTERS, every * room)
            yield _word(pull.trial, x, _FOOT + 5.4, "middle", size=size)


def _kind(pull: Pull) -> str:
    return pull.gave_way if pull.gave_way in (BROKE, SLIPPED) else UNTOLD


def _mark(pull: Pull, x: float, y: float) -> Iterator[svg.Element]:
    kind = _kind(pull)
    drawn = {"fill": "#000000" if kind == BROKE else "#ffffff", "stroke": "#000000"}
    if kind == UNTOLD:
        yield svg.element("rect", x=x - _DOT, y=y - _DOT, width=2 * _DOT, height=2 * _DOT,
                          stroke_width=0.7, **drawn)  # fmt: skip
    else:
        yield svg.element("circle", cx=x, cy=y, r=_DOT, stroke_width=0.7, **drawn)
    if pull.doubted:
        for way in (1.0, -1.0):
            reach = 1.7 * _DOT
            yield _line(x - reach, y - way * reach, x + reach, y + way * reach, thick=0.6)


def _legend(chart: CrimpChart) -> Iterator[svg.Element]:
    """The marks that occur, with their words."""
    kinds = [(kind, False, words) for kind, words in _WORDS.items()
             if any(_kind(pull) == kind for pull in chart.pulls)]  # fmt: skip
    if any(pull.doubted for pull in chart.pulls):
        kinds.append((SLIPPED, True, "looks doubtful"))
    for number, (kind, doubted, words) in enumerate(kinds):
        x, y = 4.0 + _HALF * (number % 2), _FOOT + 12.0 + 6.0 * (number // 2)
        yield from _mark(Pull(trial="", force_n=0.0, gave_way=kind, doubted=doubted), x, y)
        yield _word(words, x + 4.2, y + 1.5, "start")


def _line(
    x1: float, y1: float, x2: float, y2: float, *, thick: float, dashes: str = ""
) -> svg.Element:
    dashed = {"stroke_dasharray": dashes} if dashes else {}
    return svg.element("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke="#000000", stroke_width=thick,
                       **dashed)  # fmt: skip


def _word(words: str, x: float, y: float, anchor: str, *, size: float = _LETTERS) -> svg.Element:
    return svg.text(words, x, y, font_size=size, text_anchor=anchor)

"""SVG elements as values, and their text: escaped, no fonts or scripts from anywhere.

Lengths are millimetres on paper and are rounded to 0.01.
Source: W3C Recommendation Scalable Vector Graphics (SVG) 1.1, second edition, 2011, with its
accessible `title` and `desc` (5.4) and the fifth edition of XML 1.0, 2008 (2.2, which letters a
document can hold; 2.4, what must be escaped).
"""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable, Iterator
from typing import Literal

import attrs

Tag = Literal[
    "a", "circle", "desc", "g", "line", "path", "polygon", "rect", "svg", "text", "title", "tspan"
]
Value = str | float | int

LETTER = 0.62
"""Mean width of a capital of a plain sans-serif [em]; a wide one, so that words fit elsewhere."""
PROSE = 0.55
"""The same of mixed words [em]."""

FONT = "Source Sans Pro, sans-serif"
"""The face of the papers where it is there, any plain one otherwise."""

LEADING = 1.4
"""From baseline to baseline, in sizes of the letters."""

_UNWRITABLE = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_MARKUP = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"}


@attrs.frozen
class Element:
    """One element.

    Attributes
    ----------
    tag : its name
    attributes : names with values as they are written, not yet escaped
    children : elements, or one text
    """

    tag: Tag
    attributes: tuple[tuple[str, str], ...] = ()
    children: tuple[Element | str, ...] = ()


def element(tag: Tag, *children: Element | str, **attributes: Value) -> Element:
    """An element; `stroke_width=0.3` becomes `stroke-width="0.3"`, `class_` becomes `class`."""
    named = (
        (name.rstrip("_").replace("_", "-"), number(value) if not isinstance(value, str) else value)
        for name, value in attributes.items()
    )
    return Element(tag, tuple(named), children)


def number(value: float) -> str:
    """A length rounded to 0.01, without needless zeros.

    Raises
    ------
    ValueError
        when it is not finite: no drawing can hold that.

    Examples
    --------
    >>> number(12.3456), number(-0.001), number(4)
    ('12.35', '0', '4')
    """
    if not math.isfinite(value):
        raise ValueError(f"a drawing cannot hold the length {value}")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def escaped(text: str) -> str:
    """Text safe in XML, inside an element and inside quotes; what XML cannot hold becomes U+FFFD.

    Examples
    --------
    >>> escaped('a<b & "c"')
    'a&lt;b &amp; &quot;c&quot;'
    """
    return "".join(_MARKUP.get(letter, letter) for letter in escapable(text))


def escapable(text: str) -> str:
    """Text in one line with nothing in it that XML cannot hold."""
    return " ".join(_UNWRITABLE.sub("\ufffd", text).split())


def group(children: Iterable[Element], **attributes: Value) -> Element:
    """Elements that belong together."""
    return element("g", *children, **attributes)


def text(words: str, x: float, y: float, **attributes: Value) -> Element:
    """Words with their baseline at a place [mm]."""
    return element("text", words, x=x, y=y, **attributes)


def width(words: str, size: float) -> float:
    """About how wide words are in letters of a size [mm]."""
    return PROSE * size * len(words)


def fitting(words: str, size: float, room: float) -> float:
    """The size of letters at which words fit a room, at most the one wanted [mm].

    Parameters
    ----------
    words : the words
    size : wanted [mm]
    room : width there is [mm]
    """
    return min(size, room / (LETTER * max(len(words), 1)))


def paragraph(
    words: str, x: float, y: float, *, size: float, room: float, **attributes: Value
) -> list[Element]:
    """Words in lines that fit a room, the first baseline at a place [mm].

    Parameters
    ----------
    words : the words
    x, y : of the first baseline [mm]
    size : of the letters [mm]; lines stand 1.4 sizes apart
    room : width there is [mm]
    """
    lines = textwrap.wrap(escapable(words), max(int(room / (PROSE * size)), 8))
    return [
        text(line, x, y + LEADING * size * n, font_size=size, **attributes)
        for n, line in enumerate(lines)
    ]


def shortened(words: str, size: float, room: float) -> str:
    """Words cut to a width, an ellipsis at the end when something is cut.

    Parameters
    ----------
    words : the words
    size : of the letters [mm]
    room : width there is [mm]
    """
    most = max(int(room / (PROSE * size)), 1)
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


def drawing(
    children: Iterable[Element],
    *,
    wide: float,
    high: float,
    title: str,
    desc: str,
    times: float = 1.0,
    touched: bool = False,
) -> str:
    """A whole drawing as text.

    Parameters
    ----------
    children : what is drawn
    wide, high : size on paper [mm]
    title, desc : what it shows, for those who cannot see it
    times : how much larger it is shown than it is drawn
    touched : whether there are links in it, which are no part of a picture
    """
    paper = element("rect", x=0, y=0, width=wide, height=high, fill="#ffffff")
    root = element(
        "svg",
        element("title", title),
        element("desc", desc),
        paper,
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(wide)} {number(high)}",
        width=f"{number(times * wide)}mm",
        height=f"{number(times * high)}mm",
        role="group" if touched else "img",
        font_family=FONT,
        fill="#000000",
    )
    return "\n".join(_lines(root, "")) + "\n"


def _lines(node: Element, indent: str) -> Iterator[str]:
    """An element line by line; a text stands in the line of its element."""
    opened = f"{indent}<{node.tag}" + "".join(
        f' {name}="{escaped(value)}"' for name, value in node.attributes
    )
    parts = [child for child in node.children if isinstance(child, Element)]
    words = "".join(escaped(child) for child in node.children if isinstance(child, str))
    if parts:
        yield f"{opened}>"
        for part in parts:
            yield from _lines(part, indent + " ")
        yield f"{indent}</{node.tag}>"
    elif words or node.tag in ("text", "title", "desc"):
        yield f"{opened}>{words}</{node.tag}>"
    else:
        yield f"{opened}/>"

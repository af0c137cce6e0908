"""The straight lines that a PDF page really draws, in millimetres on paper, by an outside reader.

Walks the content of a page and of the forms in it, with every change of the matrix (ISO 32000-1,
8.4.4 and 8.10).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from io import BytesIO
from itertools import pairwise
from typing import Any

import pikepdf

Spot = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]
MM = 25.4 / 72.0


def lines_of(content: bytes, number: int) -> list[list[Spot]]:
    """Every line of a page as its corners [mm], y upwards from the lower edge."""
    with pikepdf.open(BytesIO(content)) as opened:
        page = opened.pages[number]
        return list(_drawn(page.obj, page.resources, (MM, 0.0, 0.0, MM, 0.0, 0.0)))


def length_of(line: list[Spot]) -> float:
    """Length of a line [mm]."""
    return sum(math.dist(one, other) for one, other in pairwise(line))


def _drawn(stream: Any, resources: Any, matrix: Matrix) -> Iterator[list[Spot]]:
    saved: list[Matrix] = []
    line: list[Spot] = []
    for operands, operator in pikepdf.parse_content_stream(stream):
        name = str(operator)
        if name == "q":
            saved.append(matrix)
        elif name == "Q":
            matrix = saved.pop()
        elif name == "cm":
            matrix = _times(_numbers(operands), matrix)
        elif name == "Do":
            form = resources["/XObject"][str(operands[0])]
            if form.get("/Subtype") == "/Form":
                own = form.get("/Matrix", [1, 0, 0, 1, 0, 0])
                inner = _times(_numbers(own), matrix)
                yield from _drawn(form, form.get("/Resources", resources), inner)
        elif name == "m":
            if len(line) > 1:
                yield line
            line = [_moved(_numbers(operands), matrix)]
        elif name == "l":
            line.append(_moved(_numbers(operands), matrix))
        elif name in ("S", "n", "f", "B", "f*", "W", "W*", "s", "b"):
            if len(line) > 1 and name == "S":
                yield line
            line = []


def _numbers(operands: Any) -> tuple[float, ...]:
    return tuple(float(each) for each in operands)


def _times(one: Any, other: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    p, q, r, s, t, u = other
    return (
        a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s,
        e * p + f * r + t, e * q + f * s + u,
    )  # fmt: skip


def _moved(at: Any, matrix: Matrix) -> Spot:
    x, y = at
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f

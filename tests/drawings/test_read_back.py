"""Faces read back as a person reads them: by where things stand on paper, and by the job's sheets.

Nothing of the drawing room is used to read: shapes are found by size and place in the SVG, what
ought to be there is taken from the example's CSV files and the table of screen colours.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import attrs
import pytest

from loomwright.drawings.face import face_svg
from loomwright.services.draw import plug_sheet
from loomwright.storage.job_folder import JobFolder

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "examples" / "tarn-2300"
JOB = JobFolder().read(DEMO)
NEAR = 0.021
"""Two lengths, each rounded to 0.01 mm."""


def sheet(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


PLUGS = {row["plug"]: row for row in sheet(DEMO / "plugs.csv")}
WIRES = sheet(DEMO / "wires.csv")
TABLES = ROOT / "src" / "loomwright" / "standards" / "tables"
PAINT = {row["code"]: row["rgb"] for row in sheet(TABLES / "screen_colours.csv")}


@attrs.frozen
class Shape:
    """A rectangle, or what a circle, path or text stands at, with its attributes."""

    x: float
    y: float
    wide: float
    high: float
    words: str
    given: dict[str, str]

    @property
    def middle(self) -> tuple[float, float]:
        return self.x + self.wide / 2, self.y + self.high / 2

    def holds(self, other: Shape) -> bool:
        x, y = other.middle
        return self.x < x < self.x + self.wide and self.y < y < self.y + self.high


@attrs.frozen
class Half:
    """One of the two views: the outline of the shell and all that stands about it."""

    outline: Shape
    rects: list[Shape]
    circles: list[Shape]
    paths: list[Shape]
    texts: list[Shape]

    def inside(self, found: list[Shape], box: Shape) -> list[Shape]:
        return [each for each in found if box.holds(each)]

    @property
    def cavities(self) -> dict[str, Shape]:
        """Squares with a bold number in them, by that number."""
        found = {}
        for box in self.rects:
            numbers = [
                each.words
                for each in self.inside(self.texts, box)
                if each.given.get("font-weight") == "bold"
            ]
            if box.wide == pytest.approx(box.high, abs=NEAR) and len(numbers) == 1:
                found.setdefault(numbers[0], box)
        return found


def shapes(root: ElementTree.Element, tag: str) -> Iterator[Shape]:
    for node in root.findall(f".//{{*}}{tag}"):
        given = dict(node.attrib)
        size = (float(given.get("width", 0)), float(given.get("height", 0)))
        if tag == "path":
            x, y = map(float, re.findall(r"-?[\d.]+", given["d"])[:2])
        else:
            x, y = (float(given.get(name, given.get(f"c{name}", "nan"))) for name in ("x", "y"))
        yield Shape(x, y, *size, node.text or "", given)


def halves(text: str) -> dict[str, Half]:
    """The views by the words over them: what stands below a caption and beside the other."""
    root = ElementTree.fromstring(text.encode())
    for below in root.findall("{*}g[@transform]"):
        root.remove(below)
    texts = list(shapes(root, "text"))
    captions = {each.words: each for each in texts if each.words.startswith("Seen from the ")}
    borders = sorted(each.x for each in captions.values())
    found = {}
    for words, caption in captions.items():
        right = next((x for x in borders if x > caption.x), float("inf"))
        here = [
            [
                each
                for each in shapes(root, tag)
                if caption.x - 0.1 <= each.middle[0] < right and each.y > caption.y
            ]
            for tag in ("rect", "circle", "path", "text")
        ]
        outline = max(here[0], key=lambda each: each.wide * each.high)
        found[words.removeprefix("Seen from the ")] = Half(outline, *here)
    return found


@attrs.frozen
class Drawn:
    name: str
    mating: Half
    wire: Half

    @property
    def recorded(self) -> Half:
        return self.wire if PLUGS[self.name]["seen_from"] == "wire" else self.mating


def read(name: str, *, life_size: bool = False) -> Drawn:
    found = halves(face_svg(plug_sheet(JOB, name), life_size=life_size))
    return Drawn(name, found["mating face"], found["wire side"])


EACH = pytest.mark.parametrize("drawn", [read(name) for name in PLUGS], ids=lambda each: each.name)


@EACH
def test_each_cavity_is_where_a_mirror_puts_it(drawn: Drawn) -> None:
    """As far from the shell's left in one view as from its right in the other, at one height."""
    one, other = drawn.mating, drawn.wire
    names = set(PLUGS[drawn.name]["face"].replace("/", " ").split()) - {"."}
    assert set(one.cavities) == set(other.cavities) == names
    for name in names:
        box, turned = one.cavities[name], other.cavities[name]
        from_left = box.x - one.outline.x
        from_right = other.outline.x + other.outline.wide - (turned.x + turned.wide)
        assert from_left == pytest.approx(from_right, abs=NEAR)
        assert box.y - one.outline.y == pytest.approx(turned.y - other.outline.y, abs=NEAR)


@EACH
def test_the_recorded_view_reads_as_the_sheet_is_written(drawn: Drawn) -> None:
    """From left to right, row below row."""
    at = drawn.recorded.cavities
    rows = [row.split() for row in PLUGS[drawn.name]["face"].split("/")]
    heights = sorted({box.y for box in at.values()})
    drawn_rows = [
        sorted((name for name in at if at[name].y == y), key=lambda name: at[name].x)
        for y in heights
    ]
    assert drawn_rows == [[name for name in row if name != "."] for row in rows]


@EACH
@pytest.mark.parametrize("side", ["mating", "wire"])
def test_each_wire_has_insulation_tracer_and_letters(drawn: Drawn, side: str) -> None:
    """A ring of the base colour, two marks of each tracer, the letters of the sheet."""
    half: Half = getattr(drawn, side)
    for name, box in half.cavities.items():
        point = f"{drawn.name}.{name}"
        colours = [row["colour"] for row in WIRES for end in ("from", "to") if row[end] == point]
        said = [each.words for each in half.inside(half.texts, box)]
        assert sorted(said) == sorted([name, *(colours or ["empty"])])
        rings = half.inside(half.circles, box)
        marks = half.inside(half.paths, box)
        codes = [colour.split("/") for colour in colours]
        outer = [ring.given["fill"] for ring in rings[::2]]
        assert outer == [PAINT[base] for base, *_ in codes]
        assert len(rings) == 2 * len(colours)
        wanted = sorted(PAINT[code] for _, *tracers in codes for code in tracers for _ in "ab")
        assert sorted(mark.given["fill"] for mark in marks) == wanted


def on_side(half: Half, mark: Shape) -> str:
    """The side of the outline a mark is nearest to, from the outline's middle."""
    (x, y), (mx, my) = half.outline.middle, mark.middle
    across, down = (mx - x) / half.outline.wide, (my - y) / half.outline.high
    if abs(across) > abs(down):
        return "left" if across < 0 else "right"
    return "top" if down < 0 else "bottom"


def marks(half: Half, word: str) -> list[Shape]:
    """Bars: full ones stand for a latch, small open ones without a number for a key."""
    if word == "latch":
        return [each for each in half.rects if each.given["fill"] == "#000000"]
    boxes = list(half.cavities.values())
    return [
        each
        for each in half.rects
        if each not in boxes and each.given["fill"] == "#ffffff" and each.wide * each.high < 10
    ]


@EACH
@pytest.mark.parametrize(("word", "column"), [("latch", "latch"), ("key", "keying")])
def test_latch_and_keys_sit_on_their_sides_with_their_words(
    drawn: Drawn, word: str, column: str
) -> None:
    swap = {"left": "right", "right": "left"}
    wanted = [each for each in PLUGS[drawn.name][column].split() if each != "none"]
    for half in (drawn.mating, drawn.wire):
        turned = wanted if half is drawn.recorded else [swap.get(each, each) for each in wanted]
        found = marks(half, word)
        assert sorted(on_side(half, each) for each in found) == sorted(turned)
        named = [each for each in half.texts if each.words == word]
        assert sorted(on_side(half, each) for each in named) == sorted(turned)


def test_the_bar_below_is_as_long_as_two_cavities_of_five_millimetres() -> None:
    """10 mm on the plug, drawn as the distance of every second cavity."""
    for life_size in (False, True):
        text = face_svg(plug_sheet(JOB, "CU"), life_size=life_size)
        at = halves(text)["wire side"].cavities
        lines = [
            node.attrib for node in ElementTree.fromstring(text.encode()).findall(".//{*}line")
        ]
        bar = next(each for each in lines if each["y1"] == each["y2"])
        long = float(bar["x2"]) - float(bar["x1"])
        assert long == pytest.approx(at["3"].x - at["1"].x, abs=NEAR)
        assert (long == pytest.approx(10)) == life_size


def test_a_wrong_drawing_would_be_noticed() -> None:
    """The same view twice is no mirror image: the reading above can fail."""
    drawn = read("CU")
    twice = attrs.evolve(drawn, mating=drawn.wire)
    with pytest.raises(AssertionError):
        test_each_cavity_is_where_a_mirror_puts_it(twice)

"""Colour letters, terminal numbers and temperature classes, typed a second time."""

import re

import pytest

from loomwright.loom.errors import NotFound
from loomwright.standards import (
    colour,
    colours,
    screen_colours,
    temperature_class,
    temperature_classes,
    terminal_number,
    terminal_numbers,
    wire_colour,
)

# IEC 60757, Table 1, in its order (RD, BU, GN, YE, GNYE seen; the others from memory)
COLOURS = [
    ("BK", "black"),
    ("BN", "brown"),
    ("RD", "red"),
    ("OG", "orange"),
    ("YE", "yellow"),
    ("GN", "green"),
    ("BU", "blue"),
    ("VT", "violet"),
    ("GY", "grey"),
    ("WH", "white"),
    ("PK", "pink"),
    ("GD", "gold"),
    ("TQ", "turquoise"),
    ("SR", "silver"),
    ("GNYE", "green-and-yellow"),
]
# ISO 6722 classes, as a vehicle-industry cable specification prints them
CLASSES = {"A": 85, "B": 100, "C": 125, "D": 150, "E": 175, "F": 200, "G": 225, "H": 250}
# DIN 72552, through published summaries; those marked seen there
SEEN = ["1", "4", "15", "17", "19", "30", "30a", "31", "31a", "31b", "32", "33", "33a", "50"]
SEEN += ["87", "87a", "87b"]
MEMORY = ["49a", "53", "53a", "53b", "53e", "54", "55", "56a", "56b", "58", "61", "85", "86"]
MEMORY += ["B+", "B-", "D+", "D-", "DF"]


def test_colours_in_the_order_of_the_standard():
    assert [(row.code, row.name) for row in colours().values()] == COLOURS
    assert [row.order for row in colours().values()] == list(range(1, len(COLOURS) + 1))


@pytest.mark.parametrize("code", ["RD", "BU", "GN", "YE", "GNYE"])
def test_colours_seen_in_the_preview_are_published(code):
    assert colour(code).standing == "published"


@pytest.mark.parametrize("code", ["BK", "BN", "OG", "VT", "GY", "WH", "PK", "GD", "TQ", "SR"])
def test_colours_from_memory_say_so(code):
    assert colour(code).standing == "assumed"
    assert "memory" in colour(code).note


def test_wire_colour_reads_base_and_tracer():
    assert [row.name for row in wire_colour("BN/WH")] == ["brown", "white"]
    assert [row.name for row in wire_colour("gnye")] == ["green-and-yellow"]


def test_every_single_colour_has_a_look_of_its_own():
    """Joined colours are shown as their parts; the look is our own choice and says so."""
    shown = screen_colours()
    assert list(shown) == [code for code, _ in COLOURS if len(code) == 2]
    assert all(re.fullmatch("#[0-9a-f]{6}", row.rgb) for row in shown.values())
    assert len({row.rgb for row in shown.values()}) == len(shown)
    assert {row.standing for row in shown.values()} == {"assumed"}


@pytest.mark.parametrize(
    ("code", "strongest"), [("RD", 0), ("GN", 1), ("BU", 2), ("OG", 0), ("PK", 0)]
)
def test_a_colour_looks_like_its_name(code, strongest):
    rgb = [int(screen_colours()[code].rgb[n : n + 2], 16) for n in (1, 3, 5)]
    assert rgb.index(max(rgb)) == strongest


def test_black_white_and_grey_are_grey_in_order():
    black, grey, white = (screen_colours()[code].rgb for code in ("BK", "GY", "WH"))
    assert all(len({rgb[1:3], rgb[3:5], rgb[5:7]}) == 1 for rgb in (black, grey, white))
    assert black < grey < white


def test_unknown_colour_lists_the_nearest_first():
    with pytest.raises(NotFound) as caught:
        wire_colour("BN/BM")
    assert 'colour code "BM"' in caught.value.what
    assert caught.value.expected.split(": ")[1].startswith("B")


@pytest.mark.parametrize(
    ("terminal", "words"),
    [
        ("15", "switched battery plus"),
        ("30", "battery plus"),
        ("31", "earth"),
        ("50", "starter"),
        ("85", "coil end"),
        ("86", "coil start"),
        ("87", "make"),
        ("87a", "normally closed"),
        ("87b", "normally open"),
    ],
)
def test_terminal_number(terminal, words):
    assert words in terminal_number(terminal).meaning


@pytest.mark.parametrize("terminal", SEEN)
def test_terminal_numbers_seen_are_published(terminal):
    assert terminal_number(terminal).standing == "published"


@pytest.mark.parametrize("terminal", MEMORY)
def test_terminal_numbers_from_memory_say_so(terminal):
    assert terminal_number(terminal).standing == "assumed"
    assert "memory" in terminal_number(terminal).note


def test_unknown_terminal_number():
    assert "88" not in terminal_numbers()
    with pytest.raises(NotFound):
        terminal_number("88")


def test_temperature_classes():
    found = {row.letter: row.highest_c for row in temperature_classes().values()}
    assert found == CLASSES
    assert {row.lowest_c for row in temperature_classes().values()} == {-40}
    assert temperature_class("b").highest_c == 100
    with pytest.raises(NotFound):
        temperature_class("K")

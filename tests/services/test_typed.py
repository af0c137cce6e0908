"""What is typed on a number pad."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import Where, read_cell, schema
from loomwright.services.typed import as_cell

VALUE = schema.table("readings").column("value")


def value(text: str) -> object:
    return read_cell(VALUE, as_cell(VALUE, text), where=Where("readings"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1.2k", 1200), ("1,2k", 1200), ("1.2 kΩ", 1200), ("0.35", 0.35), ("0,35", 0.35),
        ("12", 12), ("12 V", 12), ("3M", 3e6), ("450m", 0.45), ("-0,4", -0.4), ("47 ohm", 47),
        # The worked values of IEC 60062:2016, table 1 (from memory, not read for this test).
        ("4k7", 4700), ("3R32", 3.32), ("59R0", 59.0), ("1M0", 1e6),
        ("OL", math.inf), ("ol", math.inf), ("0L", math.inf), ("O.L", math.inf),
    ],
)  # fmt: skip
def test_what_a_meter_shows_may_be_typed_as_it_stands(text: str, expected: float) -> None:
    assert value(text) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("text", ["1,200", "1,200k", "much", "1k2k", "12 A", "k", "1.2.3", "--3"])
def test_what_can_be_read_in_two_ways_or_none_is_asked_back(text: str) -> None:
    with pytest.raises(Exception, match="problem"):
        value(text)


def test_other_columns_stay_as_they_are_typed() -> None:
    note = schema.table("readings").column("note")
    assert as_cell(note, "4k7 in series") == "4k7 in series"
    assert as_cell(note, "ol") == "ol"


@given(st.integers(0, 10**6), st.sampled_from(["", "k", "M"]))
def test_every_whole_number_comes_back(number: int, scale: str) -> None:
    assert value(f"{number}{scale}") == number * {"": 1, "k": 1_000, "M": 1_000_000}[scale]

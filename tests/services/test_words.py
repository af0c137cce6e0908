"""Words and figures: every kind of fault has its words, every number its unit."""

from __future__ import annotations

import math
import typing

import pytest

from loomwright.cli.page import folded
from loomwright.services import words
from loomwright.services.expect import Expectation
from loomwright.standards import all_fault_rates

KINDS = sorted({rate.kind for rate in all_fault_rates()})


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_fault_has_its_words(kind: str) -> None:
    assert words.FAULTS[kind] != kind or "_" not in kind
    assert "_" not in words.fault(kind)
    assert words.CURES[kind]


def test_no_words_for_what_there_is_not() -> None:
    assert set(words.FAULTS) == set(words.CURES) == set(KINDS)
    assert len(set(words.FAULTS.values())) == len(words.FAULTS)
    assert set(words.BETWEEN) <= set(KINDS)


def test_every_verdict_of_the_service_has_a_mark() -> None:
    told = typing.cast(str, Expectation.__doc__)
    line = told.split("verdict :")[1].split("side_paths")[0]
    named = {word for n, word in enumerate(line.split("`")) if n % 2}
    assert named == set(words.VERDICTS)


@pytest.mark.parametrize(
    ("probability", "said"),
    [
        (1.0, "more than 99 %"),
        (0.995, "more than 99 %"),
        (0.99, "99 %"),
        (0.4631, "46 %"),
        (0.01, "1 %"),
        (0.0099, "less than 1 %"),
        (0.0, "less than 1 %"),
    ],
)
def test_a_probability_is_never_certain(probability: float, said: str) -> None:
    assert words.sure(probability) == said


@pytest.mark.parametrize(
    ("low", "high", "quantity", "said"),
    [
        (275.7, 340.3, "ohm", "276 Ω to 340 Ω"),
        (math.inf, math.inf, "ohm", "OL"),
        (4389.0, math.inf, "ohm", "4.39 kΩ to OL"),
        (12.18, 12.81, "volt", "12.18 V to 12.81 V"),
    ],
)
def test_a_band(low: float, high: float, quantity: str, said: str) -> None:
    assert words.band(low, high, quantity) == said


def test_a_state_in_words() -> None:
    said = words.state_words("key=off; throttle=shut; engine_c=-5; air_c=18.5")
    assert said == "key off, throttle shut, engine −5 °C, air 18.5 °C"
    assert words.state_words("") == ""


@pytest.mark.parametrize(
    ("value", "said"), [(-10.55, "−10.6 K"), (4.94, "+4.9 K"), (-0.02, "0.0 K"), (0.0, "0.0 K")]
)
def test_a_difference_has_its_sign(value: float, said: str) -> None:
    assert words.signed(value, "K") == said


@pytest.mark.parametrize(
    ("names", "said"),
    [([], ""), (["A"], "A"), (["A", "B"], "A and B"), (["A", "B", "C"], "A, B and C")],
)
def test_a_list(names: list[str], said: str) -> None:
    assert words.listed(names) == said


def test_a_number_stays_with_its_unit() -> None:
    text = "R11 reads 431 Ω; without it: 276 Ω to 340 Ω; with it: 379 Ω to 452 Ω ± 5 Ω, 50 % at 3 V"
    for width in range(24, 80):
        lines = folded(text, width, lead="  for ").split("\n")
        assert all(line.strip()[:1] not in "Ω%V" for line in lines)
        assert all(not line.endswith("±") for line in lines)
        assert all(len(line) <= max(width, 26) for line in lines)
        assert " ".join(" ".join(lines).split()) == f"for {text}"


def test_control_characters_are_left_out() -> None:
    assert folded("a\x1b[31mb\x07\u202ec", 40) == "a [31mb  c"

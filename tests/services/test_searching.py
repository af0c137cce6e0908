"""Words are found however they are written, and a row is told in words."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.services.searching import holds, meant, row_words, sure_parts, words_of

WIRE = {"wire": "W7", "from": "CU.9", "to": "TE.1", "colour": "BN/WH", "length_mm": "1200"}
NOTE = {"reading": "R1", "plus": "CU.1", "value": "470", "note": 'Kühler hot, 1.5Ω, "loose"'}


@pytest.mark.parametrize("query", ["w7", "te.1", "bn/wh cu.9", "BN W7"])
def test_all_words_in_any_case_and_any_cell(query: str) -> None:
    assert holds("wires", WIRE, words_of(query))


@pytest.mark.parametrize("query", ["w8", "te.1 gn", "1200", "", "colour"])
def test_a_missing_word_a_figure_or_the_name_of_a_column_is_not_found(query: str) -> None:
    assert not holds("wires", WIRE, words_of(query))


@pytest.mark.parametrize("query", ["kühler", "KÜHLER", "Ku\u0308hler", "Ω", "\u2126", '"loose"'])
def test_letters_beyond_plain_ones_are_found(query: str) -> None:
    assert holds("readings", NOTE, words_of(query))


def test_words_joined_by_an_underscore_are_found_either_way() -> None:
    about = {"title": "x", "symptoms": "hot_start"}
    assert holds("job", about, words_of("hot_start"))
    assert holds("job", about, words_of("hot start"))


def test_a_column_of_the_persons_own_is_looked_into() -> None:
    assert holds("wires", {**WIRE, "batch": "red reel"}, words_of("reel"))


@given(st.text(alphabet='abKÜü1.-"\\/Ωß ', min_size=1, max_size=12), st.booleans())
def test_what_the_database_is_asked_for_stands_in_the_row_however_it_is_kept(
    text: str, escaped: bool
) -> None:
    words = words_of(text)
    kept = json.dumps({"note": text}, ensure_ascii=escaped).lower()
    assert all(part in kept for part in sure_parts(words))
    assert not words or holds("readings", {"note": text}, words)


def test_a_row_that_is_called_so_is_told_from_one_that_speaks_of_it() -> None:
    assert meant("wires", WIRE, words_of("te.1"))
    assert not meant("wires", WIRE, words_of("te"))


def test_a_row_is_told_without_its_name_its_figures_and_underscores() -> None:
    assert row_words("wires", WIRE) == "CU.9, TE.1, BN/WH"
    assert row_words("joints", {"joint": "B", "kind": "battery_plus"}) == "battery plus"
    assert row_words("survey", {"item": "TE", "aspect": "boot", "note": "torn"}) == "torn"


def test_of_a_long_row_the_part_that_was_searched_is_shown() -> None:
    cells = {"photo": "a.jpg", "by": "long words " * 20, "note": "torn boot"}
    assert "torn boot" not in row_words("photos", cells)
    told = row_words("photos", cells, words_of("torn"))
    assert told.startswith("torn boot")
    assert told.endswith(" …")
    assert len(told) <= 162

"""Sheets of labels to choose from."""

from __future__ import annotations

import pytest

from loomwright.loom import InputProblems
from loomwright.services.paper_sheets import check_label_sheet, sheet_choices


def test_every_sheet_says_its_size_and_its_paper() -> None:
    told = {each.name: each.words for each in sheet_choices()}
    assert told["3x7"] == "3 × 7 labels of 63.5 × 38.1 mm, on A4"
    assert told["3x10"].endswith("on Letter")


def test_every_sheet_fits_its_paper_and_the_usual_fits_all() -> None:
    for each in sheet_choices():
        check_label_sheet("a4" if each.words.endswith("A4") else "letter", each.name)
    check_label_sheet("letter", "")


def test_a_sheet_of_another_paper_is_refused_beside_its_field() -> None:
    with pytest.raises(InputProblems) as caught:
        check_label_sheet("letter", "3x7")
    (problem,) = caught.value.problems
    assert problem.where.column == "label_sheet"
    assert problem.expected == "give 3x10"

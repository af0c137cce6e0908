"""Figures that a workshop may replace."""

from __future__ import annotations

import pytest

from loomwright.loom import NotFound, OwnFigure
from loomwright.services.defaults import figure, figures, found
from loomwright.standards.provenance import STANDINGS
from loomwright.standards.replaceable import defaults, weights


def test_every_replaceable_figure_stands_once_under_a_heading() -> None:
    names = [each.name for each in figures()]
    assert sorted(names) == sorted([*defaults(), *weights()])
    grouped = [each.name for group in found(figures(), "") for each in group.figures]
    assert sorted(grouped) == sorted(names)


def test_every_figure_says_what_it_is_for_and_how_far_to_trust_it() -> None:
    for each in figures():
        assert each.about
        assert each.source
        assert each.standing in STANDINGS
        assert float(each.low) <= float(each.value) <= float(each.high)


def test_an_own_figure_stands_beside_the_shipped_one() -> None:
    mine = OwnFigure(name="lead_resistance", value=0.3, note="own meter")
    known = figure("lead_resistance", [mine])
    assert (known.value, known.unit, known.own, known.own_note) == ("0.2", "Ω", "0.3", "own meter")
    assert [each.name for each in figures([mine]) if each.own] == ["lead_resistance"]
    assert figure("lead_resistance").own == ""


def test_all_words_must_stand_in_what_is_found() -> None:
    groups = found(figures(), "METER resistance")
    names = [each.name for group in groups for each in group.figures]
    assert "voltmeter_input_resistance" in names
    assert "meter_counts" not in names
    assert found(figures(), "no such thing") == ()


def test_a_plain_number_has_no_unit() -> None:
    assert figure("vat").unit == ""


def test_an_unknown_figure_is_not_found() -> None:
    with pytest.raises(NotFound, match="lead_resistence"):
        figure("lead_resistence")

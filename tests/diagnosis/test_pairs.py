"""Pairs bounded a few rows at a time, as a large loom's are, against all of them at once."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.diagnosis import Diagnosis, Model, Probe, pairs, weighing
from loomwright.diagnosis.pairs import Companion
from sample.drawn import loom, reading

#   CU.1 --W1-- T.1 [R 100] T.2 --W2-- CU.2
#   CU.3 --W3-- V.1 [Q  47] V.2 --W4-- E1 --> metal
LOOM = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2", "V": "D: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100\nQ D.1 D.2 resistor ohm=47",
    {"E1": "earth"},
)
# An open beside a leak to earth: no single fault gives all of it.
READINGS = (("ohm CU.1 CU.2", np.inf), ("ohm CU.3 E1", 900.0), ("ohm CU.1 E1", 350.0))


def test_a_few_rows_at_a_time_give_the_posterior_of_all_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    diagnosis = Diagnosis(Model(LOOM))
    for text, value in READINGS:
        diagnosis.add(Probe.of(reading("R", text, value)), value)
    whole = diagnosis.posterior()
    monkeypatch.setattr(pairs, "_ROW_PAIRS", 100)
    monkeypatch.setattr(weighing, "_AT_ONCE", 30)
    parts = diagnosis.posterior()
    assert (whole.hypotheses.fault2 >= 0).any()
    assert (parts.hypotheses.fault2 == whole.hypotheses.fault2).all()
    for name in ("probability", "fault", "hidden", "unseen", "place", "place_without", "slip"):
        assert getattr(parts, name) == pytest.approx(getattr(whole, name), rel=1e-9, abs=1e-14)
    assert parts.discarded == pytest.approx(whole.discarded, rel=1e-9)


@pytest.mark.parametrize("entries", [1, 7, 1000])
def test_companions_are_summed_as_by_the_whole_table(
    monkeypatch: pytest.MonkeyPatch, entries: int
) -> None:
    rng = np.random.default_rng(4)
    beside, weight = rng.random((4, 3)) < 0.5, rng.random(9)
    first, second = np.array([0, 2, 5, 7]), np.array([1, 3, 8])
    companion = Companion(9, first, second, beside)
    monkeypatch.setattr(pairs, "_ROW_PAIRS", entries)
    for one, row in zip(first, beside, strict=True):
        expected = weight[second[row]].sum()
        assert companion.weight_beside(weight)[one] == pytest.approx(expected)
    for two, column in zip(second, beside.T, strict=True):
        assert companion.mass_beside(weight)[two] == pytest.approx(weight[first[column]].sum())

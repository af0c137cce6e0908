"""Tape, sleeves and bores against bundles, worked by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright import standards
from loomwright.build.covering_sizes import (
    coverings,
    fixing_fit,
    part_checks,
    sleeve_for,
    tape_metres,
    taped,
)
from loomwright.loom import Fixing, Part
from loomwright.repair.needs import Span

VALUE = standards.values()


def bore(kind: str, low: float, high: float | None = None) -> float | None:
    span = Span(low=low, high=low if high is None else high)
    choice = sleeve_for(span, kind, standards.sleeves(kind), value=VALUE)
    return choice.sleeve.bore_mm if choice.sleeve else None


@pytest.mark.parametrize(
    ("across_mm", "bore_mm"),
    # by hand: bore at least 1.1 and at most 1.6 times the bundle
    [(1.8, None), (2.0, 3), (2.7, 3), (2.8, 4), (6.6, 8), (7.3, 10), (11.0, 14), (23.0, None)],
)
def test_the_smallest_tube_that_goes_over(across_mm: float, bore_mm: float | None) -> None:
    assert bore("vinyl tube", across_mm) == bore_mm


@pytest.mark.parametrize(
    ("across_mm", "bore_mm"),
    [(2.9, None), (3.0, 3), (6.0, 3), (6.1, 6), (11.0, 8), (30.0, 19), (33.0, None)],
)
def test_a_woven_sleeve_widens_over_it(across_mm: float, bore_mm: float | None) -> None:
    assert bore("woven sleeve", across_mm) == bore_mm


def test_a_bundle_known_badly_is_to_be_measured() -> None:
    # 5 mm takes bore 6, 8.5 mm takes bore 10, and 10 is more than 1.6 · 5
    choice = sleeve_for(
        Span(low=5.0, high=8.5), "vinyl tube", standards.sleeves("vinyl tube"), value=VALUE
    )
    assert choice.sleeve is None
    assert choice.missing == "measure the bundle: bore 6 or 10 mm"


@given(st.floats(3.0, 22.0), st.floats(1.0, 1.3))
def test_a_chosen_tube_goes_over_both_ends(low: float, factor: float) -> None:
    found = bore("vinyl tube", low, low * factor)
    if found is not None:
        assert found >= low * factor
        assert found <= 1.6 * low + 1e-6


def test_tape_by_the_usual_roll() -> None:
    # common practice: 3.6 m of tape of 19 mm, half over itself, for a metre of 10 mm
    assert tape_metres(10.0, 1000.0, value=VALUE) == pytest.approx(3.6, abs=0.06)
    assert tape_metres(10.0, 250.0, value=VALUE) == pytest.approx(
        tape_metres(10.0, 1000.0, value=VALUE) / 4
    )
    assert taped(Span.of(10.0), wall_mm=0.3) == Span.of(10.6)


def test_everything_for_one_bundle() -> None:
    found = coverings(Span(low=6.0, high=6.6), value=VALUE)
    assert [each.kind for each in found.sleeves] == list(standards.sleeve_kinds())
    assert found.tube.tube is not None
    # 2:1 tube of 3/8 in: 9.5 ≥ 1.05 · 6.6, 4.75 < 0.8 · 6
    assert found.tube.tube.supplied_mm == 9.5
    assert (found.taped_mm.low, found.taped_mm.high) == pytest.approx((6.6, 7.2))


def test_heat_shrink_that_none_fits_speaks_of_the_bundle() -> None:
    assert "bundle" in coverings(Span(low=5.0, high=12.0), value=VALUE).tube.missing


def fit(kind: str, bore_mm: float | None, low: float, high: float | None = None) -> tuple[str, str]:
    fixing = Fixing(fixing="G1", kind=kind, branch="B1", bore_mm=bore_mm)
    span = Span(low=low, high=low if high is None else high)
    found = fixing_fit(fixing, span, value=VALUE)
    return found.outcome, found.reason


@pytest.mark.parametrize(
    ("kind", "across_mm", "outcome", "word"),
    # by hand, bore 10 mm: grommet 9 to 11.5 mm, clip 9 to 11 mm
    [("grommet", 8.9, "does not fit", "water"), ("grommet", 9.1, "fits", "10 mm"),
     ("grommet", 11.4, "fits", "10 mm"), ("grommet", 11.6, "does not fit", "through"),
     ("clip", 8.9, "does not fit", "chafes"), ("clip", 10.9, "fits", "10 mm"),
     ("clip", 11.1, "does not fit", "squeezes")],
)  # fmt: skip
def test_bores_of_grommets_and_clips(kind: str, across_mm: float, outcome: str, word: str) -> None:
    found, reason = fit(kind, 10.0, across_mm)
    assert found == outcome
    assert word in reason


def test_what_is_not_known_is_said() -> None:
    assert fit("clip", None, 9.0)[0] == "not known"
    assert fit("clip", 10.0, 8.0, 12.0)[0] == "not known"
    fixing = Fixing(fixing="G1", kind="clip", branch="B1", bore_mm=10.0)
    assert fixing_fit(fixing, None, value=VALUE).outcome == "not known"


def test_boots_and_sleeves_of_the_catalogue() -> None:
    parts = (
        Part(part="BOOT", kind="boot", bore_mm=3.5, bore_max_mm=7.0),
        Part(part="SLV", kind="sleeve", bore_mm=1.5, bore_max_mm=4.8),
        Part(part="WIRE", kind="wire"),
    )
    found = part_checks(parts, Span.of(4.9), "two wires", value=VALUE)
    assert {name: check.outcome for name, check in found.items()} == {
        "BOOT": "fits",
        "SLV": "does not fit",
    }

"""One reading's verdict, and where it lies on the scale of its band."""

from __future__ import annotations

import math
from pathlib import Path

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.diagnosis import Model
from loomwright.loom import Job, NotFound, Reading
from loomwright.services.expect import expectation
from loomwright.services.verdicts import on_scale, reading_named, verdict
from loomwright.storage.job_folder import JobFolder

JOB: Job = JobFolder().read(Path(__file__).parents[2] / "examples" / "tarn-2300")
MODEL = Model(JOB)
HOT: Reading = reading_named(JOB, "R11", "readings")
BAND = expectation(MODEL, HOT)


def at(off: float) -> Reading:
    """The hot reading so many half widths off its band's middle."""
    half = BAND.high - BAND.nominal if off > 0 else BAND.nominal - BAND.low
    return attrs.evolve(HOT, value=BAND.nominal + off * half)


@pytest.mark.parametrize(
    ("off", "kind"),
    [(0.0, "in"), (0.8, "in"), (-0.95, "near"), (1.2, "near"), (-1.4, "near"), (1.6, "out"),
     (-1.8, "out")],
)  # fmt: skip
def test_in_band_near_its_edge_or_outside(off: float, kind: str) -> None:
    assert verdict(JOB, at(off), MODEL).kind == kind


def test_nothing_is_below_a_band_that_begins_at_zero() -> None:
    earth = reading_named(JOB, "R02", "readings")
    assert verdict(JOB, attrs.evolve(earth, value=0.0), MODEL).kind == "in"


def test_over_range_is_open_or_as_expected() -> None:
    assert verdict(JOB, attrs.evolve(HOT, value=math.inf), MODEL).words == "✗ open: OL."
    assert verdict(JOB, reading_named(JOB, "R03", "readings"), MODEL).kind == "in"


def test_a_refused_reading_is_set_aside_with_why() -> None:
    on = attrs.evolve(HOT, unplugged=())
    assert "the control unit is still on plug CU" in verdict(JOB, on, MODEL).aside
    assert not verdict(JOB, HOT, MODEL).aside


@given(st.floats(min_value=0.0, max_value=1e7))
def test_the_needle_is_in_the_box_just_when_the_reading_is_in_band(value: float) -> None:
    row = expectation(MODEL, attrs.evolve(HOT, value=value))
    scale = on_scale(row)
    assert scale.at is not None
    assert 0 < scale.at < 100
    if row.verdict == "as expected":
        assert scale.low <= scale.at <= scale.low + scale.span
    elif row.verdict == "too high":
        assert scale.at >= scale.low + scale.span
    else:
        assert scale.at <= scale.low


def test_over_range_has_its_own_place_on_the_scale() -> None:
    row = expectation(MODEL, reading_named(JOB, "R03", "readings"))
    scale = on_scale(row)
    assert scale.high_words == "OL"
    assert scale.at is not None
    assert scale.low <= scale.at <= scale.low + scale.span
    leaking = on_scale(expectation(MODEL, reading_named(JOB, "R09", "readings")))
    assert leaking.at is not None
    assert leaking.at < leaking.low
    assert leaking.words == "A sound loom reads OL."


def test_readings_before_and_after_the_work_are_kept_apart() -> None:
    assert reading_named(JOB, "R11", "proof").value == 341
    with pytest.raises(NotFound, match="R99"):
        reading_named(JOB, "R99", "readings")

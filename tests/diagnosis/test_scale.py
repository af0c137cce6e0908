"""The scale of comparison, and a meter's specification as standard uncertainties."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.circuit import Assumptions
from loomwright.diagnosis import Diagnosis, Model, Probe
from loomwright.diagnosis.scale import from_z, meter_of, to_z, z_slope
from loomwright.loom import About, Job, MeterRange
from sample.drawn import loom, reading

ASSUME = Assumptions.shipped()
FIELD = Job(
    about=About(title="Meter"),
    meters=(
        MeterRange(
            meter="M", quantity="ohm", full_scale=4000, percent=0.8, counts=2, resolution=1
        ),
        MeterRange(
            meter="M", quantity="ohm", full_scale=400, percent=0.9, counts=3, resolution=0.1,
            leads_ohm=0.2,
        ),
        MeterRange(meter="M", quantity="volt", full_scale=40, percent=0.5, counts=2),
        MeterRange(meter="BARE", quantity="ohm", full_scale=2000),
    ),
)  # fmt: skip


@given(st.floats(0, 1e9))
def test_ohms_come_back_from_the_scale(ohm: float) -> None:
    back = from_z("ohm", to_z("ohm", np.array(ohm)))
    assert float(back) == pytest.approx(ohm, rel=1e-9, abs=1e-9)


def test_the_scale_counts_ohms_below_and_percent_above() -> None:
    """0.1 ohm near nothing, and a percent of a megohm, are steps of like size."""
    small = to_z("ohm", np.array(0.1)) - to_z("ohm", np.array(0.0))
    large = to_z("ohm", np.array(1.02e6)) - to_z("ohm", np.array(1e6))
    assert float(small) == pytest.approx(float(large), rel=0.02)
    assert math.isinf(float(to_z("ohm", np.array(np.inf))))
    assert float(to_z("volt", np.array(-3.5))) == -3.5


@pytest.mark.parametrize("ohm", [0.0, 3.0, 5000.0])
def test_the_slope_is_that_of_the_scale(ohm: float) -> None:
    step = 1e-4 * (1 + ohm)
    ends = to_z("ohm", np.array([ohm + step, ohm + 2 * step, ohm + 3 * step]))
    found = float(z_slope("ohm", np.array(ohm + 2 * step)))
    assert found == pytest.approx((ends[2] - ends[0]) / (2 * step), rel=1e-6)


def test_a_range_is_chosen_by_the_value_and_its_specification_applied() -> None:
    """0.9 % of 100 + 3 counts of 0.1, each a rectangle: divided by the root of three."""
    meter = meter_of(FIELD, "M", "ohm", ASSUME)
    assert meter.limit == 4000
    assert meter.stated
    assert meter.offset == 0.2
    root = math.sqrt(3)
    assert float(meter.gain_spread(np.array(100.0))) == pytest.approx(0.9 / root)
    assert float(meter.own_spread(np.array(100.0), 0.0)) == pytest.approx(0.3 / root)
    assert float(meter.gain_spread(np.array(1000.0))) == pytest.approx(8.0 / root)
    assert float(meter.own_spread(np.array(1000.0), 0.0)) == pytest.approx(2.0 / root)
    tips = float(meter.own_spread(np.array(100.0), 0.4))
    assert tips == pytest.approx(math.hypot(0.3 / root, 0.4))


def test_volts_have_no_leads() -> None:
    meter = meter_of(FIELD, "M", "volt", ASSUME)
    assert (meter.offset, meter.offset_spread) == (0.0, 0.0)


def test_a_meter_without_specification_takes_the_assumed_one() -> None:
    meter = meter_of(FIELD, "BARE", "ohm", ASSUME)
    wanted = ASSUME.meter_percent / 100 * 500 / math.sqrt(3)
    assert float(meter.gain_spread(np.array(500.0))) == pytest.approx(wanted)
    count = 2000 / ASSUME.meter_full_scale_counts
    own = float(meter.own_spread(np.array(500.0), 0.0))
    assert own == pytest.approx(ASSUME.meter_counts * count / math.sqrt(3))


def test_an_unknown_meter_reaches_the_assumed_limit() -> None:
    for name in (None, "NOBODY"):
        meter = meter_of(FIELD, name, "ohm", ASSUME)
        assert meter.limit == ASSUME.ohmmeter_limit_ohm
        assert not meter.stated


def test_over_range_of_a_meter_that_cannot_reach_is_no_news() -> None:
    """2.5 kohm on a meter to 2 kohm shows OL in a sound loom."""
    job = loom(
        "W1 CU.1 T.1\nW2 CU.2 T.2",
        {"CU": "UNIT: 1 . 2", "T": "S: 1 . 2"},
        "IN UNIT.1 UNIT.2 input ohm=1e6\nR S.1 S.2 resistor ohm=2500",
    )
    near = attrs.evolve(job, meters=FIELD.meters)
    diagnosis = Diagnosis(Model(near))
    probe = attrs.evolve(Probe.of(reading("R1", "ohm CU.1 CU.2", "OL")), meter="BARE")
    diagnosis.add(probe, math.inf)
    prior, after = Diagnosis(Model(near)).posterior(), diagnosis.posterior()
    assert after.sound == pytest.approx(prior.sound, rel=0.3)

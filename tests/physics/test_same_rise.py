"""Times to the same rise: worked by hand, and intervals that hold what they promise."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.physics.same_rise import same_rise
from loomwright.physics.warming import Warming


def run(times, temperatures, air=None):
    return Warming(times_s=times, temperatures_c=temperatures, air_c=air)


def compared(bare, boot, reading=0.5, timing=0.5):
    return same_rise(bare, boot, reading_k=reading, timing_s=timing)


def test_the_trade_figure_of_five_seconds_and_a_minute():
    # common practice: about 5 s bare and about a minute with a sound boot, 23 to 50 °C
    found = compared([run([0, 5], [23, 50])], [run([0, 60], [23, 50])])
    assert found.slower.value == pytest.approx(12)
    assert (found.bare_s.value, found.shielded_s.value) == pytest.approx((5, 60))
    assert found.rise_k == pytest.approx(27)
    assert not found.of_air


def test_between_readings_it_goes_straight():
    # 20 K: half way between 10 and 30 s; the clock and the readings are all but exact
    bare = run([0, 2, 4], [20, 30, 40])
    boot = run([0, 10, 30], [20, 30, 50])
    found = compared([bare], [boot], reading=1e-3, timing=1e-3)
    assert (found.bare_s.value, found.shielded_s.value) == pytest.approx((4, 20))


def test_where_the_air_was_measured_the_same_share_of_the_way_counts():
    # half the way: 23 → 73 of 123 °C, 43 → 83 of 123 °C
    bare = run([0, 10], [23, 73], air=123)
    boot = run([0, 90], [43, 83], air=123)
    found = compared([bare], [boot])
    assert found.of_air
    assert found.slower.value == pytest.approx(9)
    assert found.rise_k == pytest.approx(50)


@settings(max_examples=50, deadline=None)
@given(factor=st.floats(1, 30), power=st.floats(0.5, 1.5))
def test_a_curve_drawn_out_in_time_is_so_many_times_slower(factor, power):
    times = np.linspace(0, 10, 11)
    rise = 3 * times**power
    found = compared([run(times, 20 + rise)], [run(factor * times, 20 + rise)])
    assert found.slower.value == pytest.approx(factor)
    assert found.slower.low < factor < found.slower.high
    assert found.slower.low * found.slower.high == pytest.approx(factor**2)


def test_the_interval_holds_the_truth_at_least_nineteen_times_in_twenty():
    noise = np.random.default_rng(30)
    hits = 0
    for _ in range(300):
        runs = []
        for constant, times in ((15.0, np.arange(0, 22, 2.0)), (150.0, np.arange(0, 130, 10.0))):
            read = 120 - 97 * np.exp(-times / constant) + noise.normal(0, 0.5, len(times))
            runs.append([run(times, read, air=120)])
        found = compared(*runs, timing=1e-3).slower
        hits += found.low <= 10 <= found.high
    assert hits / 300 >= 0.93


def test_fewer_readings_are_less_sure():
    times = np.arange(0, 61, 5.0)
    rises = 120 - 97 * np.exp(-times / 60)
    bare = run([0, 3, 6, 9], [23, 32, 41, 49])
    many = compared([bare], [run(times, rises)]).slower
    few = compared([bare], [run(times[[0, -1]], rises[[0, -1]])]).slower
    assert few.high / few.low > many.high / many.low


def test_runs_of_one_kind_that_differ_widen_the_interval():
    boot = [run([0, 60], [23, 50])]
    alike = compared([run([0, 5], [23, 50]), run([0, 5], [23, 50])], boot).slower
    apart = compared([run([0, 3], [23, 50]), run([0, 9], [23, 50])], boot).slower
    assert apart.high / apart.low > alike.high / alike.low


@pytest.mark.parametrize(
    ("bare", "boot"),
    [
        ([run([0, 5], [23, 50])], []),
        ([run([5, 10], [23, 50])], [run([0, 60], [23, 50])]),
        ([run([0, 5], [23, 50])], [run([0, 60], [23, 23.5])]),
        ([run([0, 5], [23, 50])], [run([0, 60], [23, 20])]),
    ],
    ids=["no run with the boot", "no start", "too small a rise", "no rise"],
)
def test_what_cannot_be_told(bare, boot):
    assert compared(bare, boot) is None


@pytest.mark.parametrize("wrong", [{"reading": 0}, {"timing": -1}])
def test_the_impossible_is_refused(wrong):
    with pytest.raises(OutOfRange):
        compared([run([0, 5], [23, 50])], [run([0, 60], [23, 50])], **wrong)


def test_a_confidence_of_one_is_refused():
    with pytest.raises(OutOfRange):
        same_rise([], [], reading_k=1, timing_s=1, confidence=1)

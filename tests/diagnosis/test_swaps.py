"""Many swaps read at once; what they read is held against a written-down job in test_model."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.circuit import Ports
from loomwright.diagnosis import Model, Setting
from loomwright.diagnosis.harm import control_plugs
from loomwright.loom import State
from reference.looms import make_job


@pytest.fixture(scope="module")
def model() -> Model:
    return Model(make_job(24, seed=2))


@pytest.mark.parametrize("plugged", [True, False])
def test_all_at_once_is_one_by_one(model: Model, plugged: bool) -> None:
    off = () if plugged else control_plugs(model.network.topology)
    base = model.solved(Setting.of(State.parse("key=on"), off))
    faults = np.flatnonzero(model.is_swap)
    tests = Ports.shunt(*np.random.default_rng(1).integers(len(model.network.points), size=(2, 20)))
    found = model.swaps.read(faults, base, tests)
    assert len(found.row)
    seen = set()
    for row, test, ohm, volt in zip(found.row, found.test, found.ohm, found.volt, strict=True):
        single = model.swaps.read(faults[[row]], base, tests[np.array([test])])
        assert (ohm, volt) == (single.ohm[0], single.volt[0])
        seen.add((row, test))
    assert len(seen) == len(found.row)


def test_settings_that_differ_elsewhere_share_a_solution() -> None:
    """A temperature changes a thermistor's island alone; swaps in others are not solved anew."""
    fresh = Model(make_job(24, seed=2))
    nodes = np.arange(len(fresh.network.points))
    tests = Ports.shunt(nodes, np.roll(nodes, 1))
    faults = np.flatnonzero(fresh.is_swap)
    off = control_plugs(fresh.network.topology)
    counts = []
    for text in ("engine_c=20", "engine_c=80"):
        fresh.swaps.read(faults, fresh.solved(Setting.of(State.parse(text), off)), tests)
        counts.append(len(fresh.swaps._turned))
    assert counts[0] > 0
    assert counts[1] < 2 * counts[0]

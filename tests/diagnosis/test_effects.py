"""Electrical effects of faults, against published arithmetic and against a plain dense solver."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from loomwright.bootstrap import jobs
from loomwright.circuit.reading import NO_FAULT
from loomwright.diagnosis import Model
from loomwright.diagnosis.control_side import ControlSide, singly
from loomwright.diagnosis.effects import EFFECTS, Gauge, shares
from reference.dense import Branch, Solved
from reference.faults import Fault, Series, Shunt, edited
from reference.looms import make_job

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"


@cache
def demo(when: str) -> ControlSide:
    return ControlSide(Model(jobs().read(DEMO)), when)


@cache
def drawn() -> ControlSide:
    return ControlSide(Model(make_job(45, seed=3)), "hot")


def off(side: ControlSide, name: str, fault: int, size: float) -> list[float]:
    """A gauge's rows under one fault; size as the solver takes it."""
    gauge: Gauge = EFFECTS[name].gauge(side)
    rows = np.arange(gauge.rows)[:, None]
    found: list[float] = gauge.off(rows, singly(np.array([fault]), np.array([size])))[:, 0].tolist()
    return found


def number(side: ControlSide, kind: str, item: str) -> int:
    """The fault of the loom of a kind that names an item first."""
    faults = side.model.faults
    return next(n for n, f in enumerate(faults) if f.kind == kind and f.items[0] == item)


# Error in the temperature the control unit believes, of the usual sensor: derived from two
# published tables on one curve; the demo's sensor has the same points.
SERIES_80 = {20: -2.1, 50: -4.9, 100: -9.1, 200: -15.9, 500: -29.8}
LEAK_0 = {100e3: 1.3, 20e3: 5.8, 10e3: 10.6, 5e3: 18.1}


@pytest.mark.parametrize("ohm", SERIES_80)
def test_series_resistance_makes_a_hot_engine_look_colder(ohm: float) -> None:
    side = demo("hot")
    found = off(side, "engine_colder", number(side, "high_resistance", "TE.1"), 1.0 / ohm)
    assert found == [pytest.approx(SERIES_80[ohm], abs=0.15)]


@pytest.mark.parametrize("ohm", LEAK_0)
def test_a_leak_makes_a_cold_engine_look_hotter(ohm: float) -> None:
    side = demo("cold")
    found = off(side, "engine_hotter", number(side, "leak", "W32"), ohm)
    assert found == [pytest.approx(LEAK_0[ohm], abs=0.15)]


@pytest.mark.parametrize("ohm", [0.5, 1.0])
def test_added_resistance_costs_an_injector_its_share_of_the_current(ohm: float) -> None:
    """By Ohm's law r in a loop of R takes r / (R + r); coil of 2.4 Ω 60 K warmer, 6 Ω beside."""
    side = demo("hot")
    found = off(side, "one_load_weak", number(side, "high_resistance", "I4.1"), 1.0 / ohm)
    loop = 6.0 + 2.4 * (1 + 0.00393 * 60)
    assert max(found) == pytest.approx(ohm / (loop + ohm), abs=0.003)
    assert sorted(found)[-2] < 0.01


def test_the_demo_drives_its_six_injectors() -> None:
    side = demo("hot")
    names = [str(side.network.edges[edge].element.element) for edge in side.loads.edges]  # type: ignore[union-attr]
    assert {f"COIL-{n}" for n in range(1, 7)} == {
        name for name, alike in zip(names, side.loads.alike, strict=True) if alike
    }


def real(side: ControlSide, fault: int, size: float) -> tuple[Fault, ...]:
    """The same fault as the reference edits it."""
    if fault == NO_FAULT:
        return ()
    ports = side.model.ports
    if ports.edge[fault] >= 0:
        return (Series(int(ports.edge[fault]), math.inf if size == 0 else 1.0 / size),)
    return (Shunt(int(ports.a[fault]), int(ports.b[fault]), size),)


def solved(side: ControlSide, faults: tuple[Fault, ...], *more: Branch) -> Callable[[int], float]:
    """Current through an edge, by node voltages."""
    branches = [*edited(side.network, side.solved.configuration, faults), *more]
    volts = Solved(len(side.network.points), branches).volts

    def through(edge: int) -> float:
        ends = (side.network.edges[edge].tail, side.network.edges[edge].head)
        for tail, head, ohm, emf in branches:
            if (tail, head) == ends:
                return float((volts[tail] - volts[head] + emf) / ohm)
        return 0.0

    return through


def some_faults(side: ControlSide) -> list[tuple[int, float]]:
    rng = np.random.default_rng(4)
    chosen = rng.permutation(np.flatnonzero(~side.model.is_swap))[:60]
    found = []
    for each in chosen.tolist():
        magnitude = np.array([rng.choice(side.model.faults[each].magnitudes())])
        size = side.model.sizes(side.solved, np.array([each]), magnitude)
        found.append((each, float(size[0])))
    return found


def test_current_of_driven_coils_against_node_voltages() -> None:
    side = drawn()
    gauge = EFFECTS["one_load_weak"].gauge(side)
    loads = np.flatnonzero(side.loads.alike)
    assert gauge.rows == len(loads) >= 2
    tests, closed = side.outputs.tests, side.assume.closed_contact_ohm
    felt = 0
    for fault, size in some_faults(side):
        found = off(side, "one_load_weak", fault, size)
        for row, load in enumerate(loads):
            edge, test = int(side.loads.edges[load]), side.loads.tests[load]
            output = (int(tests.a[test]), int(tests.b[test]), closed, 0.0)
            sound = solved(side, (), output)(edge)
            faulty = solved(side, real(side, fault, size), output)(edge)
            assert found[row] == pytest.approx(1.0 - faulty / sound, abs=2e-3)
            felt += abs(found[row]) > 0.05
    assert felt > 3


def test_battery_current_against_node_voltages() -> None:
    side = drawn()
    battery = side.network.battery
    assert battery is not None
    for fault, size in some_faults(side):
        sound, faulty = (solved(side, f)(battery) for f in ((), real(side, fault, size)))
        found = off(side, "overload", fault, size)
        assert found == [pytest.approx(abs(faulty) - abs(sound), abs=1e-4, rel=1e-4)]


@pytest.mark.parametrize("name", EFFECTS)
def test_a_sound_loom_has_no_effect(name: str) -> None:
    for side in (demo("cold"), demo("hot"), drawn()):
        assert off(side, name, NO_FAULT, 0.0) == pytest.approx(
            np.zeros(EFFECTS[name].gauge(side).rows).tolist(), abs=1e-9
        )


def test_shares_are_the_cells_that_have_the_effect() -> None:
    """Against every cell read one by one."""
    side = drawn()
    model = side.model
    wanted = {"engine_colder": 5.0, "one_load_weak": 0.05, "several_loads_weak": 0.05}
    found = shares(model, "hot", wanted)
    for fault in np.flatnonzero(~model.is_swap)[::29].tolist():
        cells = model.faults[fault].magnitudes()
        sizes = model.sizes(side.solved, np.full(len(cells), fault), cells)
        colder = [min(off(side, "engine_colder", fault, size)) <= -5.0 for size in sizes.tolist()]
        weak = [
            sum(lost >= 0.05 for lost in off(side, "one_load_weak", fault, size))
            for size in sizes.tolist()
        ]
        assert found["engine_colder"][fault] == pytest.approx(np.mean(colder))
        assert found["one_load_weak"][fault] == pytest.approx(np.mean([n == 1 for n in weak]))
        assert found["several_loads_weak"][fault] == pytest.approx(np.mean([n > 1 for n in weak]))


def test_what_is_wrong_in_a_contact_itself_is_seen() -> None:
    side = demo("hot")
    found = shares(side.model, "hot", {"switch_lost": 0.5})["switch_lost"]
    for kind in ("stuck_open", "stuck_closed"):
        assert found[number(side, kind, "THS")] == 1.0


def test_swapped_cavities_are_not_known() -> None:
    model = drawn().model
    found = shares(model, "hot", {"overload": 10.0})["overload"]
    assert (np.isnan(found) == model.is_swap).all()

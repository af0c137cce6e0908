"""Currents of a sound loom: Ohm's law on small looms, relays, outputs, and what is not known."""

from __future__ import annotations

from pathlib import Path

import attrs
import numpy as np
import pytest

from loomwright import standards
from loomwright.loom import Job
from loomwright.loom.records import Device
from loomwright.repair.wire_current import WireCurrent, wire_currents
from loomwright.storage.job_folder import JobFolder
from sample import fed

VALUE = standards.values()
DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"


def found(job: Job, **value: float) -> dict[str, WireCurrent]:
    return {each.wire: each for each in wire_currents(job, value={**VALUE, **value})}


def test_a_lamp_draws_by_ohms_law() -> None:
    wires = found(fed.fed(ohm=14.0))
    for name in ("W1", "W2", "W3"):
        # 14 V over 14 Ω; wires, contacts and battery add some 0.1 Ω
        assert wires[name].current_a == pytest.approx(1.0, abs=0.015)
        assert wires[name].lasting_a == wires[name].current_a
        assert wires[name].feeds == ("LAMP",)


def test_the_supply_is_that_of_a_running_engine_and_can_be_ones_own() -> None:
    half = found(fed.fed(), current_running_supply=7.0)["W1"].current_a
    assert half == pytest.approx((found(fed.fed())["W1"].current_a or 0.0) / 2)


def test_a_wire_to_nowhere_is_not_known() -> None:
    job = fed.fed()
    job = attrs.evolve(job, wires=(*job.wires, fed.wire("W9", "BP", "X.1")),
                       plugs=(*job.plugs, fed.plug("X", "1", "NOTHING")))  # fmt: skip
    dead = found(job)["W9"]
    assert dead.current_a is None
    assert "leads to nothing" in dead.unknown
    assert found(job)["W2"].current_a is not None


def with_switch(key: str) -> Job:
    job = fed.fed()
    switched = attrs.evolve(job.elements[0], kind="contact", closed_when=fed.when(f"key={key}"))
    return attrs.evolve(job, elements=(switched, job.elements[1]))


def test_what_flows_only_while_starting_is_told_apart() -> None:
    wire = found(with_switch("start"))["W2"]
    assert wire.state.startswith("key=start")
    assert wire.lasting_a == 0.0
    assert wire.starting_a == pytest.approx(1.0, abs=0.02)


def test_a_key_position_that_only_the_job_names_is_tried() -> None:
    assert (found(with_switch("lights"))["W2"].current_a or 0.0) > 0.9


def test_a_wire_with_no_state_that_uses_it_carries_nothing() -> None:
    wire = found(with_switch("off"))["W2"]
    assert (wire.current_a, wire.state, wire.unknown) == (0.0, "", "")


def test_a_relay_closes_when_its_coil_pulls() -> None:
    job = fed.fed()
    contact = attrs.evolve(job.elements[0], kind="contact", closed_when=fed.when("key=off"))
    coil = fed.element("COIL", "FUSE", "winding", ohm=70.0, pull_in_a=0.1,
                       from_pin="1", to_pin="case")  # fmt: skip
    weak = attrs.evolve(coil, pull_in_a=5.0)
    base = attrs.evolve(job, elements=(contact, job.elements[1], coil))
    assert found(base)["W2"].lasting_a == pytest.approx(1.0, abs=0.02)
    never = attrs.evolve(base, elements=(contact, job.elements[1], weak))
    cold = found(never)["W2"]
    assert cold.lasting_a == 0.0


def test_an_output_of_the_control_unit_holds_its_coil_and_pulses_by_half() -> None:
    """14 V over an 8.4 Ω loop is 1.67 A (the trade's 8.4-ohm loop); half the time warms as 0.71."""
    job = fed.fed()
    job = attrs.evolve(
        job,
        plugs=(*job.plugs, fed.plug("CU", "1 2 3 4", "ECU"), fed.plug("I", "1 2", "INJ")),
        devices=(*job.devices, Device(device="ECU"), Device(device="INJ")),
        elements=(
            *job.elements,
            fed.element("IN", "ECU", "input", from_pin="3", to_pin="1", ohm=10000.0),
            fed.element("OWN", "ECU", "resistor", from_pin="4", to_pin="1", ohm=1000.0),
            fed.element("COIL", "INJ", "winding", ohm=8.4),
        ),
        wires=(
            *job.wires,
            fed.wire("C1", "CU.1", "E"),
            fed.wire("C4", "F.2", "CU.4"),
            fed.wire("C2", "CU.2", "I.1"),
            fed.wire("I2", "I.2", "F.2"),
        ),
    )
    wires = found(job)
    injector = wires["C2"]
    assert injector.current_a == pytest.approx(14 / 8.4, rel=0.04)
    assert injector.lasting_a == pytest.approx((injector.current_a or 0.0) * np.sqrt(0.5), rel=1e-3)
    assert "INJ" in injector.feeds
    # what the output takes comes back by the control unit's own earth wire
    assert (wires["C1"].current_a or 0.0) >= (injector.current_a or 0.0) * 0.99
    assert found(job, current_pulse_share=1.0)["C2"].lasting_a == injector.current_a


@pytest.fixture(scope="module")
def demo() -> dict[str, WireCurrent]:
    return found(JobFolder().read(DEMO))


def test_the_demo_loom(demo: dict[str, WireCurrent]) -> None:
    # 2.4 Ω and its 6 Ω resistor in one loop: 14 / 8.4 = 1.67 A less what wires lose
    assert demo["W43"].current_a == pytest.approx(14 / 8.4, rel=0.15)
    assert demo["W41"].current_a == pytest.approx(3 * (demo["W43"].current_a or 0.0), rel=0.01)
    # the pump's relay is held by the control unit, so the pump runs on with the key on
    assert demo["W27"].lasting_a == pytest.approx(demo["W28"].lasting_a)
    assert (demo["W27"].lasting_a or 0.0) > 10
    # cold-start valve of 4 Ω only while starting: about 3 A (trade figure)
    assert demo["W12"].lasting_a == pytest.approx(0.0, abs=0.01)
    assert demo["W12"].starting_a == pytest.approx(3.0, abs=0.4)


def test_current_is_kept_at_every_splice_of_the_demo_loom(demo: dict[str, WireCurrent]) -> None:
    """Kirchhoff: a group's three injector wires bring what its earth wire takes away."""
    parts = sum(demo[name].current_a or 0.0 for name in ("W49", "W50", "W51"))
    assert demo["W55"].current_a == pytest.approx(parts, rel=1e-6)

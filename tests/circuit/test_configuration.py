"""Ohms and volts of single pieces against hand computation from published constants."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest

from loomwright.circuit import METAL, POST, Assumptions, Configuration, Network, configure
from loomwright.loom import State
from sample import jobs as sample
from sample.drawn import loom

# The bare copper alone: no crimps, no allowance for the lay of the strands.
BARE = attrs.evolve(
    Assumptions.shipped(),
    crimp_ohm=0.0,
    splice_ohm=0.0,
    lay_factor=1.0,
    resistivity_ohm_m=1.7241e-8,
)


def configured(
    state: str = "ambient_c=20",
    *off: str,
    assume: Assumptions = BARE,
    edits: sample.Edits | None = None,
) -> tuple[Network, Configuration]:
    network = Network.of(sample.job(edits))
    return network, configure(network, State.parse(state), off, assume=assume)


def number_of(network: Network, name: str) -> int:
    """The edge of a wire or an element, or the contact at a cavity."""
    for number, edge in enumerate(network.edges):
        element = edge.element.element if edge.element is not None else ""
        if edge.kind != "pull_up" and name in (element, edge.items[0] if edge.items else ""):
            return number
    raise LookupError(name)


def ohm_of(name: str, state: str = "ambient_c=20", **more: object) -> float:
    network, configuration = configured(state, **more)  # type: ignore[arg-type]
    return float(configuration.ohm[number_of(network, name)])


@pytest.mark.parametrize(
    ("build", "milliohm_per_m"),
    [  # 17.241 Ω·mm²/km over N·π·d²/4: strand builds as published by cable makers
        ("0.75,24,0.20", 22.87),
        ("0.5,16,0.20", 34.30),
        ("1,32,0.20", 17.15),
        ("1.5,30,0.25", 11.71),
        ("2.5,50,0.25", 7.025),
        ("2,28,0.30", 8.711),
    ],
)
def test_a_wire_by_its_strands(build: str, milliohm_per_m: float) -> None:
    ohm = ohm_of(
        "W1", edits={"wires": ("CU.1,T1.1,BN/WH,0.75,24,0.20,1200", f"CU.1,T1.1,,{build},1200")}
    )
    assert 1000 * ohm / 1.2 == pytest.approx(milliohm_per_m, rel=3e-4)


def test_a_wire_by_its_section_where_no_strands_are_known() -> None:
    """17.241 Ω·mm²/km / 0.75 mm² over 1.2 m is 27.586 mΩ (IEC 60028: 1/58 Ω·mm²/m)."""
    edits: sample.Edits = {"wires": ("0.75,24,0.20,1200", "0.75,,,1200")}
    assert 1000 * ohm_of("W1", edits=edits) == pytest.approx(27.586, rel=1e-4)


def test_the_shipped_allowances_meet_the_limit_of_a_vehicle_cable() -> None:
    """24/0.20 of 0.75 mm² may have 24.7 mΩ/m new (ISO 6722-1, from memory), crimps apart."""
    assume = attrs.evolve(Assumptions.shipped(), crimp_ohm=0.0)
    assert 1000 * ohm_of("W1", assume=assume) / 1.2 == pytest.approx(24.7, rel=0.01)


def test_blank_length_and_section_take_the_assumed_ones() -> None:
    edits: sample.Edits = {"wires": ("CU.1,T1.1,BN/WH,0.75,24,0.20,1200", "CU.1,T1.1,BN/WH,,,,")}
    by_hand = 1.7241e-8 * BARE.wire_length_m / (BARE.wire_section_mm2 * 1e-6)
    assert ohm_of("W1", edits=edits) == pytest.approx(by_hand)


def test_a_crimp_or_splice_at_each_end() -> None:
    """W1 ends in two terminals, W2 in one and a splice, W3 in a splice and an eyelet's joint."""
    assume = attrs.evolve(BARE, crimp_ohm=0.004, splice_ohm=0.02)
    added = [ohm_of(wire, assume=assume) - ohm_of(wire) for wire in ("W1", "W2", "W3")]
    assert added == pytest.approx([0.008, 0.024, 0.04])


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [(-40, 0.7642), (0, 0.9214), (60, 1.1572), (85, 1.2554), (125, 1.4127)],
)  # 1 + 0.00393 (T - 20), IEC 60028; 254.5 / (234.5 + T) of AC 43.13-1B agrees to 0.1 %
def test_copper_warms_with_the_day(celsius: int, factor: float) -> None:
    warm, cold = ohm_of("W1", f"ambient_c={celsius}"), ohm_of("W1")
    assert warm / cold == pytest.approx(factor, abs=1e-4)
    assert warm / cold == pytest.approx((234.5 + celsius) / 254.5, rel=2e-3)


def test_a_winding_at_its_devices_temperature() -> None:
    """2.4 Ω at 20 °C is 2.4 x 1.2554 = 3.013 Ω at 85 °C (IEC 60028)."""
    job = loom("", {}, "COIL V.1 V.2 winding ohm=2.4", temperatures={"V": "engine"})
    network = Network.of(job)
    at = {
        state: configure(network, State.parse(state), assume=BARE).ohm[0]
        for state in ("engine_c=85; ambient_c=20", "engine_c=20; ambient_c=85")
    }
    assert list(at.values()) == pytest.approx([3.013, 2.4], abs=1e-3)


def test_a_device_with_a_temperature_of_its_own() -> None:
    job = loom("", {}, "COIL V.1 V.2 winding ohm=10", temperatures={"V": 60.0})
    ohm = configure(Network.of(job), State.parse("engine_c=0"), assume=BARE).ohm[0]
    assert ohm == pytest.approx(11.572, abs=1e-3)


@pytest.mark.parametrize(("celsius", "ohm"), [(-10, 9000), (20, 2500), (80, 330)])
def test_a_thermistor_meets_the_rows_of_its_curve(celsius: int, ohm: float) -> None:
    assert ohm_of("TH1", f"engine_c={celsius}; ambient_c=50") == pytest.approx(ohm)


def test_an_unstated_temperature_is_the_days() -> None:
    job = sample.job()
    warm = attrs.evolve(job, about=attrs.evolve(job.about, ambient_c=80.0))
    network = Network.of(warm)
    configuration = configure(network, State(), assume=BARE)
    assert configuration.ohm[number_of(network, "TH1")] == pytest.approx(330)


@pytest.mark.parametrize(
    ("state", "closed"),
    [
        ("throttle=shut", True),
        ("", True),
        ("throttle=open", False),
        ("key=on; throttle=wide", False),
    ],
)
def test_a_contact_closes_in_its_state(state: str, closed: bool) -> None:
    network, configuration = configured(state)
    number = number_of(network, "SW1")
    assert configuration.present[number] == closed
    assert configuration.ohm[number] == BARE.closed_contact_ohm


def test_a_plug_taken_off_opens_its_own_contacts_only() -> None:
    network, on = configured()
    _, off = configured("ambient_c=20", "T1")
    gone = np.flatnonzero(on.present & ~off.present)
    assert {network.edges[n].items[0] for n in gone} == {"T1.1", "T1.2"}


@pytest.mark.parametrize("half", ["X1", "X2"])
def test_either_half_of_a_pair_parts_it(half: str) -> None:
    network, off = configured("ambient_c=20", half)
    between = [n for n, e in enumerate(network.edges) if e.plugs == {"X1", "X2"}]
    assert len(between) == 1  # only cavity 1 has a wire on both sides
    assert not off.present[between].any()


def test_key_off_cuts_the_feed_and_the_pull_ups_but_the_battery_stands() -> None:
    for state, powered in (("key=off", False), ("key=on", True), ("key=start", True)):
        network, configuration = configured(state)
        live = {
            kind: {
                bool(configuration.present[n])
                for n, e in enumerate(network.edges)
                if e.kind == kind
            }
            for kind in ("battery", "feed", "pull_up")
        }
        assert live == {"battery": {True}, "feed": {powered}, "pull_up": {powered}}
        assert configuration.powered == powered


def test_sources_have_their_volts_and_their_direction() -> None:
    """The battery lifts its post above metal, an inner supply its input pin above the reference."""
    network, configuration = configured("key=on")
    sources = {
        (str(network.points[e.tail]), str(network.points[e.head])): configuration.emf[n]
        for n, e in enumerate(network.edges)
        if configuration.emf[n]
    }
    assert sources == {
        (str(METAL), str(POST)): 12.6,
        ("ECU.4", "ECU.1"): 5.0,
        ("ECU.4", "ECU.2"): 5.0,
    }


def test_spreads_are_those_of_a_rectangle() -> None:
    """A limit of ±p % is p / sqrt(3) as a standard uncertainty (GUM, JCGM 100:2008, 4.3.7)."""
    network, configuration = configured("engine_c=20")
    spread = {name: configuration.spread[number_of(network, name)] for name in ("TH1", "SUP")}
    assert spread["TH1"] == pytest.approx(0.10 / math.sqrt(3))  # the curve's own rows say 10 %
    assert spread["SUP"] == pytest.approx(BARE.tolerance_pct["resistor"] / 100 / math.sqrt(3))

"""A loom as nodes and edges: what counts as one, and what is left out."""

from __future__ import annotations

from collections import Counter

import attrs
import pytest

from loomwright.circuit import METAL, POST, Network
from loomwright.loom import Face, Job, Plug, Point, Wire
from sample import jobs as sample
from sample.drawn import loom


def kinds(job: Job) -> Counter[str]:
    return Counter(edge.kind for edge in Network.of(job).edges)


def test_the_small_job_edge_by_edge() -> None:
    """8 wires; contacts at CU.1-4, T1.1-2, T2.1-2 and one through X1/X2 (cavity 1 of both)."""
    assert kinds(sample.job()) == {
        "wire": 8,
        "contact": 9,
        "element": 3,  # thermistor, switch, resistor; the inputs are pull-ups only
        "pull_up": 2,
        "earth": 1,
        "battery": 1,
        "feed": 1,
    }


def test_only_wired_cavities_have_contacts() -> None:
    job = loom("W1 CU.1 E1", {"CU": "U: 1 2"}, "R U.1 U.2 resistor ohm=5", {"E1": "earth"})
    assert kinds(job)["contact"] == 1


def test_a_body_that_a_part_uses_is_bolted_to_metal() -> None:
    job = loom("W1 T.1 E1", {"T": "HEATER: 1"}, "R HEATER.1 HEATER.case resistor ohm=35",
               {"E1": "earth"})  # fmt: skip
    network = Network.of(job)
    (case,) = (edge for edge in network.edges if edge.kind == "case")
    assert network.points[case.tail] == Point("HEATER", "case")
    assert case.head == network.earth == network.node_of[METAL]


def test_a_voltmeter_on_the_battery_joint_touches_the_post() -> None:
    network = Network.of(sample.job())
    assert network.node(Point("BP"), volts=True) == network.node_of[POST]
    assert network.node(Point("BP")) == network.supply
    assert network.node(Point("CU", "1"), volts=True) == network.node(Point("CU", "1"))


def test_a_probe_on_nothing_has_no_node() -> None:
    network = Network.of(sample.job())
    for text in ("X1.2", "ZZ.1", "T1.9", "E7"):
        assert network.node(Point.parse(text)) is None


def test_edges_keep_their_numbers_in_every_state() -> None:
    one, other = (Network.of(sample.job()) for _ in range(2))
    assert one.edges == other.edges
    assert one.points == other.points


@pytest.mark.parametrize("to", ["ZZ.1", "E9", "CU.77", "CU.1"])
def test_a_wire_to_nothing_or_to_itself_is_left_out(to: str) -> None:
    job = sample.job()
    stray = Wire(wire="W99", from_point=Point("CU", "1"), to_point=Point.parse(to))
    assert kinds(attrs.evolve(job, wires=(*job.wires, stray))) == kinds(job)


def test_without_minus_joint_the_battery_stands_on_metal() -> None:
    network = Network.of(loom("W1 BP T.1", {"T": ": 1"}, "", {"BP": "battery_plus"}))
    assert network.battery is not None
    assert network.edges[network.battery].tail == network.earth


def test_a_loom_of_nothing() -> None:
    network = Network.of(
        Job(about=sample.job().about, plugs=(Plug(plug="P", face=Face.parse("1")),))
    )
    assert network.edges == ()
    assert (network.battery, network.supply, network.inner_supplies) == (None, None, ())

"""How warm wires run: the rise of a rated wire, bundles, zones, and what is not known."""

from __future__ import annotations

from math import isinf

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright import standards
from loomwright.loom import Job
from loomwright.repair.wire_heat import Bundles, WireHeat, copper_mm2
from sample import fed

VALUE = standards.values()


def heats(job: Job) -> dict[str, WireHeat]:
    return {each.wire: each for each in Bundles.of(job, VALUE).heats}


def test_a_wire_alone_at_its_rating_rises_as_the_rating_says() -> None:
    """ABYC E-11: 1.876 mm² bears 35 A and is then 75 K above 30 °C."""
    job = fed.wired(fed.fed(), section_mm2=1.8758)
    bundles = Bundles.of(job, VALUE)
    assert bundles.rise("W2", 35.0, 1.0, ambient_c=30.0) == pytest.approx(75, abs=0.01)
    assert bundles.capacity("W2", 1.0, rise_k=75, ambient_c=30) == pytest.approx(35, abs=0.01)


def test_the_warmest_stretch_counts_and_headroom_is_what_the_class_leaves() -> None:
    wire = heats(fed.fed(ohm=1000.0))["W2"]
    assert wire.worst is not None
    assert (wire.worst.stretch.where, wire.worst.stretch.running_c) == ("B1", 90.0)
    assert wire.worst.rise_k < 0.01
    assert wire.headroom_k == pytest.approx(15.0, abs=0.01)  # 105 − 90
    assert wire.unknown == ()


def test_surroundings_above_the_class_leave_no_capacity() -> None:
    wire = heats(fed.wired(fed.fed(), insulation="PVC"))["W2"]  # 80 °C in a zone of 90 °C
    assert wire.capacity_a == 0.0
    assert wire.headroom_k is not None
    assert wire.headroom_k < -10


def test_company_makes_a_wire_warmer() -> None:
    job = fed.fed(ohm=1.2)
    alone = heats(job)["W2"]
    others = tuple(fed.wire(f"N{n}", "F.1", "F.1", branches=("B1",)) for n in range(9))
    crowded = heats(attrs.evolve(job, wires=(*job.wires, *others)))["W2"]
    assert alone.worst is not None
    assert crowded.worst is not None
    assert len(crowded.worst.stretch.wires) == 10
    assert crowded.worst.factor == pytest.approx(0.755, abs=0.01)  # ten wires, 20 % loaded
    assert alone.capacity_a is not None
    assert crowded.capacity_a == pytest.approx(alone.capacity_a * crowded.worst.factor)
    # by the square of what the bundle leaves, a little more as hot copper resists more
    assert crowded.worst.rise_k >= alone.worst.rise_k / crowded.worst.factor**2


def test_a_loaded_bundle_is_read_on_a_higher_curve() -> None:
    job = fed.fed(ohm=0.5)
    pair = tuple(
        attrs.evolve(each, wire=f"{each.wire}b") for each in job.wires if each.wire == "W2"
    )
    worst = heats(attrs.evolve(job, wires=(*job.wires, *pair)))["W2"].worst
    assert worst is not None
    assert worst.loading_pct > 20
    assert worst.factor < standards.bundle_factor(2, 20)


def test_more_current_than_can_be_given_off_heats_without_end() -> None:
    wire = heats(fed.wired(fed.fed(ohm=0.01), section_mm2=0.3, length_mm=10))["W2"]
    assert wire.worst is not None
    assert isinf(wire.worst.rise_k)


def test_unknown_class_zone_section_and_current_are_said() -> None:
    job = fed.wired(fed.fed(), insulation="cloth", section_mm2=None)
    job = attrs.evolve(job, zones=(), plugs=job.plugs)
    wire = heats(job)["W2"]
    assert wire.headroom_k is None
    assert wire.worst is None
    told = " ".join(wire.unknown)
    assert '"cloth" is not known' in told
    assert "heat zone of B1, F, L not known" in told
    assert "section not told; 1 mm² is taken" in told


def test_strands_come_before_the_section() -> None:
    assert copper_mm2(fed.wire("W", "A", "B", strands=24, strand_mm=0.2)) == pytest.approx(
        0.754, abs=5e-4
    )  # 24/0.20, published area
    assert copper_mm2(fed.wire("W", "A", "B")) == 1.0
    assert copper_mm2(fed.wire("W", "A", "B", section_mm2=None)) is None


def test_starting_is_told_where_it_is_warmer() -> None:
    job = fed.fed(ohm=1.0)
    switched = attrs.evolve(job.elements[0], kind="contact", closed_when=fed.when("key=start"))
    wire = heats(attrs.evolve(job, elements=(switched, job.elements[1])))["W2"]
    assert wire.worst is not None
    assert wire.worst.rise_k == 0.0
    assert wire.starting_c is not None
    assert wire.starting_c > 95
    assert heats(job)["W2"].starting_c is None


@settings(max_examples=40)
@given(st.floats(1, 50), st.floats(1, 50))
def test_a_larger_load_is_never_cooler(one: float, other: float) -> None:
    small, large = sorted((one, other), reverse=True)
    cool, hot = heats(fed.fed(ohm=small))["W2"].worst, heats(fed.fed(ohm=large))["W2"].worst
    assert cool is not None
    assert hot is not None
    assert cool.conductor_c <= hot.conductor_c + 1e-9

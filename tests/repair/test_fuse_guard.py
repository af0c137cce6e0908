"""Fuses against wires: who stands behind which, whether it opens in time, and the largest."""

from __future__ import annotations

import attrs
import pytest

from loomwright import standards
from loomwright.loom import Job
from loomwright.loom.records import Device
from loomwright.physics.current_heating import adiabatic_factor
from loomwright.repair.fuse_guard import (
    CAUTION,
    HOLDS,
    TOO_LARGE,
    UNGUARDED,
    UNKNOWN,
    Guard,
    fuse_guards,
)
from loomwright.repair.wire_heat import Bundles
from sample import fed

VALUE = standards.values()


def guards(job: Job) -> dict[str, Guard]:
    return {g.wire: g for g in fuse_guards(job, Bundles.of(job, VALUE), value=VALUE)}


def test_before_the_fuse_there_is_none_behind_it_there_is() -> None:
    found = guards(fed.fed())
    assert found["W1"].verdict == UNGUARDED
    assert (found["W2"].fuse, found["W2"].rating_a) == ("FU", 10.0)
    assert "W3" not in found  # behind the lamp, which bounds its current


def test_a_small_fuse_guards_and_a_large_one_does_not() -> None:
    assert guards(fed.fed(fuse_a=5.0))["W2"].verdict == HOLDS
    large = guards(fed.fed(fuse_a=30.0))["W2"]
    assert large.verdict == TOO_LARGE
    assert any(not each.holds for each in large.checks)


def test_the_largest_that_holds_is_just_the_largest() -> None:
    ratings = [r.rating_a for r in standards.fuse_ratings() if r.fuse_type == "C"]
    for rating in ratings:
        guard = guards(fed.fed(fuse_a=rating))["W2"]
        assert guard.largest_a is not None
        assert (guard.verdict == HOLDS) == (rating <= guard.largest_a)


def test_every_multiple_at_which_the_fuse_must_open_is_held_against_the_wire() -> None:
    guard = guards(fed.fed(fuse_a=10.0))["W2"]
    # ISO 8820-3 type C, latest opening times from memory
    assert [(c.percent, c.opens_s) for c in guard.checks] == [
        (135, 600), (160, 50), (200, 5), (350, 0.5), (600, 0.1)]  # fmt: skip
    assert [c.current_a for c in guard.checks] == pytest.approx([13.5, 16, 20, 35, 60])
    # up to 5 s the wire may reach what PVC bears in a short circuit, longer 50 K above its class
    assert [c.limit_c for c in guard.checks] == [155, 155, 160, 160, 160]


def test_a_short_time_is_that_of_the_short_circuit_rule() -> None:
    """At six times 30 A no heat gets away: t = (k·A/I)² (IEC 60364-5-54), from 90 to 160 °C.

    A fifth less than that, as the wire is reckoned with the longer way of twisted strands.
    """
    check = guards(fed.fed(ohm=1e4, fuse_a=30.0))["W2"].checks[-1]
    rule = (adiabatic_factor(90, 160) * 1e-6 / 180) ** 2
    assert check.wire_s == pytest.approx(rule / VALUE["lay_allowance"], rel=0.03)


def test_a_thicker_wire_and_better_insulation_stand_more() -> None:
    thin = guards(fed.fed())["W2"].largest_a
    thick = guards(fed.wired(fed.fed(), section_mm2=2.5))["W2"].largest_a
    better = guards(fed.wired(fed.fed(), insulation="ETFE"))["W2"].largest_a
    assert thin is not None
    assert thick is not None
    assert better is not None
    assert thick > thin
    assert better > thin


def test_a_slow_fuse_guards_less() -> None:
    quick = guards(fed.fed(fuse_a=20.0))["W2"]
    slow = guards(fed.fed(fuse_a=20.0, fuse_type="E"))["W2"]
    assert quick.fuse_type == "C"
    assert (slow.largest_a or 0.0) <= (quick.largest_a or 0.0)


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (fed.fed(fuse_type=None), "fuse_type not told"),
        (fed.wired(fed.fed(), insulation=None), "insulation not told"),
        (attrs.evolve(fed.fed(), zones=()), "heat zone is not known"),
    ],
    ids=["type", "insulation", "zone"],
)
def test_what_is_not_known_gives_no_verdict(job: Job, words: str) -> None:
    guard = guards(job)["W2"]
    assert guard.verdict == UNKNOWN
    assert guard.checks == ()
    assert guard.largest_a is None
    assert words in guard.unknown


def test_without_a_fuse_in_the_job_every_fed_wire_stands_bare() -> None:
    found = guards(fed.fed(fuse_a=None))
    assert {name for name, each in found.items() if each.verdict == UNGUARDED} == {"W1", "W2"}


def test_an_open_switch_does_not_hide_what_is_behind_it() -> None:
    job = fed.fed()
    job = attrs.evolve(
        job,
        plugs=(*job.plugs, fed.plug("S", "1 2", "SW")),
        devices=(*job.devices, Device(device="SW", zone="COOL")),
        elements=(*job.elements, fed.element("KEY", "SW", "contact",
                                             closed_when=fed.when("key=start"))),
        wires=(*job.wires, fed.wire("A", "F.2", "S.1"), fed.wire("B", "S.2", "L.1")),
    )  # fmt: skip
    assert guards(job)["B"].fuse == "FU"


def test_of_two_fuses_in_a_row_the_nearer_counts_and_a_way_round_leaves_it_bare() -> None:
    job = fed.fed()
    job = attrs.evolve(
        job,
        plugs=(*job.plugs, fed.plug("G", "1 2", "FUSE2")),
        devices=(*job.devices, Device(device="FUSE2", zone="COOL")),
        elements=(*job.elements, fed.element("FU2", "FUSE2", "link", fuse_a=3.0, fuse_type="C")),
        wires=(*job.wires, fed.wire("A", "F.2", "G.1"), fed.wire("B", "G.2", "L.2")),
    )
    found = guards(job)
    assert (found["A"].fuse, found["B"].fuse) == ("FU", "FU2")
    round_it = attrs.evolve(job, wires=(*job.wires, fed.wire("X", "BP", "F.2")))
    assert guards(round_it)["A"].verdict == UNGUARDED
    assert guards(round_it)["B"].fuse == "FU2"


def test_the_caution_names_fire_and_the_battery() -> None:
    assert "burn" in CAUTION
    assert "battery" in CAUTION

"""Continuity: as few tests as can be, each with a limit from copper, contacts and meter."""

from __future__ import annotations

from itertools import combinations

import attrs
import pytest

from loomwright.loom import Point
from reference import dense
from reference.looms import make_job
from sample.finished import STAR, finished, loom

PLAIN = loom("A.1-B.1", A="1", B="1")


def joins_all(ends: int, pairs: tuple[tuple[int, int], ...]) -> bool:
    return len(set(dense.parts(ends, [(a, b, 1.0, 0.0) for a, b in pairs]))) == 1


def test_the_limit_is_copper_two_contact_pairs_and_the_meter() -> None:
    """2 m of 0.75 mm² have 49.65 mΩ (1.08 · 0.017241 · 2 / 0.75), a pair of crimp and contact
    5 mΩ; four leads may be off by 1 % of copper and crimps (51.65 mΩ) and 1 mΩ."""
    (test,) = finished(PLAIN).tests
    assert test.sound_ohm == pytest.approx(0.05165, abs=2e-5)
    assert test.limit_ohm == pytest.approx(0.04965 + 2 * 0.005 + 0.0005165 + 0.001, abs=2e-5)


def test_two_leads_bring_their_own_doubt() -> None:
    """±(0.8 % + 3 counts of 0.1 Ω) and 0.1 Ω of the probes, by hand: 0.4004 Ω."""
    (test,) = finished(PLAIN).tests
    assert test.two_lead_ohm == pytest.approx(0.05965 + 0.4004, abs=5e-5)
    assert not test.two_lead_tells
    fine = attrs.evolve(PLAIN.meters[0], resolution=0.001, full_scale=4.0)
    (told,) = finished(attrs.evolve(PLAIN, meters=(fine,)), probe_contact_scatter=0.02).tests
    assert told.two_lead_tells


def test_the_smallest_range_of_ohms_counts_and_a_usual_meter_stands_in() -> None:
    coarse = attrs.evolve(PLAIN.meters[0], full_scale=4000.0, resolution=1.0)
    (with_two,) = finished(attrs.evolve(PLAIN, meters=(coarse, *PLAIN.meters))).tests
    assert with_two.two_lead_ohm == finished(PLAIN).tests[0].two_lead_ohm
    (without,) = finished(attrs.evolve(PLAIN, meters=())).tests
    # 4000 counts up to 400 Ω, ±3 counts: the same three tenths of an ohm, and 1 %.
    assert without.two_lead_ohm == pytest.approx(0.46, abs=0.002)


def test_a_cut_length_takes_the_place_of_the_jobs_own() -> None:
    longer = attrs.evolve(finished(PLAIN), lengths={"W1": 4000.0})
    (test,), (before,) = longer.tests, finished(PLAIN).tests
    assert test.sound_ohm - before.sound_ohm == pytest.approx(0.04965, abs=2e-5)


def test_what_is_not_written_down_is_said() -> None:
    bare = attrs.evolve(PLAIN.wires[0], section_mm2=None)
    (test,) = finished(attrs.evolve(PLAIN, wires=(bare,))).tests
    assert not test.known
    assert finished(PLAIN).tests[0].known


def test_the_hub_is_the_end_nearest_to_the_others() -> None:
    star = finished(STAR)
    hubs = {net.ends: str(hub) for net, hub in zip(star.nets, star.hubs, strict=True)}
    assert [hub for ends, hub in hubs.items() if Point("E") in ends] == ["E"]


def test_one_probe_stays_and_the_list_goes_from_plug_to_plug() -> None:
    star = finished(STAR)
    assert [(str(t.hub), str(t.far)) for t in star.tests] == [
        ("A.1", "A.2"), ("A.1", "B.1"), ("A.3", "B.2"), ("E", "A.4"), ("E", "B.3"),
    ]  # fmt: skip
    for tests in star.tests_of.values():
        assert len({test.hub for test in tests}) == 1


def test_the_wires_on_the_way_are_named() -> None:
    told = {str(test.far): test.wires for test in finished(STAR).tests}
    assert told["B.1"] == ("W1", "W3")


@pytest.mark.parametrize("ends", [2, 3, 4, 5])
def test_no_smaller_set_of_tests_joins_all_ends_of_a_net(ends: int) -> None:
    """All sets of fewer pairs of ends are looked at: each leaves ends that need not be joined."""
    wires = " ".join(f"A.{n}-SP" for n in range(ends))
    job = loom(wires, joints="SP=splice", A=" ".join(map(str, range(ends))))
    star = finished(job)
    number = {end: place for place, end in enumerate(star.nets[0].ends)}
    own = tuple((number[test.hub], number[test.far]) for test in star.tests)
    assert joins_all(ends, own)
    every = list(combinations(range(ends), 2))
    for size in range(len(own)):
        assert not any(joins_all(ends, some) for some in combinations(every, size))


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_every_net_has_one_line_fewer_than_ends_and_every_wire_lies_on_one(seed: int) -> None:
    some = finished(make_job(60, seed))
    assert len(some.tests) == sum(len(net.ends) - 1 for net in some.nets)
    on_a_way = {name for test in some.tests for name in test.wires}
    assert on_a_way == {str(wire.wire) for wire in some.job.wires}

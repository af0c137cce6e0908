"""Heat zones: where plugs, joints and wires lie, and what the job leaves unknown."""

from __future__ import annotations

import attrs

from loomwright.repair.heat_zones import HeatZones
from sample import fed


def test_a_plug_is_as_warm_as_its_device_and_a_joint_as_its_place() -> None:
    zones = HeatZones(fed.fed())
    assert zones.at("L").running_c == 40.0  # the lamp's own zone, not the branch's
    assert zones.at("E").running_c == 40.0  # a device at its place comes before a branch
    bare = HeatZones(attrs.evolve(fed.fed(), devices=()))
    assert bare.at("E").running_c == 90.0  # the branch that ends there
    assert bare.at("NOWHERE").running_c is None


def test_a_wire_runs_through_its_branches_and_ends_at_both_its_ends() -> None:
    job = fed.fed()
    way = HeatZones(job).stretches(job.wires[1])
    assert [each.where for each in way] == ["B1", "F", "L"]
    assert [each.running_c for each in way] == [90.0, 40.0, 40.0]
    assert way[0].wires == ("W2",)
    assert way[2].wires == ("W2", "W3")


def test_a_zone_without_its_running_temperature_is_not_known() -> None:
    job = fed.fed()
    silent = tuple(attrs.evolve(zone, running_c=None) for zone in job.zones)
    zones = HeatZones(attrs.evolve(job, zones=silent))
    assert zones.zones == {}
    assert all(each.zone is None for each in zones.stretches(job.wires[1]))


def test_branches_that_the_job_does_not_list_are_left_out() -> None:
    job = fed.fed()
    assert [each.where for each in HeatZones(attrs.evolve(job, branches=())).stretches(
        job.wires[1])] == ["F", "L"]  # fmt: skip

"""Labels: both ends of every wire, in the order of the work, with a code that names the item."""

from __future__ import annotations

import math
from collections import Counter

import attrs
import pytest

from loomwright.loom import Job, Point, Wire
from loomwright.services.labelling import labelling, short_name
from sample import jobs as sample


@pytest.fixture(scope="module")
def job() -> Job:
    return sample.job()


def test_every_wire_has_a_label_at_each_end(job: Job) -> None:
    ends = labelling(job).ends
    assert Counter(each.wire for each in ends) == {wire.wire: 2 for wire in job.wires}
    for wire in job.wires:
        assert {(each.here, each.there) for each in ends if each.wire == wire.wire} == {
            (str(wire.from_point), str(wire.to_point)),
            (str(wire.to_point), str(wire.from_point)),
        }


def test_ends_stand_plug_by_plug(job: Job) -> None:
    owners = [each.here.partition(".")[0] for each in labelling(job).ends]
    runs = [one for one, before in zip(owners, ["", *owners], strict=False) if one != before]
    order = [plug.plug for plug in job.plugs] + [joint.joint for joint in job.joints]
    assert runs == [name for name in order if name in owners]


def test_plugs_say_what_they_go_on(job: Job) -> None:
    assert [(each.plug, each.goes_on) for each in labelling(job).plugs] == [
        (plug.plug, plug.mates_with or "") for plug in job.plugs
    ]


def test_once_round_a_measured_wire_is_pi_times_its_diameter(job: Job) -> None:
    wires = tuple(attrs.evolve(wire, outside_mm=2.0) for wire in job.wires)
    made = labelling(attrs.evolve(job, wires=wires))
    assert {each.round_mm for each in made.ends} == {math.tau}  # 2 mm across
    assert {each.tube.supplied_mm for each in made.ends if each.tube} == {2.4}
    assert made.origins == ()


def test_a_wire_of_which_nothing_is_known_says_so(job: Job) -> None:
    bare = Wire(wire="W99", from_point=Point("A"), to_point=Point("B"))
    ends = labelling(attrs.evolve(job, wires=(bare,))).ends
    assert [(each.tube, each.round_mm, each.colour) for each in ends] == [(None, None, "")] * 2
    assert "not known" in ends[0].missing


def test_a_job_without_plugs_and_wires_has_no_labels(job: Job) -> None:
    made = labelling(Job(about=job.about))
    assert (made.plugs, made.ends) == ((), ())


@pytest.mark.parametrize(
    ("title", "short"),
    [
        ("Tarn 2300: hot starts", "Tarn 2300"),
        ("Estate, green", "Estate"),
        ("  ", "job"),
        (": odd", "job"),
        ("A|B", "A"),
        ("One two three four five six seven", "One two three four five"),
        ("x" * 60, "x" * 24),
    ],
)
def test_short_names(title: str, short: str) -> None:
    assert short_name(title) == short

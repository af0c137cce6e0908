"""The new loom of the demo job, and of jobs that cannot be laid out."""

from __future__ import annotations

import json

import attrs
import pytest

from loomwright.loom import InputProblems
from loomwright.services.build import BuildReport, build
from sample.demo import demo_job
from sample.new_looms import branch, figures, new_loom, wire


@pytest.fixture(scope="module")
def report() -> BuildReport:
    return build(demo_job())


def test_every_wire_and_every_splice_of_the_job_is_there(report: BuildReport) -> None:
    job = demo_job()
    assert [each.wire for each in report.wires] == [str(each.wire) for each in job.wires]
    assert report.not_known == ()
    splices = [each.joint for each in job.joints if each.kind == "splice"]
    assert [each.splice for each in report.plan.splices] == splices
    assert [each.branch for each in report.bundles] == [str(each.branch) for each in job.branches]


def test_a_wire_of_a_splice_is_cut_for_its_spot(report: BuildReport) -> None:
    """W01 runs from the battery along B10 (640 mm) to SP30."""
    spot = report.plan.spots["SP30"]
    assert spot.branch == "B10"
    first = report.wires[0]
    assert first.run_mm == 640.0 - spot.at_mm


def test_the_total_is_the_sum_of_what_is_cut(report: BuildReport) -> None:
    assert report.total_mm == sum(each.cut_mm for each in report.wires)
    assert report.widest is not None
    assert report.widest.branch == "B1"


def test_the_pump_s_end_is_a_piece_by_itself(report: BuildReport) -> None:
    """The rear connector parts the loom: B15 shares no wire with the rest."""
    assert [len(each.branches) for each in report.pieces] == [14, 1]


def test_a_figure_of_the_job_s_own_replaces_a_default(report: BuildReport) -> None:
    own = build(attrs.evolve(demo_job(), settings=figures(hand_allowance=0, cut_rounding=1)))
    assert own.total_mm < report.total_mm - 64 * 35
    assert {each.hand_mm for each in own.wires} == {0.0}


def test_json_is_plain(report: BuildReport) -> None:
    told = json.loads(json.dumps(report.json(), allow_nan=False))
    assert set(told) == {
        "job", "total_mm", "wires", "not_known", "unlike_old", "splices", "copper_mm3", "free_mm3",
        "bound_mm3", "proven", "steps", "bundles", "pieces",
    }  # fmt: skip
    assert told["splices"][0]["spot"] == {"branch": "B10", "at_mm": 50.0}
    assert {each["kind"] for each in told["steps"]} == {
        "splice", "check", "boot", "crimp", "lay", "trim", "test",
    }  # fmt: skip


def test_a_ring_of_branches_is_told_with_its_row() -> None:
    ring = (branch("B1 a b 100", row=2), branch("B2 b c 100", row=3), branch("B3 c a 100", row=4))
    with pytest.raises(InputProblems) as caught:
        build(new_loom(ring, (wire("W1 A.1 B.1 1.0"),), plugs={"A": "a", "B": "b"}))
    (problem,) = caught.value.problems
    assert (problem.where.table, problem.where.row) == ("branches", 4)


def test_a_loom_without_wires_or_splices_has_nothing_to_lay() -> None:
    report = build(new_loom((branch("B1 a b 100"),), ()))
    assert (report.wires, report.steps, report.plan.splices) == ((), (), ())
    assert report.widest is None
    assert report.plan.proven

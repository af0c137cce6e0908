"""A new loom row by row: what pages and papers show of it."""

from __future__ import annotations

import attrs
import pytest

from loomwright.services.build import BuildReport, build
from loomwright.services.build_told import (
    bundles_told,
    laying_told,
    splices_told,
    unsaid,
    wires_told,
)
from sample.demo import demo_job, demo_known


@pytest.fixture(scope="module")
def report() -> BuildReport:
    return demo_known().build


def test_every_wire_has_a_row_with_its_ends_and_lengths(report: BuildReport) -> None:
    rows = {row.wire: row for row in wires_told(report)}
    for wire in demo_job().wires:
        row = rows[str(wire.wire)]
        assert (row.start, row.end) == (str(wire.from_point), str(wire.to_point))
        assert float(row.made) <= float(row.cut)


def test_a_wire_of_one_place_says_so(report: BuildReport) -> None:
    local = {each.wire for each in report.wires if not each.way}
    assert local
    told = {row.wire for row in wires_told(report) if row.way == "at one place"}
    assert told == local


def test_a_bundle_names_the_places_at_its_ends(report: BuildReport) -> None:
    row = next(each for each in bundles_told(report) if each.branch == "B1")
    branch = next(each for each in demo_job().branches if each.branch == "B1")
    assert row.way == f"{branch.from_place} to {branch.to_place}"


def test_a_branch_without_wires_is_no_bundle() -> None:
    job = demo_job()
    spare = attrs.evolve(
        job.branches[0], branch=type(job.branches[0].branch)("B99"), from_place="bulkhead",
        to_place="nowhere",
    )  # fmt: skip
    made = build(attrs.evolve(job, branches=(*job.branches, spare)))
    assert "B99" in {each.branch for each in made.bundles}
    assert "B99" not in {each.branch for each in bundles_told(made)}


def test_a_splice_tells_its_wires_and_what_is_refused(report: BuildReport) -> None:
    rows = {row.splice: row for row in splices_told(report)}
    assert rows.keys() == {each.splice for each in report.plan.splices}
    for splice in report.plan.splices:
        row = rows[splice.splice]
        assert row.set == (splice.spot is not None)
        assert row.wires.split(", ") == list(splice.wires)
        assert {branch for branch, _ in row.refused} == {each.branch for each in splice.refused}


def test_near_by_only_its_own_branch_is_told(report: BuildReport) -> None:
    for row, splice in zip(splices_told(report, near=True), report.plan.splices, strict=True):
        assert splice.spot is not None
        assert {branch for branch, _ in row.refused} <= {splice.spot.branch}


def test_a_reason_is_told_once_in_the_list_and_at_every_step_by_itself(
    report: BuildReport,
) -> None:
    steps = laying_told(report)
    assert [step.number for step in steps] == list(range(1, len(report.steps) + 1))
    why = [step.why for step in steps if step.why]
    assert len(why) == len(set(why)) < len([step for step in steps if step.reason])
    assert [step.hold for step in steps] == [step.hold for step in report.steps]


def test_what_the_job_does_not_tell_names_the_table_it_belongs_into() -> None:
    job = demo_job()
    assert list(unsaid(job)) == []
    branches = tuple(attrs.evolve(each, moves=None, cover=None) for each in job.branches[:2])
    poor = attrs.evolve(job, fixings=(), zones=(), branches=branches)
    assert [table for _, table in unsaid(poor)] == ["fixings", "branches", "zones", "branches"]
    assert list(unsaid(poor))[-1][0].endswith("B1 and B2")

"""A new loom in words: spots, reasons, what must give, why a wire is that long."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import Job
from loomwright.services import build_words as words
from loomwright.services.build import BuildReport, Spot, build
from sample.new_looms import branch, clip, figures, new_loom, splice_part, wire

BRANCHES = (branch("B2 a x 500"), branch("B10 b x 500"), branch("B3 x c 500"))


def star(**more: object) -> Job:
    """A splice of three wires that wants to be at plug C."""
    return new_loom(
        BRANCHES,
        (wire("W1 A.1 S 1.0"), wire("W2 B.1 S 1.0"), wire("W3 C.1 S 2.5")),
        plugs={"A": "a", "B": "b", "C": "c"}, joints={"S": "splice x"},
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


@pytest.fixture(scope="module")
def report() -> BuildReport:
    return build(star(fixings=(clip("C1", "B3", 380.0),)))


def test_a_spot_is_told_from_the_nearer_end(report: BuildReport) -> None:
    assert words.spot_words(report, Spot("B3", 450.0)) == "B3, 50 mm from c"
    assert words.spot_words(report, Spot("B3", 20.0)) == "B3, 20 mm from x"
    assert words.spot_words(report, Spot("B3", 500.0)) == "at c"


def test_where_it_goes_and_why_not_where_the_least_copper_is(report: BuildReport) -> None:
    (splice,) = report.plan.splices
    assert words.placed(report, splice) == "B3, 50 mm from c"  # less wire, but more thick one
    assert words.why_not_free(report, splice) == (
        "Least copper would be at c: within 50 mm of plug C."
    )
    assert words.as_built(report, splice) == (
        "Its place in the job, x, does not keep the rules: within 50 mm of the fork at x."
    )


def test_extra_wire_is_told(report: BuildReport) -> None:
    (splice,) = report.plan.splices
    longer = attrs.evolve(splice, wire_mm=splice.free_mm + 80)
    assert words.placed(report, longer) == ("B3, 50 mm from c, 80 mm more wire than without rules")


def test_refused_stretches_stand_by_branch_the_same_ones_together(report: BuildReport) -> None:
    (splice,) = report.plan.splices
    told = dict(words.refused_by_branch(splice))
    assert list(told) == ["B2", "B3", "B10"]
    assert told["B3"] == (
        "0 to 50 mm: within 50 mm of the fork at x; 350 to 410 mm: within 30 mm of clip C1; "
        "450 to 500 mm: within 50 mm of plug C"
    )


def test_clips_that_are_there_hold_it(report: BuildReport) -> None:
    assert words.support(report, Spot("B3", 450.0)) == (
        "hold it with a clip within 100 mm on each side (clip C1 is 70 mm away)"
    )
    assert words.support(report, Spot("B2", 450.0)).endswith("on each side")


def test_what_must_give_is_told_in_words() -> None:
    moving = tuple(attrs.evolve(each, moves="yes") for each in BRANCHES)
    report = build(attrs.evolve(star(), branches=moving))
    (splice,) = report.plan.splices
    assert words.placed(report, splice) == (
        'no spot keeps every rule; if "no splice where the loom bends with the engine" gave way: '
        "B3, 50 mm from c"
    )


def test_every_rule_has_its_words() -> None:
    from loomwright.build.splice_rules import RULES

    assert set(words.RULES) == set(RULES)


def test_what_else_is_to_be_known_of_a_splice() -> None:
    lost = star(catalogue=(splice_part("SP", 0.5, 2.0),))
    lost = attrs.evolve(lost, plugs=(attrs.evolve(lost.plugs[0], place=None), *lost.plugs[1:]))
    (splice,) = build(lost).plan.splices
    assert list(words.to_mind(splice)) == [
        "4.5 mm² of copper together: no splice of the catalogue takes that.",
        "W1 had no say: no place is known for the other end.",
    ]
    (lone,) = build(attrs.evolve(star(), wires=star().wires[:1])).plan.splices
    assert "1 wire in it: that is no splice." in list(words.to_mind(lone))


def test_a_wire_tells_its_parts_and_leaves_out_what_is_nothing(report: BuildReport) -> None:
    """5 mm bared at each end and 20 mm of shell; the lay of 50 mm is less than half."""
    assert words.why_long(report.wires[2]) == "50 run + 30 ends + 10 loop + 40 hand"


def test_a_wire_unlike_the_old_one_is_told_with_the_difference() -> None:
    job = new_loom(BRANCHES, (wire("W1 A.1 B.1 1.0", length_mm=1000.0),),
                   plugs={"A": "a", "B": "b"})  # fmt: skip
    told = words.unlike_words(build(job))
    assert told.startswith("1 wire would be more than 20 mm unlike the old loom's")
    assert "W1 (+70 mm)" in told  # 1000 of branches, 50 in shells and barrels, 20 of loops
    assert words.unlike_words(build(attrs.evolve(job, settings=figures(old_loom_tolerance=80)))) \
        == ""  # fmt: skip


def test_a_reason_is_told_once(report: BuildReport) -> None:
    told = [why for _, why in words.steps_told(report) if why]
    assert len(told) == len(set(told)) > 3


def test_a_bundle_says_what_covers_it_in_the_size_it_needs() -> None:
    covered = (attrs.evolve(BRANCHES[0], cover="vinyl tube"),
               attrs.evolve(BRANCHES[1], cover="fabric tape"), BRANCHES[2])  # fmt: skip
    wires = tuple(wire(f"W{i} A.{i} B.{i} 0.5", outside_mm=2.0) for i in range(1, 8))
    report = build(new_loom(covered, wires, plugs={"A": "a", "B": "b"}))
    first, second, third = report.bundles
    assert (words.across(first), words.across(third)) == ("6.61", "–")
    assert words.cover(first) == "vinyl tube, 8 mm"
    # Trade practice: 2.3 m of tape for a metre of 6 mm, 3.6 m at 10 mm; so 1.25 m for half a metre.
    assert words.cover(second) in ("fabric tape, 1.2 m", "fabric tape, 1.3 m")
    assert words.cover(third) == ""


def test_the_gap_is_told_in_percent(report: BuildReport) -> None:
    plan = attrs.evolve(report.plan, copper_mm3=1000.0, bound_mm3=993.0)
    assert "save 0.7 % of the copper at most" in words.gap(attrs.evolve(report, plan=plan))


def test_the_glance_names_wires_metres_splices_and_the_heaviest_bundle(report: BuildReport) -> None:
    """Twice 950 mm of way and 80 beside, once 50 and 80; rounded up."""
    assert words.glance(report).startswith("3 wires, 2.2 m as cut, 1 splice. The heaviest bundle")


def test_cautions_name_battery_tool_hot_air_and_the_control_unit() -> None:
    told = " ".join(words.CAUTIONS).casefold()
    assert all(word in told for word in ("battery", "crimp tool", "hot-air gun", "control unit"))

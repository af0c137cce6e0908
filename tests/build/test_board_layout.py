"""The check of a board finds every fault that a board can have."""

from __future__ import annotations

import attrs

from loomwright.build.board_layout import Box, Layout, Run, faults
from sample.boards import rows

ONE, OTHER, THIRD = rows(("a", "b", 400.0), ("b", "c", 300.0), ("b", "d", 300.0))
RIGHT = Layout(
    runs=(
        Run(ONE, ((100.0, 400.0), (500.0, 400.0))),
        Run(OTHER, ((500.0, 400.0), (800.0, 400.0))),
        Run(THIRD, ((500.0, 400.0), (500.0, 100.0))),
    ),
    boxes=(Box("a", 20.0, 20.0, 100.0, 60.0, ((100.0, 400.0), (100.0, 80.0))),),
    wide_mm=1000.0, high_mm=800.0, clear_mm=40.0, fork_mm=160.0, bend_mm=60.0,
)  # fmt: skip


def with_third(*points: tuple[float, float]) -> Layout:
    return attrs.evolve(RIGHT, runs=(*RIGHT.runs[:2], Run(THIRD, points)))


def with_box(box: Box) -> Layout:
    return attrs.evolve(RIGHT, boxes=(*RIGHT.boxes, box))


def test_a_right_board_has_none() -> None:
    assert faults(RIGHT) == []


def test_a_wrong_length_is_found() -> None:
    found = faults(with_third((500.0, 400.0), (500.0, 100.1)))
    assert found == ["branch B3 is 299.900000 mm long, not 300 mm"]


def test_a_branch_that_does_not_begin_at_its_place_is_found() -> None:
    found = faults(with_third((500.0, 450.0), (500.0, 750.0)))
    assert "branch B3 does not reach b" in found


def test_a_crossing_is_found() -> None:
    points = ((500.0, 400.0), (500.0, 350.0), (600.0, 350.0), (600.0, 500.0))
    assert "branches B2 and B3 cross" in faults(with_third(*points))


def test_branches_on_top_of_each_other_are_found() -> None:
    assert "branches B2 and B3 cross" in faults(with_third((500.0, 400.0), (800.0, 400.0)))


def test_stretches_too_near_are_found_and_a_fork_is_none() -> None:
    """At 30 mm beside B2, up to 250 mm from the fork: nearer than 40 mm, and no neighbours."""
    found = faults(with_third((500.0, 400.0), (500.0, 370.0), (770.0, 370.0)))
    assert found == ["branches B2 and B3 come within 30.000 mm"]


def test_a_branch_too_near_to_itself_is_found() -> None:
    points = ((500.0, 400.0), (500.0, 265.0), (530.0, 265.0), (530.0, 400.0 - 0.0))
    found = faults(with_third(*points))
    assert any(words.startswith("branches B3 and B3 come within") for words in found)


def test_a_box_in_the_way_is_found() -> None:
    near = Box("c", 600.0, 415.0, 50.0, 50.0)
    assert faults(with_box(near)) == ["the box of c stands in the way of branch B2"]


def test_boxes_that_overlap_are_found() -> None:
    assert faults(with_box(Box("c", 110.0, 70.0, 50.0, 50.0))) == ["the boxes of a and c overlap"]


def test_a_leader_that_crosses_a_branch_is_found() -> None:
    box = Box("c", 600.0, 100.0, 50.0, 50.0, ((800.0, 400.0), (450.0, 150.0)))
    assert "the leader of c crosses branch B3" in faults(with_box(box))


def test_what_leaves_the_board_is_found() -> None:
    assert faults(attrs.evolve(RIGHT, wide_mm=810.0)) == ["branch B2 leaves the board"]
    assert faults(with_box(Box("c", 990.0, 600.0, 50.0, 50.0))) == ["the box of c leaves the board"]

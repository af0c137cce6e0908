"""The two views of a face: turning, and what a pattern cannot tell."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings.views import MATING, WIRE, View, both, warnings
from loomwright.loom import Face


@st.composite
def faces(draw: st.DrawFn) -> Face:
    """Rows of unequal length with gaps."""
    shape = draw(
        st.lists(st.lists(st.booleans(), min_size=1, max_size=6), min_size=1, max_size=4).filter(
            lambda rows: any(any(row) for row in rows)
        )
    )
    names = iter(range(1, 99))
    return Face(tuple(tuple(str(next(names)) if there else None for there in row) for row in shape))


sides = st.sampled_from([MATING, WIRE])


@given(faces(), sides)
def test_the_other_side_of_the_other_side_is_the_same(face: Face, side: str) -> None:
    view = View.of(face, side)
    assert view.other.other == view
    assert view.other.side != side


@given(faces(), sides)
def test_every_cavity_has_one_place_in_each_view(face: Face, side: str) -> None:
    for view in both(face, side):
        assert set(view.at) == set(face.cavities)
        assert len(set(view.at.values())) == len(face.cavities)
        assert all(0 <= x < view.columns and 0 <= y < view.rows for x, y in view.at.values())


@given(faces(), sides)
def test_walking_round_turns_left_to_right_only(face: Face, side: str) -> None:
    """A mirror keeps distances and rows, and reverses the sense of every triangle."""
    here, there = both(face, side)
    for name, (x, y) in here.at.items():
        other_x, other_y = there.at[name]
        assert (other_y, other_x + x) == (y, here.columns - 1)
    for three in combinations(face.cavities, 3):
        assert area(here, three) == -area(there, three)


def area(view: View, names: tuple[str, ...]) -> int:
    (x0, y0), (x1, y1), (x2, y2) = (view.at[name] for name in names)
    return (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)


@given(faces())
def test_it_is_the_same_turning_as_the_loom_knows(face: Face) -> None:
    assert View.of(face, WIRE).other.at == View.of(face.mirrored, MATING).at


@given(faces(), sides)
def test_the_recorded_side_stands_as_it_was_recorded(face: Face, side: str) -> None:
    recorded = next(view for view in both(face, side) if view.side == side)
    assert [view.side for view in both(face, side)] == [MATING, WIRE]
    assert recorded == View.of(face, side)


def said(face: str, marks: dict[str, str] | None = None) -> str:
    return " ".join(warnings(View.of(Face.parse(face), MATING), marks or {}))


VIEW, WAY_UP = "cannot tell which view it is", "cannot tell which way up it is"


@pytest.mark.parametrize(
    ("face", "view", "way_up"),
    [
        # The five free tetrominoes: L and S differ from their mirror images (so seven one-sided
        # ones), I, O and T do not; I, O and S look the same after half a turn.
        # S. W. Golomb, Polyominoes, 2nd edition, Princeton 1994, ch. 1 (from memory).
        ("1 2 3 4", True, True),
        ("1 2 / 3 4", True, True),
        ("1 2 3 / . 4 .", True, False),
        ("1 2 3 / 4", False, False),
        ("1 2 . / . 3 4", False, True),
        (". . . / . 1 2 3 / . 4 . .", False, False),  # gaps around do not count
        ("1", True, True),
        # three in a corner: the same over one diagonal only
        ("1 2 / 3 .", True, False),
        ("1 2 / . 3", True, False),
    ],
)
def test_what_a_photo_cannot_decide(face: str, view: bool, way_up: bool) -> None:
    assert (VIEW in said(face), WAY_UP in said(face)) == (view, way_up)
    assert said(face).endswith("before it comes off.") == (view or way_up)


def test_colours_decide_where_they_break_the_pattern() -> None:
    """Of a square with four colours no flip gives the same square again, of a row one does."""
    square = {"1": "BN", "2": "GN", "3": "YE", "4": "WH"}
    assert said("1 2 / 3 4", square).count("do tell") == 2
    row = said("1 2", {"1": "BN", "2": "GN"})
    assert row.index(VIEW) < row.index("Neither can") < row.index(WAY_UP) < row.index("do tell")
    assert said("1 2", {"1": "BN", "2": "BN"}).count("Neither can") == 2

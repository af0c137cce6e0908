"""The two views of a face: turning, and what a pattern cannot tell."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings.views import MATING, WIRE, View, both, turned_side, warnings
from loomwright.loom import Face, schema


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


shell_sides = st.sampled_from(schema.SIDES)
latches = st.just("") | shell_sides
keyings = st.lists(shell_sides, max_size=6)


@given(faces(), sides, latches, keyings)
def test_the_other_side_of_the_other_side_is_the_same(
    face: Face, side: str, latch: str, keys: list[str]
) -> None:
    view = View.of(face, side, latch=latch, keys=keys)
    assert view.other.other == view
    assert view.other.side != side


@given(faces(), sides, latches, keyings)
def test_latch_and_keys_go_round_with_the_cavities(
    face: Face, side: str, latch: str, keys: list[str]
) -> None:
    """Left and right change places, top and bottom stay, nothing is lost."""
    swapped = {"": "", "top": "top", "bottom": "bottom", "left": "right", "right": "left"}
    view = View.of(face, side, latch=latch, keys=keys)
    assert view.other.latch == swapped[latch]
    assert set(view.other.keys) == {swapped[key] for key in keys}
    assert len(view.other.keys) == len(set(keys))


@given(faces(), sides, shell_sides)
def test_the_row_or_column_at_the_latch_is_the_same_from_both_sides(
    face: Face, side: str, latch: str
) -> None:
    """Cavities nearest to the latch in one view are nearest to it in the other."""
    here, there = both(face, side, latch=latch)
    assert nearest_to(here) == nearest_to(there)


def nearest_to(view: View) -> set[str]:
    edge = {
        "left": lambda x, y: x == 0,
        "right": lambda x, y: x == view.columns - 1,
        "top": lambda x, y: y == 0,
        "bottom": lambda x, y: y == view.rows - 1,
    }[view.latch]
    return {name for name, place in view.at.items() if edge(*place)}


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


def shelled(
    face: str, *, latch: str = "", keys: str = "", marks: dict[str, str] | None = None
) -> str:
    view = View.of(Face.parse(face), MATING, latch=latch, keys=keys.split())
    return " ".join(warnings(view, marks or {}))


NUMBERS = "Go by the numbers moulded into the shell"


@pytest.mark.parametrize("latch", schema.SIDES)
def test_a_latch_tells_which_way_up_but_not_which_view(latch: str) -> None:
    """A row of two with one latch still has a mirror: the axis through the latch."""
    said = shelled("1 2", latch=latch)
    view, way_up = said.split(WAY_UP)
    assert VIEW in view
    assert "Neither can the latch or the wires' colours." in view
    assert way_up.startswith(". The latch, where seen, does tell. The wires' colours do not.")
    assert NUMBERS in said


def test_latch_and_key_on_neighbouring_sides_tell_everything() -> None:
    """No mirror of a rectangle keeps both a side and the side next to it."""
    said = shelled("1 2", latch="top", keys="left")
    assert "The latch and the key, seen together, do tell." in said
    assert "The latch or the key, where seen, does tell." in said
    assert said.endswith("Take photos so that the latch and the key can be seen in them.")
    assert NUMBERS not in said


@pytest.mark.parametrize(("latch", "keys"), [("top", "bottom"), ("left", "right"), ("top", "top")])
def test_latch_and_key_on_one_axis_do_not_tell_the_views_apart(latch: str, keys: str) -> None:
    assert NUMBERS in shelled("1 2", latch=latch, keys=keys)


def test_a_latch_alone_tells_where_the_pattern_has_one_mirror_across_it() -> None:
    """Three in a corner mirror over a diagonal, which a latch on a side does not survive."""
    said = shelled("1 2 / 3 .", latch="top")
    assert "The latch, where seen, does tell." in said
    assert said.endswith("Take photos so that the latch can be seen in them.")


def test_latch_and_colours_tell_together_what_neither_tells_alone() -> None:
    """Of `1 2` in two colours the flip over the long axis is left, a latch on top takes it."""
    said = shelled("1 2", latch="top", marks={"1": "BN", "2": "GN"})
    assert "The latch and the wires' colours, seen together, do tell." in said
    assert NUMBERS in said


@given(faces(), sides, latches, keyings)
def test_both_views_warn_of_the_same(face: Face, side: str, latch: str, keys: list[str]) -> None:
    view = View.of(face, side, latch=latch, keys=keys)
    assert warnings(view, {}) == warnings(view.other, {})


def test_no_side_stays_none() -> None:
    assert [turned_side(side) for side in ("", *schema.SIDES)] == [
        "", "top", "bottom", "right", "left",
    ]  # fmt: skip

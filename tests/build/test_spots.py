"""Spots: the way between them, what is near, and costs carried along, against walking by steps."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.build.spots import Spot, Spots, Stretch, near, stretches
from loomwright.build.tree import LoomTree
from loomwright.loom import Job
from sample.new_looms import branch, new_loom, small_looms

LINE = new_loom((branch("B1 a b 300"), branch("B2 c b 200"), branch("B3 b d 100")), ())


def steps(job: Job) -> dict[tuple[str, float], dict[tuple[str, float], float]]:
    """Every 10 mm of every branch as a net of neighbours; the ends are joined by places."""
    net: dict[tuple[str, float], dict[tuple[str, float], float]] = {}
    for row in job.branches:
        spots = [(str(row.branch), float(at)) for at in range(0, int(row.length_mm or 0) + 1, 10)]
        for one, other in pairwise(spots):
            net.setdefault(one, {})[other] = net.setdefault(other, {})[one] = 10.0
        for end, place in ((spots[0], row.from_place), (spots[-1], row.to_place)):
            net.setdefault(end, {})[place, -1.0] = net.setdefault((place, -1.0), {})[end] = 0.0
    return net


def walked(
    net: Mapping[tuple[str, float], Mapping[tuple[str, float], float]], start: tuple[str, float]
) -> dict[tuple[str, float], float]:
    """From one spot to all, by taking the nearest open one until none is left."""
    found, open_ones = {start: 0.0}, {start}
    while open_ones:
        here = min(open_ones, key=lambda each: found[each])
        open_ones.remove(here)
        for there, step in net[here].items():
            if found[here] + step < found.get(there, np.inf):
                found[there] = found[here] + step
                open_ones.add(there)
    return found


@given(small_looms())
def test_distances_are_those_of_walking(job: Job) -> None:
    spots, net = Spots(LoomTree(job), 10.0), steps(job)
    assert len(set(spots.all)) == len(spots.all)
    for index, spot in enumerate(spots.all):
        far = walked(net, (spot.branch, spot.at_mm))
        expected = [far[other.branch, other.at_mm] for other in spots.all]
        assert list(spots.from_spot(index)) == pytest.approx(expected)
    for place in spots.tree.neighbours:
        far = walked(net, (place, -1.0))
        expected = [far[other.branch, other.at_mm] for other in spots.all]
        assert list(spots.from_place(place)) == pytest.approx(expected)


@given(small_looms(most_places=4, longest=5), st.data())
def test_the_way_is_as_long_as_walking_and_turns_round(job: Job, data: st.DataObject) -> None:
    tree, net = LoomTree(job), steps(job)
    seats = st.sampled_from([*Spots(tree, 10.0).all, *tree.neighbours])
    start, end = data.draw(seats), data.draw(seats)
    way = stretches(tree, start, end)
    keys = [(each, -1.0) if isinstance(each, str) else (each.branch, each.at_mm)
            for each in (start, end)]  # fmt: skip
    assert way is not None
    assert sum(each.length_mm for each in way) == pytest.approx(walked(net, keys[0])[keys[1]])
    back = stretches(tree, end, start)
    assert back == tuple(each.back() for each in reversed(way))


@given(small_looms(most_places=4, longest=5), st.integers(1, 200), st.data())
def test_what_is_near_is_what_walking_reaches(job: Job, radius: int, data: st.DataObject) -> None:
    tree, net = LoomTree(job), steps(job)
    spots = Spots(tree, 10.0)
    seat = data.draw(st.sampled_from([*spots.all, *tree.neighbours]))
    far = walked(net, (seat, -1.0) if isinstance(seat, str) else (seat.branch, seat.at_mm))
    reaches = list(near(tree, seat, float(radius)))
    for other in spots.all:
        away = far[other.branch, other.at_mm]
        inside = any(name == other.branch and low - 1e-9 <= other.at_mm <= high + 1e-9
                     for name, low, high in reaches)  # fmt: skip
        if away < radius:
            assert inside
        elif away > radius:
            assert not inside


@given(small_looms(most_places=4, longest=5), st.floats(0.1, 5), st.data())
def test_a_cost_is_carried_as_trying_all_spots_says(
    job: Job, weight: float, data: st.DataObject
) -> None:
    spots = Spots(LoomTree(job), 10.0)
    drawn = data.draw(st.lists(st.floats(0, 1000) | st.just(np.inf),
                               min_size=len(spots.all), max_size=len(spots.all)))  # fmt: skip
    values = np.array(drawn)
    tried = [float(np.min(values + weight * spots.from_spot(i))) for i in range(len(spots.all))]
    assert list(spots.carried(values, weight)) == pytest.approx(tried)


def test_a_wire_from_a_spot_runs_part_of_its_branch() -> None:
    tree = LoomTree(LINE)
    one, two, _ = LINE.branches
    assert stretches(tree, Spot("B1", 100.0), "c") == (
        Stretch(one, 100.0, 300.0), Stretch(two, 200.0, 0.0),
    )  # fmt: skip
    assert stretches(tree, Spot("B2", 50.0), Spot("B2", 20.0)) == (Stretch(two, 50.0, 20.0),)
    assert stretches(tree, Spot("B1", 300.0), "b") == ()
    assert stretches(tree, "a", "a") == ()


def test_without_a_branch_there_is_no_way() -> None:
    tree = LoomTree(new_loom((branch("B1 a b 100"), branch("B2 c d 100")), ()))
    assert stretches(tree, "a", "c") is None
    assert stretches(tree, Spot("B1", 10.0), Spot("B2", 10.0)) is None
    spots = Spots(tree, 10.0)
    assert np.isinf(spots.from_spot(0)[-1])


def test_a_length_that_is_no_multiple_of_the_step_ends_at_its_end() -> None:
    spots = Spots(LoomTree(new_loom((branch("B1 a b 25"),), ())), 10.0)
    assert [spot.at_mm for spot in spots.all] == [0.0, 10.0, 20.0, 25.0]

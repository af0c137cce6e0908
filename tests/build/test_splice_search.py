"""Splices to spots: against trying every choice of spots on small trees."""

from __future__ import annotations

from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.build import splice_search
from loomwright.build.splice_search import Link, SpliceSearch
from loomwright.build.spots import Floats, Spots
from loomwright.build.tree import LoomTree
from loomwright.loom import Job
from sample.new_looms import branch, new_loom, small_looms


def tried(search: SpliceSearch) -> float:
    """The least cost over every choice, by trying all; infinite where there is none."""
    count = len(search.spots.all)
    apart = np.array([search.spots.from_spot(i) for i in range(count)])
    best = np.inf
    open_ones = [[i for i in range(count) if np.isfinite(cost[i])] for cost in search.costs]
    for at in product(*open_ones):
        near = any(apart[a, b] < search.apart_mm
                   for i, a in enumerate(at) for b in at[i + 1 :])  # fmt: skip
        if not near:
            own = sum(float(cost[spot]) for cost, spot in zip(search.costs, at, strict=True))
            wires = sum(link.weight * apart[at[link.one], at[link.other]] for link in search.links)
            best = min(best, own + float(wires))
    return float(best)


def whole(search: SpliceSearch, at: tuple[int, ...]) -> float:
    return search.cost(dict(enumerate(at)))


@st.composite
def searches(draw: st.DrawFn, *, linked: bool) -> SpliceSearch:
    """Two or three splices on a small tree, some spots refused."""
    job: Job = draw(small_looms(most_places=4, longest=3))
    spots = Spots(LoomTree(job), 10.0)
    number = draw(st.integers(2, 3))
    places = list(spots.tree.neighbours)
    costs: list[Floats] = []
    for _ in range(number):
        cost = np.zeros(len(spots.all))
        for place in draw(st.lists(st.sampled_from(places), min_size=1, max_size=3)):
            weight = draw(st.sampled_from([0.5, 1.0, 1.5, 2.5]))
            cost = cost + weight * spots.from_place(place)
        for spot in draw(st.sets(st.integers(0, len(spots.all) - 1), max_size=5)):
            cost[spot] = np.inf
        costs.append(cost)
    links = [Link(i, i + 1, draw(st.sampled_from([0.5, 1.0, 2.5])))
             for i in range(number - 1) if draw(st.booleans())] if linked else []  # fmt: skip
    return SpliceSearch(spots, costs, links, draw(st.sampled_from([0.0, 15.0, 30.0, 45.0])))


@settings(deadline=None, max_examples=60)
@given(searches(linked=False))
def test_unlinked_splices_cost_no_more_than_the_best_choice(search: SpliceSearch) -> None:
    found, least = search.best(), tried(search)
    if found is None:
        assert np.isinf(least)
    else:
        assert found.cost == pytest.approx(least)
        assert found.bound == pytest.approx(least)
        assert whole(search, found.at) == pytest.approx(least)


@settings(deadline=None, max_examples=60)
@given(searches(linked=True))
def test_splices_with_wires_between_them_cost_no_more_either(search: SpliceSearch) -> None:
    found, least = search.best(), tried(search)
    if found is None:
        assert np.isinf(least)
    else:
        assert found.cost == pytest.approx(least)
        assert found.bound == pytest.approx(least)
        assert whole(search, found.at) == pytest.approx(least)


def on_a_line(number: int, *, length: int = 600, weights: list[float] | None = None
              ) -> SpliceSearch:  # fmt: skip
    """Splices that all want the end of one branch."""
    spots = Spots(LoomTree(new_loom((branch(f"B1 a b {length}"),), ())), 10.0)
    weighed = weights or [1.0] * number
    return SpliceSearch(spots, [weight * spots.at_mm for weight in weighed], [], 30.0)


def test_a_row_of_splices_stands_by_weight_from_the_end() -> None:
    """By exchange of two neighbours the heaviest stands first: Σ wᵢ · 30 mm · i."""
    weights = [0.5, 2.5, 1.0, 1.5, 0.75, 4.0, 3.0, 2.0]
    found = on_a_line(8, weights=weights).best()
    assert found is not None
    order = sorted(weights, reverse=True)
    assert found.cost == pytest.approx(sum(w * 30 * i for i, w in enumerate(order)))
    assert found.bound == pytest.approx(found.cost)


def test_twelve_alike_are_placed_by_proof() -> None:
    found = on_a_line(12).best()
    assert found is not None
    assert found.cost == pytest.approx(30 * sum(range(12)))
    assert found.bound == pytest.approx(found.cost)


def test_more_than_twelve_are_kept_apart_and_the_gap_is_told() -> None:
    search = on_a_line(15)
    found = search.best()
    assert found is not None
    ats = sorted(search.spots.at_mm[spot] for spot in found.at)
    assert min(b - a for a, b in pairwise(ats)) >= 30
    assert found.bound <= found.cost
    assert whole(search, found.at) == pytest.approx(found.cost)


def test_without_room_there_is_no_choice() -> None:
    assert on_a_line(4, length=80).best() is None
    assert on_a_line(3, length=80).best() is not None


def test_a_ring_of_wires_is_placed_though_its_bound_is_loose() -> None:
    spots = Spots(LoomTree(new_loom((branch("B1 a b 60"), branch("B2 b c 60")), ())), 10.0)
    costs = [2.0 * spots.from_place(place) for place in "abc"]
    links = [Link(0, 1, 1.0), Link(1, 2, 1.0), Link(0, 2, 1.0)]
    search = SpliceSearch(spots, costs, links, 20.0)
    found = search.best()
    assert found is not None
    assert found.bound <= tried(search) <= found.cost + 1e-9


def test_when_the_looks_run_out_the_bound_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(splice_search, "_MOST_LOOKS", 3)
    spots = Spots(LoomTree(new_loom((branch("B1 a b 300"),), ())), 10.0)
    costs = [spots.at_mm, spots.at_mm.copy(), 2 * spots.at_mm]
    search = SpliceSearch(spots, costs, [Link(0, 1, 1.0), Link(1, 2, 1.0)], 30.0)
    found = search.best()
    assert found is not None
    assert found.bound <= found.cost

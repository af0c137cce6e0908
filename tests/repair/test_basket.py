"""The basket against trying every count of packs, and small cases one can reckon by hand."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Mapping, Sequence

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.repair.basket import Lengths, PackOffer, Supplier, fill

NEAR = Supplier(supplier="NEAR", postage=4.0, lead_days=2.0)
FAR = Supplier(supplier="FAR", postage=9.0, least_order=10.0, lead_days=12.0)


def pack(supplier: str, part: str, count: int, price: float) -> PackOffer:
    return PackOffer(supplier=supplier, part=part, pack=count, price=price)


def tried(
    need: Mapping[str, int], offers: Sequence[PackOffer], suppliers: Sequence[Supplier]
) -> float:
    """Least total over all counts of packs."""
    known = {each.supplier: each for each in suppliers}
    best = math.inf
    most = [math.ceil(need[offer.part] / offer.pack) + 4 for offer in offers]
    for counts in itertools.product(*(range(count + 1) for count in most)):
        got = dict.fromkeys(need, 0)
        value: dict[str, float] = {}
        for offer, count in zip(offers, counts, strict=True):
            got[offer.part] += count * offer.pack
            if count:
                value[offer.supplier] = value.get(offer.supplier, 0.0) + count * offer.price
        if any(got[part] < count for part, count in need.items()):
            continue
        if any(value[name] < known[name].least_order - 1e-9 for name in value):
            continue
        best = min(best, sum(value.values()) + sum(known[name].postage for name in value))
    return best


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_no_basket_is_cheaper(data: st.DataObject) -> None:
    need = {"A": data.draw(st.integers(1, 6)), "B": data.draw(st.integers(1, 6))}
    price = st.integers(4, 40).map(lambda n: n / 2)
    offers = [
        pack(supplier, part, data.draw(st.sampled_from([1, 2, 5])), data.draw(price))
        for supplier, part in (("NEAR", "A"), ("NEAR", "B"), ("FAR", "A"), ("FAR", "B"))
    ]
    found = fill(need, offers, [NEAR, FAR])
    assert found.total == pytest.approx(tried(need, offers, [NEAR, FAR]), abs=1e-6)
    assert found.nowhere == {}


def test_one_parcel_beats_two_when_postage_eats_the_gain() -> None:
    """B is 3 cheaper far away; its parcel costs 9."""
    offers = [pack("NEAR", "A", 1, 5.0), pack("NEAR", "B", 1, 8.0), pack("FAR", "B", 1, 5.0)]
    found = fill({"A": 1, "B": 1}, offers, [NEAR, FAR])
    assert found.suppliers == ("NEAR",)
    assert found.total == 17.0
    assert found.lead_days == 2.0


def test_a_price_break_is_taken_where_it_pays_and_what_is_left_over_is_told() -> None:
    offers = [pack("NEAR", "A", 1, 1.0), pack("NEAR", "A", 10, 6.0), pack("NEAR", "A", 25, 12.0)]
    found = fill({"A": 18}, offers, [NEAR])
    # 25 for 12; two tens cost the same; 10 and eight singles cost 14.
    assert found.goods == 12.0
    assert found.left_over["A"] in (2, 7)


def test_what_is_left_over_can_tip_the_scale() -> None:
    offers = [pack("NEAR", "A", 1, 1.0), pack("NEAR", "A", 10, 6.5)]
    assert fill({"A": 6}, offers, [NEAR]).left_over == {}
    assert fill({"A": 6}, offers, [NEAR], keep_value=0.5).left_over == {"A": 4}


def test_the_drawer_counts_first_and_what_nobody_sells_is_named() -> None:
    found = fill({"A": 4, "C": 3}, [pack("NEAR", "A", 1, 2.0)], [NEAR], stock={"A": 3, "C": 1})
    assert [(each.offer.part, each.packs) for each in found.bought] == [("A", 1)]
    assert found.nowhere == {"C": 2}


def test_a_forgotten_part_costs_its_parcel() -> None:
    found = fill({"A": 1}, [pack("NEAR", "A", 1, 2.0), pack("FAR", "A", 1, 1.0)], [NEAR, FAR])
    (spare,) = found.later
    assert (spare.now, spare.later) == (2.0, 6.0)


def test_a_full_drawer_needs_no_basket() -> None:
    found = fill({"A": 2}, [pack("NEAR", "A", 1, 2.0)], [NEAR], stock={"A": 5})
    assert (found.bought, found.total, found.later) == ((), 0.0, ())


def test_a_known_integer_cover_is_solved_to_its_optimum() -> None:
    """The classic coins problem: 63 from packs of 1, 5, 10, 21, 25 at one price each takes three
    of 21, where the greedy choice takes six. Cormen et al., *Introduction to Algorithms*, 2009,
    problem 16-1 (coin changing); value reckoned by hand."""
    offers = [pack("NEAR", "A", count, 1.0) for count in (1, 5, 10, 21, 25)]
    found = fill({"A": 63}, offers, [attrs.evolve(NEAR, postage=0.0)])
    assert found.goods == 3.0


@pytest.mark.parametrize(
    ("offer", "says"),
    [
        (pack("NOBODY", "A", 1, 2.0), 'there is no supplier "NOBODY"'),
        (pack("NEAR", "A", 0, 2.0), "a pack of 0 at 2"),
        (pack("NEAR", "A", 1, -2.0), "a pack of 1 at -2"),
    ],
)
def test_impossible_offers_are_named(offer: PackOffer, says: str) -> None:
    with pytest.raises(OutOfRange, match=says):
        fill({"A": 1}, [offer], [NEAR])


def reel(supplier: str, metres: int, price: float, *, to_order: bool = False) -> PackOffer:
    return PackOffer(supplier=supplier, part="W RD", pack=1000 * metres, price=price,
                     one_length=to_order, offer=f"{supplier}{metres}")  # fmt: skip


def test_pieces_are_not_joined() -> None:
    """Three pieces of 2.6 m are 7.8 m, but a reel of 5 m gives one of them each."""
    found = fill({}, [reel("NEAR", 5, 3.0)], [NEAR], lengths={"W RD": Lengths(pieces={2600: 3})})
    assert [(each.offer.offer, each.packs) for each in found.bought] == [("NEAR5", 3)]
    assert [cut.pieces for cut in found.cuts] == [(2600,), (2600,), (2600,)]
    assert found.left_over == {"W RD": 7200}


def test_what_is_cut_to_order_comes_in_one_length() -> None:
    offers = [reel("NEAR", 5, 3.0), reel("NEAR", 1, 1.0, to_order=True)]
    found = fill({}, offers, [NEAR], lengths={"W RD": Lengths(pieces={2600: 3})})
    assert [(each.offer.offer, each.packs) for each in found.bought] == [("NEAR1", 8)]
    assert [(cut.length_mm, cut.pieces) for cut in found.cuts] == [(8000, (2600, 2600, 2600))]


def test_lengths_in_the_drawer_are_cut_first_each_by_itself() -> None:
    lengths = Lengths(pieces={800: 2, 300: 1}, drawer=(900, 1200))
    found = fill({}, [reel("NEAR", 5, 3.0)], [NEAR], lengths={"W RD": lengths})
    assert found.bought == ()
    assert sorted((cut.length_mm, cut.offer, cut.pieces) for cut in found.cuts) == [
        (900, "", (800,)), (1200, "", (800, 300)),
    ]  # fmt: skip


def test_a_piece_that_no_length_is_sold_for_is_named_and_the_rest_goes_on() -> None:
    lengths = Lengths(pieces={6000: 1, 2000: 2})
    found = fill({}, [reel("NEAR", 5, 3.0)], [NEAR], lengths={"W RD": lengths})
    assert found.nowhere == {"W RD": 6000}
    assert [(each.offer.offer, each.packs) for each in found.bought] == [("NEAR5", 1)]
    nothing = fill({}, [], [NEAR], lengths={"W RD": Lengths(pieces={2000: 1}, drawer=(1500,))})
    assert nothing.nowhere == {"W RD": 2000}


def test_wire_and_parts_share_a_parcel() -> None:
    """Wire alone is cheaper far away; with a part that only the near one sells it is not."""
    wire = [reel("NEAR", 10, 7.0), reel("FAR", 10, 5.0)]
    lengths = {"W RD": Lengths(pieces={2000: 3})}
    far = attrs.evolve(FAR, postage=3.0, least_order=0.0)
    assert fill({}, wire, [NEAR, far], lengths=lengths).suppliers == ("FAR",)
    both = fill({"A": 1}, [*wire, pack("NEAR", "A", 1, 2.0)], [NEAR, far], lengths=lengths)
    assert (both.suppliers, both.total) == (("NEAR",), 13.0)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.integers(1, 9), min_size=1, max_size=4),
    st.lists(st.integers(1, 9), max_size=2),
    st.lists(st.tuples(st.integers(9, 14), st.integers(1, 9)), min_size=1, max_size=2),
)
def test_no_way_of_buying_and_cutting_costs_less(
    pieces: list[int], drawer: list[int], sold: list[tuple[int, int]]
) -> None:
    """Against every assignment of pieces to the drawer's lengths and to reels."""
    offers = [
        PackOffer(supplier="NEAR", part="W", pack=size, price=float(price), offer=f"O{n}")
        for n, (size, price) in enumerate(sold)
    ]
    lengths = Lengths(pieces=Counter(pieces), drawer=tuple(drawer))
    free = attrs.evolve(NEAR, postage=0.0)
    found = fill({}, offers, [free], lengths={"W": lengths})
    bins = [(size, 0) for size in drawer] + [each for each in sold for _ in pieces]
    best = math.inf
    for where in itertools.product(range(len(bins)), repeat=len(pieces)):
        load: dict[int, int] = {}
        for place, piece in zip(where, pieces, strict=True):
            load[place] = load.get(place, 0) + piece
        if all(used <= bins[place][0] for place, used in load.items()):
            best = min(best, sum(bins[place][1] for place in load))
    assert found.total == best
    assert Counter(itertools.chain(*(cut.pieces for cut in found.cuts))) == Counter(pieces)

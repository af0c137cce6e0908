"""Kinds of wire: what is cut together, what the drawer and the offers give, what is left out."""

from __future__ import annotations

import attrs
import pytest

from loomwright import standards
from loomwright.build.cut_kinds import wire_kinds
from loomwright.build.cut_to import cut_to
from loomwright.loom import Job
from sample.demo import demo_job

VALUE = standards.values({})


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


def test_every_wire_stands_in_one_kind(job: Job) -> None:
    kinds, left_out = wire_kinds(job, cut_to(job, VALUE).cut_mm, value=VALUE)
    names = [str(each.wire.wire) for kind in kinds for each in kind.wires]
    assert sorted([*names, *(str(each.wire.wire) for each in left_out)]) == sorted(
        str(wire.wire) for wire in job.wires
    )


def test_wires_of_a_kind_have_its_colour_and_stand_longest_first(job: Job) -> None:
    kinds, _ = wire_kinds(job, cut_to(job, VALUE).cut_mm, value=VALUE)
    for kind in kinds:
        lengths = [each.length_mm for each in kind.wires]
        assert lengths == sorted(lengths, reverse=True)
        assert {each.wire.colour for each in kind.wires} == {kind.colour}


def test_lengths_are_never_rounded_down(job: Job) -> None:
    wire = job.wires[0]
    told = {str(wire.wire): 1234.2}
    kinds, _ = wire_kinds(attrs.evolve(job, wires=(wire,)), told, value=VALUE)
    assert kinds[0].wires[0].length_mm == 1235


def test_drawer_and_reels_come_from_the_sheets(job: Job) -> None:
    """The example sells green with red 0.75 mm² by 5 m and 10 m; 0.9 m of BN/RD hang on a hook."""
    kinds, _ = wire_kinds(job, cut_to(job, VALUE).cut_mm, value=VALUE)
    found = {kind.name: kind for kind in kinds}
    assert [each.length_mm for each in found["WIRE-075 RD/GN"].on_sale] == [5000, 10000]
    assert found["WIRE-075 BN/RD"].drawer_mm == (900,)


def test_wire_cut_to_order_is_sold_in_every_number_of_metres(job: Job) -> None:
    kinds, _ = wire_kinds(job, cut_to(job, VALUE).cut_mm, value=VALUE)
    kind = next(kind for kind in kinds if kind.name == "WIRE-100 BN")
    total = sum(each.length_mm for each in kind.wires)
    lengths = [each.length_mm for each in kind.on_sale]
    assert lengths == [1000 * packs for packs in range(1, len(lengths) + 1)]
    assert lengths[-2] < total <= lengths[-1]
    assert kind.on_sale[1].price == pytest.approx(2 * kind.on_sale[0].price)  # type: ignore[operator]


def test_where_nothing_is_on_offer_a_usual_reel_stands_for_it(job: Job) -> None:
    bare = attrs.evolve(job, catalogue=(), offers=(), stock=(), suppliers=())
    kinds, _ = wire_kinds(bare, cut_to(bare, VALUE).cut_mm, value=VALUE)
    assert {each.length_mm for kind in kinds for each in kind.on_sale} == {25_000}
    assert {each.offer for kind in kinds for each in kind.on_sale} == {""}
    assert all(str(kind.section_mm2) in kind.name or kind.section_mm2 == 1 for kind in kinds)


def test_a_piece_longer_than_what_is_sold_has_a_length_to_be_found(job: Job) -> None:
    long = {str(wire.wire): 30_000.0 for wire in job.wires}
    kinds, _ = wire_kinds(job, long, value=VALUE)
    kind = next(kind for kind in kinds if kind.name == "WIRE-075 RD/GN")
    assert [(each.length_mm, each.offer != "") for each in kind.on_sale] == [
        (5000, True), (10_000, True), (30_000, False),
    ]  # fmt: skip


def test_what_is_not_known_of_a_wire_leaves_it_out_with_all_that_is_missing(job: Job) -> None:
    first, second, third, *_ = job.wires
    wires = (
        attrs.evolve(first, colour=None),
        attrs.evolve(second, section_mm2=None, colour=" "),
        third,
    )
    told = {str(first.wire): 900.0, str(second.wire): 900.0}
    kinds, left_out = wire_kinds(attrs.evolve(job, wires=wires), told, value=VALUE)
    assert kinds == ()
    assert [each.lacks for each in left_out] == [("colour",), ("section", "colour"), ("length",)]

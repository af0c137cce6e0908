"""What came in a parcel lies in the drawer then."""

from __future__ import annotations

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright.loom import InputProblems, Job, PackOnSale, Part, StockRow, SupplierRow
from loomwright.services.drawer import put_away
from loomwright.services.entering import Bench, enter
from loomwright.storage.memory import JobMemory, MemoryRows
from loomwright.storage.memory.rows import Kept
from sample import jobs as sample

JOB = "a job"
OFFERS = (
    PackOnSale(offer="O1", supplier="S", part="REC28", pack=25, price=6.5),
    PackOnSale(offer="O2", supplier="S", part="WIRE", pack=5, unit="m", price=5, colour="RD/GN"),
    PackOnSale(offer="O3", supplier="S", part="WIRE", pack=1, unit="m", price=1.2, colour="BN"),
)


def bench_of(*stock: StockRow) -> Bench:
    kept: Kept = {}
    made = Bench(JobMemory(kept), MemoryRows(kept))
    parts = (Part(part="REC28", kind="terminal"), Part(part="WIRE", kind="wire"))
    job: Job = attrs.evolve(
        sample.job(), catalogue=parts, suppliers=(SupplierRow(supplier="S"),), offers=OFFERS,
        stock=stock,
    )  # fmt: skip
    made.jobs.write(JOB, job)
    return made


def drawer(bench: Bench) -> list[tuple[str, str | None, float, str]]:
    return [(row.part, row.colour, row.count, row.unit) for row in bench.jobs.read(JOB).stock]


def test_pieces_are_added_to_those_of_the_same_part() -> None:
    bench = bench_of(StockRow(part="REC28", count=12, kept="drawer 3"))
    assert put_away(bench, JOB, {"O1": 2}) == ("50 pieces of REC28",)
    assert drawer(bench) == [("REC28", None, 62, "piece")]
    assert bench.jobs.read(JOB).stock[0].kept == "drawer 3"


def test_a_part_that_was_not_there_gets_a_row() -> None:
    bench = bench_of()
    put_away(bench, JOB, {"O1": 1})
    assert drawer(bench) == [("REC28", None, 25, "piece")]


def test_each_length_of_wire_is_a_row_because_lengths_cannot_be_joined() -> None:
    bench = bench_of(StockRow(part="WIRE", colour="RD/GN", count=0.4, unit="m"))
    assert put_away(bench, JOB, {"O2": 2}) == ("10.00 m of WIRE RD/GN",)
    assert drawer(bench) == [("WIRE", "RD/GN", length, "m") for length in (0.4, 5, 5)]


def test_wire_that_is_cut_to_order_comes_in_one_length() -> None:
    bench = bench_of()
    put_away(bench, JOB, {"O3": 4})
    assert drawer(bench) == [("WIRE", "BN", 4, "m")]


def test_everything_wrong_is_told_and_nothing_is_put_there() -> None:
    bench = bench_of()
    with pytest.raises(InputProblems) as caught:
        put_away(bench, JOB, {"O1": 1, "O9": 1, "O2": 0})
    assert [each.what for each in caught.value.problems] == [
        'there is no offer "O9" any more',
        "0 packs of O2 cannot have come",
    ]
    assert drawer(bench) == []


def test_nothing_ticked_is_told() -> None:
    with pytest.raises(InputProblems) as caught:
        put_away(bench_of(), JOB, {})
    assert caught.value.problems[0].what == "nothing is ticked"


def test_a_count_that_cannot_be_read_stays_and_what_came_gets_its_own_row() -> None:
    bench = bench_of(StockRow(part="REC28", count=3))
    key = bench.rows.rows(JOB, "stock")[0].key
    bench.rows.put(JOB, "stock", key, {"part": "REC28", "count": "a few"})
    put_away(bench, JOB, {"O1": 1})
    assert [row.cells["count"] for row in bench.rows.rows(JOB, "stock")] == ["a few", "25"]


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(1, 40), min_size=1, max_size=3))
def test_the_drawer_holds_what_came_however_many_parcels_it_came_in(parcels: list[int]) -> None:
    bench = bench_of()
    enter(bench, JOB, "stock", {"part": "REC28", "count": "7"})
    for number in parcels:
        put_away(bench, JOB, {"O1": number})
    assert drawer(bench) == [("REC28", None, 7 + 25 * sum(parcels), "piece")]

"""One suite for everything that keeps the rows of a job one by one."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from loomwright.loom import InputProblems, NotFound
from loomwright.services.entering import Bench
from loomwright.services.kept_rows import KeptRow, Rows
from loomwright.storage.memory import JobMemory, MemoryRows
from loomwright.storage.memory.rows import Kept
from loomwright.workshop.database import DatabaseJobs, DatabaseRows
from sample import jobs as sample

pytestmark = pytest.mark.django_db


def in_memory() -> Bench:
    kept: Kept = {}
    return Bench(JobMemory(kept), MemoryRows(kept))


ADAPTERS: dict[str, Callable[[], Bench]] = {
    "memory": in_memory,
    "database": lambda: Bench(DatabaseJobs(), DatabaseRows()),
}


@pytest.fixture(params=ADAPTERS)
def bench(request: pytest.FixtureRequest) -> Bench:
    made = ADAPTERS[request.param]()
    made.jobs.write("a-job", sample.job())
    return made


def cells(rows: tuple[KeptRow, ...]) -> list[dict[str, str]]:
    return [dict(row.cells) for row in rows]


def public(thing: type) -> set[str]:
    return {name for name in vars(thing) if not name.startswith("_")}


@pytest.mark.parametrize("adapter", [MemoryRows, DatabaseRows])
def test_an_adapter_does_what_the_port_says_and_no_more(adapter: type) -> None:
    assert public(adapter) == public(Rows)
    assert len(public(Rows)) <= 5


def test_a_job_is_seen_row_by_row_as_it_was_written(bench: Bench) -> None:
    rows = bench.rows.rows("a-job", "joints")
    assert [row.cells["joint"] for row in rows] == [joint.joint for joint in sample.job().joints]
    assert len({row.key for row in rows}) == len(rows)


def test_a_row_that_is_put_is_the_last_and_the_job_has_it(bench: Bench) -> None:
    key = bench.rows.put("a-job", "joints", None, {"joint": "E9", "kind": "earth", "place": " "})
    last = bench.rows.rows("a-job", "joints")[-1]
    assert last == KeptRow(key, {"joint": "E9", "kind": "earth"})
    assert bench.jobs.inspect("a-job")[0].joints[-1].joint == "E9"


def test_a_row_is_changed_in_its_place(bench: Bench) -> None:
    rows = bench.rows.rows("a-job", "joints")
    key = bench.rows.put("a-job", "joints", rows[0].key, {**rows[0].cells, "label": "Moved"})
    changed = bench.rows.rows("a-job", "joints")
    assert key == rows[0].key
    assert changed[0].cells["label"] == "Moved"
    assert changed[1:] == rows[1:]


def test_keys_stay_when_rows_before_them_go(bench: Bench) -> None:
    first, second, *_ = bench.rows.rows("a-job", "wires")
    bench.rows.remove("a-job", "wires", first.key)
    assert bench.rows.rows("a-job", "wires")[0] == second


def test_columns_of_the_persons_own_are_kept(bench: Bench) -> None:
    bench.rows.put("a-job", "joints", None, {"joint": "E9", "kind": "earth", "Shelf": " 007 "})
    assert bench.rows.rows("a-job", "joints")[-1].cells["Shelf"] == " 007 "
    assert bench.jobs.inspect("a-job")[0].joints[-1].extra == (("Shelf", " 007 "),)


def test_an_error_inside_leaves_everything_as_it_was(bench: Bench) -> None:
    before = bench.jobs.inspect("a-job"), bench.rows.rows("a-job", "joints")

    def half_done() -> None:
        with bench.rows.held("a-job"):
            bench.rows.put("a-job", "joints", None, {"joint": "E9", "kind": "earth"})
            bench.rows.remove("a-job", "joints", before[1][0].key)
            raise NotFound("something else")

    with pytest.raises(NotFound):
        half_done()
    assert (bench.jobs.inspect("a-job"), bench.rows.rows("a-job", "joints")) == before


def test_holding_again_while_held_is_allowed(bench: Bench) -> None:
    with bench.rows.held("a-job"), bench.rows.held("a-job"):
        bench.rows.put("a-job", "joints", None, {"joint": "E9", "kind": "earth"})
    assert bench.rows.rows("a-job", "joints")[-1].cells["joint"] == "E9"


def test_what_is_not_there_is_not_found(bench: Bench) -> None:
    for attempt in (
        lambda: bench.rows.rows("no-job", "wires"),
        lambda: bench.rows.put("no-job", "wires", None, {"wire": "W1"}),
        lambda: bench.rows.put("a-job", "wires", "999999", {"wire": "W1"}),
        lambda: bench.rows.put("a-job", "wires", "x", {"wire": "W1"}),
        lambda: bench.rows.remove("a-job", "wires", "999999"),
    ):
        with pytest.raises(NotFound):
            attempt()
    with pytest.raises(NotFound), bench.rows.held("no-job"):
        pass


@pytest.mark.parametrize("text", ["\0", "a\x0bb", "\ud800", "x" * 10_001])
def test_what_no_sheet_can_hold_is_refused(bench: Bench, text: str) -> None:
    before = bench.rows.rows("a-job", "joints")
    with pytest.raises(InputProblems):
        bench.rows.put("a-job", "joints", None, {"joint": "E9", "kind": "earth", "label": text})
    assert bench.rows.rows("a-job", "joints") == before

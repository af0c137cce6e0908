"""What pasted rows do to a table: new, changed, the same; all or nothing."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomwright.loom import InputProblems, Job, schema, write_sheets
from loomwright.loom.errors import Conflict
from loomwright.services.entering import Bench, enter
from loomwright.services.kept_rows import KeptRow
from loomwright.services.paste_plan import CellChange, PastePlan
from loomwright.services.pasting import foreseen, paste, planned_paste, read_pasted
from loomwright.workshop.database import DatabaseJobs, DatabaseRows
from sample import jobs as sample
from sample.strategies import any_job

TABLES = [table.name for table in schema.TABLES]
WIRES = "wire\tfrom\tto\tcolour\tlength_mm\n"


def kept(job: Job, table: str) -> list[KeptRow]:
    sheet = next(each for each in write_sheets(job) if each.name == table)
    return [
        KeptRow(str(n), {c: t for c, t in zip(sheet.header, row, strict=True) if t.strip()})
        for n, row in enumerate(sheet.rows)
    ]


def own_text(job: Job, table: str) -> str:
    """The table as a spreadsheet copies it: tabs, quotes where needed."""
    sheet = next(each for each in write_sheets(job) if each.name == table)
    out = io.StringIO()
    csv.writer(out, dialect="excel-tab").writerows([sheet.header, *sheet.rows])
    return out.getvalue()


def any_table() -> st.SearchStrategy[tuple[Job, str]]:
    """Any job, with one of its tables that have rows."""
    return any_job().flatmap(
        lambda job: st.tuples(
            st.just(job), st.sampled_from([name for name in TABLES if kept(job, name)])
        )
    )


def plan(text: str, table: str = "wires", job: Job | None = None) -> PastePlan:
    return planned_paste(read_pasted(text, table), kept(job or sample.job(), table))


def sentences(made: PastePlan) -> list[str]:
    return [each.sentence for each in made.problems]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(any_table())
def test_a_tables_own_text_changes_nothing(filled: tuple[Job, str]) -> None:
    job, table = filled
    rows = kept(job, table)
    ours = {column.name for column in schema.table(table).columns}
    own = {name for row in rows for name in row.cells} - ours
    made = planned_paste(read_pasted(own_text(job, table), table, own=own), rows)
    assert (made.new, made.changed, made.same) == ((), (), len(rows))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(any_table())
def test_pasting_where_nothing_stands_gives_equal_rows(filled: tuple[Job, str]) -> None:
    job, table = filled
    rows = kept(job, table)
    made = planned_paste(read_pasted(own_text(job, table), table), [])
    assert [
        {name: text for name, text in row.cells.items() if text.strip()} for row in made.new
    ] == [row.cells for row in rows]


def test_new_changed_and_same_rows_are_told_apart_with_old_and_new_cells() -> None:
    made = plan(WIRES + "W1\tCU.1\tT1.1\tGN\t1200.0\nW2\tT1.2\tS1\tBN\t150\nW9\tCU.5\tT2.1\tRD\t\n")
    [changed], [new] = made.changed, made.new
    assert (changed.name, changed.changes) == ("W1", (CellChange("colour", "BN/WH", "GN"),))
    assert changed.cells["strands"] == "24"
    assert (new.number, new.cells["wire"], made.same) == (4, "W9", 1)


def test_columns_that_the_text_lacks_stay_and_blank_cells_become_blank() -> None:
    [changed] = plan("wire\tlength_mm\tcolour\nW1\t1300\t").changed
    assert changed.cells["from"] == "CU.1"
    assert "colour" not in changed.cells
    assert changed.changes[1] == CellChange("colour", "BN/WH", "")


def test_wires_without_names_get_the_next_free_ones() -> None:
    made = plan("from\tto\tcolour\tlength_mm\nCU.5\tE1\tBN\t10\nCU.6\tE1\tBN\t10\n")
    assert [row.cells["wire"] for row in made.new] == ["W9", "W10"]


def test_a_plug_without_a_name_is_a_problem() -> None:
    [problem] = sentences(plan("plug\tface\nT7\t1 2\n\t1 2 3\n", "plugs"))
    assert problem == (
        "pasted text, row 3, plug: the cell is blank. It must be filled in, such as T1."
    )


def test_new_rows_that_lack_a_needed_column_are_told_once() -> None:
    [problem] = sentences(plan("wire\tto\nW1\tE1\nW8\tE1\nW9\tE1\nW10\tE1\n"))
    assert 'row 4: there is no column "from", and 2 rows are new.' in problem


def test_a_name_given_twice_is_told_with_both_rows() -> None:
    [problem] = sentences(plan(WIRES + "W9\tCU.5\tE1\t\t\nW9\tCU.6\tE1\t\t\n"))
    assert 'row 3, wire: "W9" is there twice, first in row 2.' in problem


def test_survey_rows_are_known_by_item_and_aspect() -> None:
    job = sample.job()
    row = job.survey[0]
    made = plan(f"item\taspect\tgrade\n{row.item}\t{row.aspect}\t4\n", "survey", job)
    assert made.new == ()
    assert made.changed[0].name == f"{row.item} {row.aspect}"


def test_two_equal_rows_stay_two_in_a_table_without_names() -> None:
    text = "part,count\nWIRE,0.9\nWIRE,0.9\n"
    rows = [KeptRow("1", {"part": "WIRE", "count": "0.9"})]
    made = planned_paste(read_pasted(text, "stock"), rows)
    assert (made.same, len(made.new)) == (1, 1)


def test_a_table_does_not_grow_beyond_its_limit() -> None:
    rows = [KeptRow(str(n), {"wire": f"A{n}"}) for n in range(4_999)]
    text = "wire,from,to\nW1,T1.1,E1\nW2,T1.2,E1\n"
    [problem] = planned_paste(read_pasted(text, "wires"), rows).problems
    assert "more than 5000 rows" in problem.what


def test_what_would_not_hold_together_is_foreseen_with_its_row_in_the_text() -> None:
    job = sample.job()
    made = plan(WIRES + "W2\tT1.2\tS1\tBN\t150\nW9\tCU.5\tNOWHERE\tRD\t1\n", job=job)
    grave = [e for e in foreseen(job, made, kept(job, "wires")) if not e.warning]
    assert [str(each.where) for each in grave] == ["pasted text, row 3, to"]


def test_what_was_wrong_before_is_not_foreseen_again() -> None:
    job = sample.job()
    made = plan(own_text(job, "wires"), job=job)
    assert foreseen(job, made, kept(job, "wires")) == ()


@pytest.fixture
def bench(db: None) -> Bench:
    bench = Bench(jobs=DatabaseJobs(), rows=DatabaseRows())
    bench.jobs.write("a-job", sample.job())
    return bench


def planned(bench: Bench, text: str, table: str = "wires") -> PastePlan:
    return planned_paste(read_pasted(text, table), bench.rows.rows("a-job", table))


def test_pasting_changes_rows_in_place_and_adds_new_ones_at_the_end(bench: Bench) -> None:
    paste(bench, "a-job", planned(bench, WIRES + "W9\tCU.5\tE1\tRD\t1\nW1\tCU.1\tT1.1\tGN\t1200\n"))
    wires = bench.jobs.read("a-job").wires
    assert [wire.wire for wire in wires] == [f"W{n}" for n in range(1, 10)]
    assert (wires[0].colour, wires[0].strands) == ("GN", 24)
    assert str(wires[8].to_point) == "E1"


def test_one_bad_row_keeps_all_of_them_out(bench: Bench) -> None:
    before = bench.jobs.read("a-job")
    made = planned(bench, WIRES + "W9\tCU.5\tE1\tRD\t1\nW10\tCU.6\tNOWHERE\tRD\t1\n")
    with pytest.raises(InputProblems) as failure:
        paste(bench, "a-job", made)
    assert [str(each.where) for each in failure.value.problems] == ["pasted text, row 3, to"]
    assert bench.jobs.read("a-job") == before
    paste(bench, "a-job", made, anyhow=True)
    assert len(bench.rows.rows("a-job", "wires")) == 10


def test_a_cell_that_cannot_be_read_is_never_kept(bench: Bench) -> None:
    made = planned(bench, WIRES + "W9\tCU.5\tE1\tRD\tlong\n")
    with pytest.raises(InputProblems):
        paste(bench, "a-job", made, anyhow=True)
    assert len(bench.rows.rows("a-job", "wires")) == 8


def test_what_no_sheet_can_hold_keeps_all_rows_out(bench: Bench) -> None:
    made = planned(bench, "wire,from,to,colour\nW9,CU.5,E1,RD\nW10,CU.6,E1,R\x01D\n")
    with pytest.raises(InputProblems):
        paste(bench, "a-job", made)
    assert len(bench.rows.rows("a-job", "wires")) == 8


def test_a_plan_that_somebody_else_overtook_is_not_done(bench: Bench) -> None:
    made = planned(bench, WIRES + "W1\tCU.1\tT1.1\tGN\t1200\n")
    [first] = [row for row in bench.rows.rows("a-job", "wires") if row.cells["wire"] == "W1"]
    enter(bench, "a-job", "wires", {"colour": "YE"}, key=first.key)
    with pytest.raises(Conflict):
        paste(bench, "a-job", made)
    assert bench.jobs.read("a-job").wires[0].colour == "YE"

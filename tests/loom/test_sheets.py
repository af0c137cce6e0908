"""Jobs from sheets and back: headers, blanks, unknown columns and tables, all problems at once."""

from __future__ import annotations

import pytest

from loomwright.loom import ForeignTable, InputProblems, Sheet, read_record, read_sheets, schema
from loomwright.loom.sheets import MOST_PROBLEMS, write_sheets
from sample import jobs

JOB = Sheet("job", ("title",), (("A job",),))


def wires(header: str, *rows: str) -> Sheet:
    return Sheet("wires", tuple(header.split("|")), tuple(tuple(row.split("|")) for row in rows))


def problems(*sheets: Sheet) -> list[str]:
    return [each.sentence for each in read_sheets([JOB, *sheets]).problems]


def test_the_small_job_is_read_whole() -> None:
    readout = jobs.readout()
    assert readout.problems == ()
    counts = {table.name: len(readout.job.rows(table.name)) for table in schema.TABLES}
    assert counts == {name: text.count("\n") - 1 for name, text in jobs.TABLES.items()}


def test_written_and_read_again() -> None:
    job = jobs.job()
    assert read_sheets(write_sheets(job)).job == job


def test_headers_match_in_any_case_and_order_with_blanks_around() -> None:
    readout = read_sheets([JOB, wires(" TO |Wire|From", "S1|W1|A.1")])
    assert readout.problems == ()
    assert str(readout.job.wires[0].to_point) == "S1"


def test_missing_required_columns_are_named() -> None:
    assert problems(wires("wire|colour", "W1|BN")) == [
        'wires, row 1: there is no column "from", "to". Add it to the first row.'
    ]


def test_a_column_twice() -> None:
    told = problems(wires("wire|from|to|From|x|X", "W1|A.1|S1|B.1||"))
    assert told == [
        "wires, row 1, From: the column is there twice. Keep one of them, or rename one.",
        "wires, row 1, X: the column is there twice. Keep one of them, or rename one.",
    ]


def test_a_column_without_a_name() -> None:
    assert problems(wires("wire|from|to|", "W1|A.1|S1|")) == []
    assert problems(wires("wire|from|to|", "W1|A.1|S1|", "W2|A.2|S1|so")) == [
        'wires, row 3: column 4 has no name but holds "so". Name the column in the first row.'
    ]


def test_a_cell_beyond_the_last_column() -> None:
    assert problems(wires("wire|from|to", "W1|A.1|S1||")) == []
    assert problems(wires("wire|from|to", "W1|A.1|S1|2")) == [
        'wires, row 2: "2" stands beyond the last column. '
        "Put quotes around a cell that holds a separator."
    ]


def test_blank_rows_are_passed_over_and_rows_keep_their_number() -> None:
    readout = read_sheets([JOB, wires("wire|from|to", "", "W1|A.1|S1", " | | ", "W2|A.2|S1")])
    assert [wire.row for wire in readout.job.wires] == [3, 5]


def test_all_problems_are_told_at_once() -> None:
    told = problems(
        wires("wire|from|to|strands|length_mm", "W 1|A.1|S1|2.5|-1", "W2||S1||", "W3|A.3|S1||x")
    )
    assert [each.split(":")[0] for each in told] == [
        "wires, row 2, wire",
        "wires, row 2, strands",
        "wires, row 2, length_mm",
        "wires, row 3, from",
        "wires, row 4, length_mm",
    ]


def test_a_bad_optional_cell_leaves_the_row_and_is_then_not_known() -> None:
    readout = read_sheets([JOB, wires("wire|from|to|strands", "W1|A.1|S1|many")])
    assert readout.job.wires[0].strands is None
    assert readout.unread == frozenset()


def test_a_bad_required_cell_takes_the_row_but_its_name_is_remembered() -> None:
    readout = read_sheets([JOB, wires("wire|from|to", "W1|A.|S1")])
    assert readout.job.wires == ()
    assert readout.unread == {"W1"}
    assert readout.mentioned == {"W1", "S1"}


def test_unknown_columns_are_kept_with_every_row() -> None:
    readout = read_sheets([JOB, wires("wire|Shelf|from|to|Who", "W1| 3 |A.1|S1|", "W2||A.2|S1|me")])
    assert readout.job.wires[0].extra == (("Shelf", " 3 "), ("Who", ""))
    assert readout.job.wires[1].extra == (("Shelf", ""), ("Who", "me"))
    again = read_sheets(write_sheets(readout.job))
    assert again.job == readout.job


def test_unknown_tables_are_kept_and_made_rectangular() -> None:
    sheet = Sheet("torques", ("a", ""), (("1",), (), ("1", "2", "3", ""), ("", "")))
    (table,) = read_sheets([JOB, sheet]).job.foreign
    assert table == ForeignTable(
        "torques", ("a", "", ""), (("1", "", ""), ("", "", ""), ("1", "2", "3"))
    )


def test_an_empty_unknown_sheet_is_passed_over() -> None:
    assert read_sheets([JOB, Sheet("Sheet3", (), ())]).job.foreign == ()


def test_a_missing_optional_table_is_empty_but_a_job_must_say_what_it_is() -> None:
    assert read_sheets([JOB]).problems == ()
    told = read_sheets([]).problems
    assert [each.sentence for each in told] == [
        "job: there is no such table. Add it, with one row and a title."
    ]


def test_the_job_table_has_one_row() -> None:
    none = read_sheets([Sheet("job", ("title",), ())]).problems
    two = read_sheets([Sheet("job", ("title",), (("A",), ("B",)))]).problems
    assert none[0].what == "there is no row in it"
    assert (two[0].what, two[0].where.row) == ("there is a second row", 3)


def test_a_table_twice() -> None:
    assert problems(wires("wire|from|to"), Sheet("Wires", ("wire", "from", "to"))) == [
        "wires: the table is there twice. Keep one of them."
    ]


def test_defaults_stand_in_for_blanks() -> None:
    about = read_sheets([JOB]).job.about
    assert (about.ambient_c, about.supply_v) == (20.0, 12.6)


def test_a_flood_of_problems_is_cut_off_and_says_so() -> None:
    readout = read_sheets([JOB, wires("wire|from|to", *["W 1||"] * MOST_PROBLEMS)])
    assert len(readout.problems) < MOST_PROBLEMS + 5
    assert readout.problems[-1].what == "there may be more after this row"
    assert readout.unopened == {"wires"}


def test_one_record_from_a_form() -> None:
    record = read_record(
        schema.WIRES, {"wire": "W1", "from": "A.1", "to": "S1", "shelf": "3"}, row=9
    )
    assert (record.row, record.extra) == (9, (("shelf", "3"),))
    with pytest.raises(InputProblems) as caught:
        read_record(schema.WIRES, {"wire": "W 1", "from": "A.1", "to": ""}, row=9)
    assert [str(each.where) for each in caught.value.problems] == [
        "wires, row 9, wire",
        "wires, row 9, to",
    ]


@pytest.mark.parametrize("table", schema.TABLES, ids=lambda table: table.name)
def test_a_record_of_nothing_is_refused_with_what_is_needed(table: schema.Table) -> None:
    with pytest.raises(InputProblems) as refusal:
        read_record(table, {column.name: " " for column in table.columns})
    missed = [each.where.column for each in refusal.value.problems]
    assert missed == ([column.name for column in table.required_columns] or [None])

"""What is wrong is told in a person's words: no row numbers, no names of columns."""

from __future__ import annotations

import pytest

from loomwright.loom import Problem, Where, schema
from loomwright.services.entering import enter
from loomwright.workshop.bench import BENCH
from loomwright.workshop.naming import ONE_ROW, Rows, told_of


@pytest.mark.parametrize(
    ("where", "name", "words"),
    [
        (Where("wires", 7, "outside_mm"), "W05", "Wire W05, outside: it is odd. Mend it."),
        (Where("wires", 7, "wire"), "W05", "Wire W05: it is odd. Mend it."),
        (Where("plugs", 7, "mates_with"), "", "Plug, mates with: it is odd. Mend it."),
        (Where("job", None, "opened_on"), "", "The job, opened on: it is odd. Mend it."),
        (Where("file"), "", "file: it is odd. Mend it."),
    ],
)
def test_a_place_is_told_in_words(where: Where, name: str, words: str) -> None:
    assert told_of(Problem(where, "it is odd", "mend it"), name) == words


@pytest.mark.parametrize("table", schema.TABLES, ids=lambda table: table.name)
def test_no_column_of_any_table_is_told_with_an_underscore(table: schema.Table) -> None:
    assert table.name in ONE_ROW
    for column in table.columns:
        assert "_" not in told_of(Problem(Where(table.name, 2, column.name), "odd"))


def test_a_problem_of_the_whole_job_names_its_row(demo: str) -> None:
    enter(BENCH, demo, "wires", {"wire": "W99", "from": "TE.1", "to": "NONE.1"}, anyhow=True)
    _, problems = BENCH.jobs.inspect(demo)
    grave = [each for each in problems if not each.warning]
    rows = Rows(demo)
    assert [rows.told_of(each) for each in grave] == [
        'Wire W99, to: there is no plug "NONE". Add it to plugs, or correct the name.'
    ]
    found = rows.of(grave[0].where)
    assert found is not None
    assert found.key == BENCH.rows.rows(demo, "wires")[-1].key
    assert rows.of(Where("wires", 10_000)) is None

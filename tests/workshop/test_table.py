"""One table's page."""

from __future__ import annotations

import csv
import io

import pytest
from django.test import Client

from loomwright.loom import Job, schema
from loomwright.storage.job_folder.csv_text import sheet_from_bytes
from loomwright.workshop.bench import BENCH

WIRES = "/jobs/tarn-2300/tables/wires/"


def page(here: Client, address: str = WIRES) -> str:
    answer = here.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("table", [table.name for table in schema.TABLES])
def test_every_table_shows_its_rows_with_their_forms(demo: str, here: Client, table: str) -> None:
    text = page(here, f"/jobs/tarn-2300/tables/{table}/")
    for row in BENCH.rows.rows(demo, table)[:100]:
        assert f'href="/jobs/tarn-2300/rows/{table}/{row.key}/?back=' in text


def test_only_used_columns_are_shown(demo: str, here: Client) -> None:
    text = page(here, "/jobs/tarn-2300/tables/stock/")
    assert 'data-label="Kept"' in text
    assert 'data-label="Inductance, mH"' not in page(here, "/jobs/tarn-2300/tables/joints/")


def test_rows_are_sifted_by_words(demo: str, here: Client) -> None:
    text = page(here, f"{WIRES}?find=sp30 pr.30")
    assert "1 row of 64 with “sp30 pr.30”" in text
    assert ">W03</a>" in text
    assert ">W01</a>" not in text
    assert "0 rows of 64" in page(here, f"{WIRES}?find=nothing")


def test_long_tables_come_in_pages_of_a_hundred(demo: str, here: Client) -> None:
    for n in range(150):
        BENCH.rows.put(demo, "stock", None, {"part": f"P{n}", "count": "1"})
    address = "/jobs/tarn-2300/tables/stock/"
    first, second = page(here, address), page(here, f"{address}?page=2&find=P")
    assert ">P94</a>" in first
    assert ">P95</a>" not in first
    assert 'href="?page=2"' in first
    assert ">P149</a>" in second
    assert 'href="?page=1&amp;find=P"' in second
    assert "Page 2 of 2" in page(here, f"{address}?page=99")
    assert "Page 1 of 2" in page(here, f"{address}?page=x")


def test_the_download_is_the_table_as_every_reader_of_jobs_reads_it(
    demo: str, here: Client, demo_job: Job
) -> None:
    answer = here.get(f"{WIRES}?as=csv")
    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["Content-Disposition"] == 'attachment; filename="tarn-2300-wires.csv"'
    sheet = sheet_from_bytes("wires", answer.content)
    assert [row[0] for row in sheet.rows] == [wire.wire for wire in demo_job.wires]
    assert sheet.header == tuple(column.name for column in schema.table("wires").columns)


def test_quotes_commas_and_line_breaks_survive_the_download(demo: str, here: Client) -> None:
    note = '"torn", at\nthe back; =1+1'
    BENCH.rows.put(demo, "stock", None, {"part": "P1", "count": "1", "note": note})
    text = here.get("/jobs/tarn-2300/tables/stock/?as=csv&find=torn").content.decode("utf-8-sig")
    [row] = csv.DictReader(io.StringIO(text, newline=""))
    assert row["note"] == note


def test_a_table_without_rows_says_so(demo: str, here: Client) -> None:
    assert "There is no row yet" in page(here, "/jobs/tarn-2300/tables/settings/")


def test_no_such_table(demo: str, here: Client) -> None:
    assert here.get("/jobs/tarn-2300/tables/none/").status_code == 404
    assert here.get("/jobs/tarn-2300/paste/none/").status_code == 404

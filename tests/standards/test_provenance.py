"""Every row of every table has a known source and a standing."""

import attrs
import pytest

from loomwright.loom.errors import NotFound
from loomwright.standards import STANDINGS, source, sources
from loomwright.standards.csv_table import rows, table_names
from loomwright.standards.provenance import sourced

TABLES = [name for name in table_names() if name != "sources"]


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_a_known_source_and_standing(table):
    for row in rows(table):
        assert row.text("source") in sources(), row
        assert row.text("standing") in STANDINGS, row


@pytest.mark.parametrize("table", TABLES)
def test_common_practice_is_never_called_published(table):
    for row in rows(table):
        if row.text("source") in {"common-practice", "working-assumption"}:
            assert row.text("standing") in {"common practice", "assumed"}, row


def test_every_source_is_used_or_explained():
    used = {row.text("source") for table in TABLES for row in rows(table)}
    # the standards behind a reproduction are listed though no row was read in them
    assert set(sources()) - used <= {"iec-60228", "astm-b258"}


def test_a_source_reads_as_one_line():
    found = source("faa-ac-43-13-1b")
    assert found.citation.startswith("Federal Aviation Administration, Acceptable methods")
    assert found.citation.endswith("par. 11-66, 2001")


def test_records_carry_their_source():
    carried = sourced(rows("copper")[0])
    assert carried["source"] == source("iec-60028")
    assert attrs.has(type(carried["source"]))


def test_unknown_source():
    with pytest.raises(NotFound):
        source("iec-60229")

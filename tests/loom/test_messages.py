"""Every message of the loom room, held by a golden file that a person reads."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from loomwright.loom import Problem, Sheet, inconsistencies, read_sheets
from sample import jobs
from sample.golden import assert_golden

from .consistency_cases import CASES

GOLDEN = Path(__file__).with_name("golden_messages.txt")

CELL_SLIPS = {
    "job": ["opened_on=14.5.26", "ambient_c=1,234", "ambient_c=99", "title="],
    "plugs": [
        "plug=T 1", "face=1 1", "face=. .", "seen_from=wires", "mates_with=A B", "spare_mm=-4",
    ],
    "wires": ["from=T4.", "strands=2.5", "strands=0", "section_mm2=0", "length_mm=1 200"],
    "devices": ["temperature=hot", "temperature=900"],
    "elements": ["closed_when=throttle", "ohm=2k2", "kind=switch", "ohm=-1"],
    "readings": [
        "value=1,2k", "value=-2000", "plus=A.B.C", "state=hot", "state=key=on; key=off",
        "state=engine_c=warm", "unplugged=CU T.4", "quantity=amp",
    ],
    "survey": ["grade=5", "grade=x"],
}  # fmt: skip


def cell_slips() -> Iterator[Problem]:
    for table, slips in CELL_SLIPS.items():
        (sheet,) = jobs.sheets({table: jobs.TABLES[table]})
        for slip in slips:
            name, _, text = slip.partition("=")
            cells = dict(zip(sheet.header, sheet.rows[0], strict=True)) | {name: text}
            changed = Sheet(table, tuple(cells), (tuple(cells.values()),))
            others = [each for each in jobs.sheets(jobs.TABLES) if each.name != table]
            yield from read_sheets([*others, changed]).problems


def table_slips() -> Iterator[Problem]:
    job = Sheet("job", ("title",), (("A job",),))
    yield from read_sheets([]).problems
    yield from read_sheets([Sheet("job", ("title",), ())]).problems
    yield from read_sheets([Sheet("job", ("title",), (("A",), ("B",)))]).problems
    yield from read_sheets([job, job]).problems
    yield from read_sheets([job, Sheet("zones", ("running_c",), ())]).problems
    yield from read_sheets([job, Sheet("zones", ("zone", "ZONE"), ())]).problems
    yield from read_sheets([job, Sheet("zones", ("zone", ""), (("Z", "1"),))]).problems
    yield from read_sheets([job, Sheet("zones", ("zone",), (("Z", "1"),))]).problems


def consistency_slips() -> Iterator[Problem]:
    for case in CASES:
        yield from inconsistencies(jobs.job(case.edits))


def lines() -> Iterator[str]:
    titles = {"Cells": cell_slips, "Tables": table_slips, "Between the tables": consistency_slips}
    for title, slips in titles.items():
        yield f"# {title}"
        told = {f"{'warning: ' * each.warning}{each.sentence}": None for each in slips()}
        yield from told


def test_every_message_reads_as_the_golden_file_says() -> None:
    assert_golden(GOLDEN, lines())


@pytest.mark.parametrize("line", [line for line in lines() if not line.startswith("#")])
def test_a_message_is_calm_and_whole(line: str) -> None:
    lowered = line.lower()
    for word in ("error", "invalid", "illegal", "exception", "!", "none", "please", "you must"):
        assert word not in lowered
    assert ": " in line
    assert line[-1] in ".?"
    assert ".." not in line
    assert "?." not in line

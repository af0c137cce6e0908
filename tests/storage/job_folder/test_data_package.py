"""The data package is what the standard's own reference program accepts.

Reference: the `frictionless` library, which the keepers of the Data Package standard publish.
"""

from __future__ import annotations

import json
import warnings
from pathlib import Path

import attrs
import pytest

from loomwright.loom import ForeignTable, schema
from loomwright.storage.job_folder import JobFolder
from sample import jobs as sample

JOBS = JobFolder()


def faults(folder: Path) -> list[str]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its own dependencies' deprecations
        from frictionless import Package, system

        with system.use_context(trusted=True):
            report = Package(str(folder / "datapackage.json")).validate()
    return [row[-1] for row in report.flatten(["type", "message"])]


def full_job() -> object:
    job = sample.job()
    zones = tuple(attrs.evolve(zone, extra=(("Shelf", "a,b"),)) for zone in job.zones)
    foreign = (
        ForeignTable("Crimps 2", ("a", "b"), (("1", ""),)),
        ForeignTable("odd", ("a", "a"), (("1", "2"),)),
    )
    return attrs.evolve(job, zones=zones, foreign=foreign)


def test_a_written_job_is_a_data_package(tmp_path: Path) -> None:
    JOBS.write(tmp_path / "job", full_job())
    assert faults(tmp_path / "job") == []


@pytest.mark.parametrize(
    ("table", "old", "new", "says"),
    [
        ("wires", "W2,T1.2", "W1,T1.2", "primary key"),
        ("wires", "W2,T1.2", "W2,T 1.2", "pattern"),
        ("zones", "CABIN,30", "CABIN,warm", "number"),
        ("joints", "S1,splice", "S1,weld", "enum"),
        ("elements", "TH1,NTC1", "TH1,NTC9", "foreign key"),
        ("survey", "T1,boot,3", "T1,boot,5", "maximum"),
        ("plugs", "NTC1,engine", "NTC1,engine,more,cells,than,columns", "row"),
    ],
)
def test_the_reference_program_finds_what_is_wrong_by_our_descriptor(
    tmp_path: Path, table: str, old: str, new: str, says: str
) -> None:
    JOBS.write(tmp_path / "job", sample.job())
    path = tmp_path / "job" / f"{table}.csv"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    assert any(says in fault.lower() for fault in faults(tmp_path / "job"))


def test_every_column_is_described_with_help_and_unit(tmp_path: Path) -> None:
    JOBS.write(tmp_path / "job", sample.job())
    package = json.loads((tmp_path / "job" / "datapackage.json").read_text(encoding="utf-8"))
    described = {each["name"]: each["schema"]["fields"] for each in package["resources"]}
    assert list(described) == [table.name for table in schema.TABLES]
    for table in schema.TABLES:
        for field, column in zip(described[table.name], table.columns, strict=True):
            assert field["name"] == column.name
            assert column.help in field["description"]
            assert column.unit in field["description"]
    assert package["title"] == "Small job"

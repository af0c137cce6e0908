"""Whatever bytes come: problems or a job, never another failure, and in bounded time."""

from __future__ import annotations

import tempfile
import zipfile
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from loomwright.loom import InputProblems, Job, NotFound, StorageFailed
from loomwright.storage.job_folder import JobFolder
from sample import jobs as sample
from sample import workbooks

JOBS = JobFolder()
Cuts = list[tuple[float, bytes]]
cuts: st.SearchStrategy[Cuts] = st.lists(
    st.tuples(
        st.floats(0, 1, exclude_max=True),
        st.binary(max_size=4) | st.sampled_from([b'"', b"\n", b";", b"\0", b"<", b"OL", b"=1"]),
    ),
    min_size=1,
    max_size=6,
)
few = settings(
    max_examples=60, deadline=5000, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def looked_at(path: Path) -> None:
    """The law: inspecting gives a job and problems, or says why the place cannot be looked at."""
    try:
        job, problems = JOBS.inspect(path)
    except (NotFound, StorageFailed):
        return
    assert isinstance(job, Job)
    assert all(each.sentence for each in problems)
    grave = {each for each in problems if not each.warning}
    if grave:
        with pytest.raises(InputProblems) as caught:
            JOBS.read(path)
        assert set(caught.value.problems) == grave
    else:
        assert JOBS.read(path) == job


def mutated(data: bytes, changes: Cuts) -> bytes:
    for share, piece in changes:
        at = int(share * len(data))
        data = data[:at] + piece + data[at + len(piece) + (share > 0.5) :]
    return data


@cache
def whole(suffix: str) -> bytes:
    if suffix == ".xlsx":
        return workbooks.whole()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"job{suffix}"
        JOBS.write(path, sample.job())
        return path.read_bytes()


PARTS = workbooks.parts(workbooks.few_tables())
"""Of a workbook with fewer sheets, so that each kind of part is hit more often."""


@few
@given(st.sampled_from([".zip", ".xlsx"]), st.binary(max_size=300))
def test_random_files(tmp_path: Path, suffix: str, data: bytes) -> None:
    path = tmp_path / f"job{suffix}"
    path.write_bytes(data)
    looked_at(path)


@few
@given(st.sampled_from(sorted(sample.TABLES)), st.binary(max_size=300))
def test_random_tables(tmp_path: Path, table: str, data: bytes) -> None:
    place = sample.laid_out(tmp_path / "job")
    (place / f"{table}.csv").write_bytes(data)
    looked_at(place)


@few
@given(st.sampled_from(sorted(sample.TABLES)), cuts)
def test_mutated_tables(tmp_path: Path, table: str, changes: Cuts) -> None:
    place = sample.laid_out(tmp_path / "job")
    (place / f"{table}.csv").write_bytes(mutated(sample.TABLES[table].encode(), changes))
    looked_at(place)


@pytest.mark.parametrize("suffix", [".zip", ".xlsx"])
def test_mutated_archives(tmp_path: Path, suffix: str) -> None:
    @few
    @given(cuts)
    def law(changes: Cuts) -> None:
        path = tmp_path / f"job{suffix}"
        path.write_bytes(mutated(whole(suffix), changes))
        looked_at(path)

    law()


@settings(few, max_examples=100)
@given(st.sampled_from(sorted(PARTS)), cuts)
def test_mutated_parts_of_a_workbook(tmp_path: Path, part: str, changes: Cuts) -> None:
    path = tmp_path / "job.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in PARTS.items():
            archive.writestr(name, mutated(data, changes) if name == part else data)
    looked_at(path)


@settings(few, max_examples=100)
@given(
    st.sampled_from(sorted(name for name in PARTS if name.endswith(".xml"))),
    st.sampled_from([b"1", b"2", b"n", b"s", b"A1", b"inlineStr", b"sheet", b"rId1"]),
    st.sampled_from([b"", b"-1", b"99999999999", b"x", b"e", b"d", b"b", b"str", b"1e999"]),
    st.integers(0, 30),
)
def test_workbooks_with_attributes_and_values_changed(
    tmp_path: Path, part: str, old: bytes, new: bytes, at: int
) -> None:
    path = tmp_path / "job.xlsx"
    pieces = PARTS[part].split(old)
    at = min(at, len(pieces) - 1)
    changed = old.join(pieces[:at]) + (new if at else b"") + old.join(pieces[at:])
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in PARTS.items():
            archive.writestr(name, changed if name == part else data)
    looked_at(path)

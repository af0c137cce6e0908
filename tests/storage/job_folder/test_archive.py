"""Packed jobs: what an honest one may look like, and what is refused of others."""

from __future__ import annotations

import io
import struct
import warnings
import zipfile
from collections.abc import Callable
from pathlib import Path

import attrs
import pytest

from loomwright.loom import Problem, schema
from loomwright.storage import limits
from loomwright.storage.job_folder import JobFolder
from sample import jobs as sample

JOBS = JobFolder()
Packing = Callable[[zipfile.ZipFile], None]


def packed(path: Path, pack: Packing | None = None, *, folder: str = "") -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in sample.TABLES.items():
            archive.writestr(f"{folder}{name}.csv", text)
        if pack:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # the library warns of names given twice
                pack(archive)
    return path


def problems(path: Path) -> list[Problem]:
    return list(JOBS.inspect(path)[1])


@pytest.mark.parametrize("folder", ["", "my job/", "a/b/"])
def test_a_packed_folder_is_read_with_or_without_its_name(tmp_path: Path, folder: str) -> None:
    path = packed(tmp_path / "job.zip", folder=folder)
    assert JOBS.read(path) == sample.job()


def test_other_files_are_carried_over_and_tables_replaced_where_they_stand(tmp_path: Path) -> None:
    def photo(archive: zipfile.ZipFile) -> None:
        archive.writestr("my job/photos/t1.jpg", b"picture")

    path = packed(tmp_path / "job.zip", photo, folder="my job/")
    later = attrs.evolve(sample.job(), survey=())
    JOBS.write(path, later)
    JOBS.write(path, later)
    assert JOBS.read(path) == later
    with zipfile.ZipFile(path) as archive:
        names = archive.namelist()
        assert archive.read("my job/photos/t1.jpg") == b"picture"
    assert len(set(names)) == len(names) == len(schema.TABLES) + 2  # a photo and the package


def test_the_same_job_makes_the_same_bytes(tmp_path: Path) -> None:
    JOBS.write(tmp_path / "a.zip", sample.job())
    JOBS.write(tmp_path / "b.zip", sample.job())
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def entry(name: str) -> Packing:
    return lambda archive: archive.writestr(zipfile.ZipInfo(name), "x")


def link(archive: zipfile.ZipFile) -> None:
    info = zipfile.ZipInfo("notes.csv")
    info.external_attr = 0o120777 << 16
    archive.writestr(info, "../../secret")


def unusual(archive: zipfile.ZipFile) -> None:
    archive.writestr("other.csv", "x", zipfile.ZIP_BZIP2)


HOSTILE: dict[str, tuple[Packing, str]] = {
    "up and out": (entry("../out.csv"), '"../out.csv" points outside the folder'),
    "up in the middle": (entry("a/../../out.csv"), '"a/../../out.csv" points outside the folder'),
    "absolute": (entry("/out.csv"), '"/out.csv" points outside the folder'),
    "drive": (entry("C:out.csv"), '"C:out.csv" points outside the folder'),
    "backslash": (entry("a\\out.csv"), '"a\\out.csv" points outside the folder'),
    "link": (link, '"notes.csv" is a link, not a file'),
    "twice": (entry("wires.csv"), '"wires.csv" stands in the archive twice'),
    "twice by case": (entry("WIRES.csv"), '"WIRES.csv" stands in the archive twice'),
    "unusual": (unusual, '"other.csv" is packed in an unusual way'),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_no_packed_folder_holds_is_refused(tmp_path: Path, name: str) -> None:
    pack, what = HOSTILE[name]
    path = packed(tmp_path / "job.zip", pack)
    assert [each.what for each in problems(path)] == [what]
    assert [each.name for each in tmp_path.iterdir()] == ["job.zip"]


def test_encrypted(tmp_path: Path) -> None:
    path = packed(tmp_path / "job.zip")
    data = bytearray(path.read_bytes())
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(signature) + offset] |= 1
    path.write_bytes(bytes(data))
    assert problems(path)[0].what == '"job.csv" is encrypted'


def test_several_jobs_in_one_archive(tmp_path: Path) -> None:
    def another(archive: zipfile.ZipFile) -> None:
        archive.writestr("b/job.csv", "title\nB\n")

    path = packed(tmp_path / "job.zip", another, folder="a/")
    assert problems(path)[0].what == 'the archive holds tables in several folders: "a", "b"'


def test_a_bomb_is_let_off_in_a_small_room(tmp_path: Path) -> None:
    def bomb(archive: zipfile.ZipFile) -> None:
        archive.writestr("trace.csv", b"0" * (20 * limits.MAX_TABLE_BYTES))

    path = packed(tmp_path / "job.zip", bomb)
    assert path.stat().st_size < 200_000
    (problem,) = problems(path)
    assert problem.warning
    assert problem.what == "it is left as it is, for it holds more than 5 MB"


def test_a_size_that_lies_is_not_believed(tmp_path: Path) -> None:
    def bomb(archive: zipfile.ZipFile) -> None:
        archive.writestr("zz.csv", b"0" * (2 * limits.MAX_TABLE_BYTES))

    path = packed(tmp_path / "job.zip", bomb)
    data = path.read_bytes()
    lie = data.replace(struct.pack("<L", 2 * limits.MAX_TABLE_BYTES), struct.pack("<L", 10))
    assert lie != data
    path.write_bytes(lie)
    assert problems(path)


def test_millions_of_entries_are_refused_before_they_are_read(tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for number in range(limits.MAX_ZIP_ENTRIES + 1):
            archive.writestr(f"{number}", b"")
    (tmp_path / "job.zip").write_bytes(out.getvalue())
    assert problems(tmp_path / "job.zip")[0].what == "the archive holds more than 5000 files"
    end = struct.pack("<4s4H2LH", b"PK\x05\x06", 0, 0, 65535, 65535, 0xFFFFFFF0, 0, 0)
    (tmp_path / "huge.zip").write_bytes(b"\0" * 100 + end)
    assert problems(tmp_path / "huge.zip")[0].what == "the archive holds more than 5000 files"


@pytest.mark.parametrize("data", [b"", b"PK", b"no zip at all", b"PK\x05\x06" + b"\0" * 18])
def test_what_is_no_zip(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "job.zip").write_bytes(data)
    assert problems(tmp_path / "job.zip")


def test_cut_short(tmp_path: Path) -> None:
    path = packed(tmp_path / "job.zip")
    path.write_bytes(path.read_bytes()[:-40])
    assert problems(path)[0].what == "the file is damaged, cut short, or not what its name says"


def test_a_damaged_archive_is_not_written_over(tmp_path: Path) -> None:
    from loomwright.loom import InputProblems

    path = tmp_path / "job.zip"
    path.write_bytes(b"precious, but no zip")
    with pytest.raises(InputProblems):
        JOBS.write(path, sample.job())
    assert path.read_bytes() == b"precious, but no zip"

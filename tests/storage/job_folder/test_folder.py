"""Folders: what is read, what stays, and that a write is whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import attrs
import pytest

from loomwright.loom import InputProblems, NotFound, StorageFailed
from loomwright.storage.job_folder import JobFolder, folder
from loomwright.storage.job_folder.folder import ASIDE, STAGING
from sample import jobs as sample

JOBS = JobFolder()
LATER = attrs.evolve(sample.job(), survey=(), zones=sample.job().zones)


def hidden(place: Path) -> list[str]:
    return [path.name for path in place.iterdir() if path.name.startswith(".")]


def test_a_folder_made_by_hand_is_read(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    assert JOBS.read(place) == sample.job()


def test_only_one_table_is_needed(tmp_path: Path) -> None:
    (tmp_path / "job.csv").write_text("title\nA job\n")
    assert JOBS.read(tmp_path).wires == ()


def test_names_of_files_in_any_case_hidden_files_passed_over(tmp_path: Path) -> None:
    (tmp_path / "JOB.CSV").write_text("Title\nA job\n")
    (tmp_path / ".~lock.wires.csv").write_text("x")
    (tmp_path / "~$zones.csv").write_text("x")
    (tmp_path / "notes.txt").write_text("x")
    job, problems = JOBS.inspect(tmp_path)
    assert (job.about.title, problems, job.foreign) == ("A job", (), ())


def test_an_empty_folder_holds_no_job(tmp_path: Path) -> None:
    assert not JOBS.exists(tmp_path)
    with pytest.raises(InputProblems) as caught:
        JOBS.read(tmp_path)
    assert [each.sentence for each in caught.value.problems] == [
        "job.csv: there is no such table. Add it, with one row and a title."
    ]


def test_problems_of_files_come_alone_for_the_rest_would_be_guesses(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job", {"wires": ("CU.2,T2.1", "CU.2,T22.1")})
    (place / "plugs.csv").write_bytes(b"\xff\xfe")
    _, problems = JOBS.inspect(place)
    assert [each.where.table for each in problems] == ["plugs.csv"]


def test_a_cell_that_cannot_be_read_is_not_called_blank_as_well(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job", {"elements": ("throttle=shut", "throttle shut")})
    _, problems = JOBS.inspect(place)
    assert [each.where.column for each in problems] == ["closed_when"]
    assert "is not a condition" in problems[0].what


def test_a_folder_in_place_of_a_table(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    (place / "zones.csv").unlink()
    (place / "zones.csv").mkdir()
    _, problems = JOBS.inspect(place)
    assert [each.what for each in problems] == ["it is not a plain file"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_in_place_of_a_table_does_not_hang(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    (place / "zones.csv").unlink()
    os.mkfifo(place / "zones.csv")
    assert [each.what for each in JOBS.inspect(place)[1]] == ["it is not a plain file"]


def test_too_many_tables(tmp_path: Path) -> None:
    for number in range(61):
        (tmp_path / f"t{number}.csv").write_text("a\n1\n")
    assert JOBS.inspect(tmp_path)[1][0].what == "there are 61 tables, more than 60"


@pytest.mark.parametrize(
    ("name", "cure"),
    [
        ("wires.csv", "give the folder it is in"),
        ("job.ods", "save it as .xlsx"),
        ("job.txt", "give a folder, a .zip or an .xlsx file"),
    ],
)
def test_a_file_that_is_no_job(tmp_path: Path, name: str, cure: str) -> None:
    (tmp_path / name).write_text("wire\n")
    with pytest.raises(InputProblems) as caught:
        JOBS.read(tmp_path / name)
    assert caught.value.problems[0].expected == cure
    with pytest.raises(InputProblems):
        JOBS.write(tmp_path / name, sample.job())
    assert (tmp_path / name).read_text() == "wire\n"


@pytest.mark.parametrize("name", ["nowhere", "no\0where", "x" * 5000, "a.zip", "a.xlsx"])
def test_what_is_not_there(tmp_path: Path, name: str) -> None:
    assert not JOBS.exists(tmp_path / name)
    with pytest.raises((NotFound, StorageFailed)):
        JOBS.read(tmp_path / name)


@pytest.mark.parametrize("name", ["a.zip", "a.xlsx"])
def test_a_folder_named_like_a_file_is_no_file(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    with pytest.raises(NotFound, match="is a folder"):
        JOBS.read(tmp_path / name)


def test_writing_keeps_what_is_no_table_of_the_job(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    (place / "photos").mkdir()
    (place / "photos" / "t1.jpg").write_bytes(b"picture")
    (place / "trace.csv").write_bytes(b"\xff" * 100)
    JOBS.write(place, LATER)
    assert (place / "photos" / "t1.jpg").read_bytes() == b"picture"
    assert (place / "trace.csv").read_bytes() == b"\xff" * 100
    assert JOBS.read(place) == LATER
    assert hidden(place) == []


def test_a_table_under_another_spelling_is_replaced(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    (place / "zones.csv").rename(place / "Zones.CSV")
    JOBS.write(place, sample.job())
    assert JOBS.read(place) == sample.job()


def test_a_new_folder_can_be_entered_by_the_person_who_made_it(tmp_path: Path) -> None:
    JOBS.write(tmp_path / "deep" / "job", sample.job())
    usual = (tmp_path / "deep").stat().st_mode
    assert (tmp_path / "deep" / "job").stat().st_mode == usual
    assert hidden(tmp_path / "deep") == []


class Refusal:
    """An `os.replace` that fails at its n-th call, and works again once it has."""

    def __init__(self, at: int) -> None:
        self.left = at
        self.real = os.replace

    def __call__(self, source: Path, target: Path) -> None:
        self.left -= 1
        if self.left == 0:
            raise PermissionError(13, "the file is open elsewhere")
        self.real(source, target)


@pytest.mark.parametrize("at", [1, 5, 14])
def test_a_write_that_fails_half_way_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    place = sample.laid_out(tmp_path / "job", {"survey": None})
    before = {path.name: path.read_bytes() for path in place.iterdir()}
    monkeypatch.setattr(folder.os, "replace", Refusal(at))
    with pytest.raises(StorageFailed, match="open elsewhere") as caught:
        JOBS.write(place, LATER)
    assert isinstance(caught.value.__cause__, OSError)
    assert {path.name: path.read_bytes() for path in place.iterdir()} == before


class PowerCut(BaseException):
    """Not an Exception: nothing in the program may tidy up after it."""


@pytest.mark.parametrize("at", [1, 5, 14])
def test_after_a_power_cut_the_old_job_is_read_and_the_next_write_is_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    place = sample.laid_out(tmp_path / "job")
    refusal = Refusal(at)

    def cut(source: Path, target: Path) -> None:
        try:
            refusal(source, target)
        except PermissionError:
            raise PowerCut from None

    with monkeypatch.context() as patched:
        patched.setattr(folder.os, "replace", cut)
        patched.setattr(folder.shutil, "rmtree", lambda *_, **__: None)
        with pytest.raises(PowerCut):
            JOBS.write(place, LATER)
    assert (place / ASIDE).is_dir()
    assert JOBS.exists(place)
    assert JOBS.read(place) == sample.job()
    JOBS.write(place, LATER)
    assert JOBS.read(place) == LATER
    assert not (place / ASIDE).exists()


def test_a_disk_that_is_full_leaves_no_new_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "no space left on device")

    monkeypatch.setattr(folder.os, "fsync", full)
    with pytest.raises(StorageFailed, match="no space left"):
        JOBS.write(tmp_path / "job", sample.job())
    assert list(tmp_path.iterdir()) == []
    place = sample.laid_out(tmp_path / "old")
    with pytest.raises(StorageFailed):
        JOBS.write(place, LATER)
    assert JOBS.read(place) == sample.job()
    assert [name for name in hidden(place) if name.startswith(STAGING)] == []


def test_a_folder_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def forbidden(_: Path) -> None:
        raise PermissionError(13, "permission denied")

    monkeypatch.setattr(Path, "iterdir", forbidden)
    with pytest.raises(StorageFailed, match="permission denied"):
        JOBS.read(tmp_path)


@pytest.mark.parametrize("name", ["job.zip", "job.xlsx"])
def test_single_files_too_are_whole_or_untouched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    from loomwright.storage.job_folder import files

    JOBS.write(tmp_path / name, sample.job())
    before = (tmp_path / name).read_bytes()
    monkeypatch.setattr(files.os, "replace", Refusal(1))
    with pytest.raises(StorageFailed, match="open elsewhere"):
        JOBS.write(tmp_path / name, LATER)
    assert (tmp_path / name).read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == [name]

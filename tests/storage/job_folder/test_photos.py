"""Photos in folders and zips: what stays, what is not followed, and that a write is whole."""

from __future__ import annotations

import os
import threading
import zipfile
from pathlib import Path

import pytest

from loomwright.bootstrap import photos as bootstrapped
from loomwright.loom import InputProblems, NotFound, StorageFailed
from loomwright.storage import limits
from loomwright.storage.job_folder import FolderPhotos, JobFolder, files
from sample import jobs as sample

JOBS = JobFolder()
PHOTOS = FolderPhotos()


def packed(path: Path, members: dict[str, bytes], *, folder: str = "") -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in sample.TABLES.items():
            archive.writestr(f"{folder}{name}.csv", text)
        for name, data in members.items():
            archive.writestr(zipfile.ZipInfo(name, (2024, 5, 6, 7, 8, 10)), data)
    return path


def test_a_photo_is_a_plain_file_in_the_folder_photos(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    bootstrapped().write(place, "t1.jpg", b"picture")
    assert (place / "photos" / "t1.jpg").read_bytes() == b"picture"
    assert [path.name for path in (place / "photos").iterdir()] == ["t1.jpg"]


def test_only_plain_visible_files_are_photos(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    (place / "photos" / "more.jpg").mkdir(parents=True)
    (place / "photos" / "more.jpg" / "t2.jpg").write_bytes(b"nested")
    (place / "photos" / ".hidden.jpg").write_bytes(b"x")
    (place / "secret").write_bytes(b"x")
    (place / "photos" / "link.jpg").symlink_to(place / "secret")
    (place / "photos" / "t1.jpg").write_bytes(b"x")
    assert PHOTOS.names(place) == ("t1.jpg",)
    with pytest.raises(NotFound):
        PHOTOS.read(place, "link.jpg")


def test_a_linked_folder_is_not_followed(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "t1.jpg").write_bytes(b"mine")
    (place / "photos").symlink_to(tmp_path / "home")
    assert PHOTOS.names(place) == ()
    PHOTOS.remove(place, "t1.jpg")
    with pytest.raises(StorageFailed, match="link to another place"):
        PHOTOS.write(place, "t1.jpg", b"x")
    assert (tmp_path / "home" / "t1.jpg").read_bytes() == b"mine"


@pytest.mark.parametrize("name", ["Photos", "PHOTOS"])
def test_the_folder_may_be_spelled_with_capitals(tmp_path: Path, name: str) -> None:
    place = sample.laid_out(tmp_path / "job")
    (place / name).mkdir()
    zipped = packed(tmp_path / "job.zip", {f"{name}/t1.jpg": b"old"})
    for ref in (place, zipped):
        PHOTOS.write(ref, "t1.jpg", b"new")
        assert PHOTOS.names(ref) == ("t1.jpg",)
        assert PHOTOS.read(ref, "t1.jpg") == b"new"
    assert (place / name / "t1.jpg").read_bytes() == b"new"


@pytest.mark.parametrize("folder", ["", "my job/", "a/b/"])
def test_in_a_zip_they_stand_beside_the_tables(tmp_path: Path, folder: str) -> None:
    members = {f"{folder}photos/t1.jpg": b"old", f"{folder}notes.txt": b"n" * 500}
    path = packed(tmp_path / "job.zip", members, folder=folder)
    PHOTOS.write(path, "t1.jpg", b"new")
    PHOTOS.write(path, "t2.jpg", b"second")
    PHOTOS.remove(path, "t1.jpg")
    assert PHOTOS.names(path) == ("t2.jpg",)
    with zipfile.ZipFile(path) as archive:
        assert archive.read(f"{folder}photos/t2.jpg") == b"second"
        assert archive.read(f"{folder}notes.txt") == b"n" * 500
        assert archive.getinfo(f"{folder}notes.txt").date_time == (2024, 5, 6, 7, 8, 10)
    assert JOBS.read(path) == sample.job()


def test_writing_tables_or_photos_keeps_every_other_member(tmp_path: Path) -> None:
    wires = b"w" * 5000
    members = {"photos/t1.jpg": os.urandom(3000), "photos/deep/t2.jpg": b"2", "trace.bin": wires}
    path = packed(tmp_path / "job.zip", members)
    JOBS.write(path, sample.job())
    PHOTOS.write(path, "t9.png", b"new")
    JOBS.write(path, sample.job())
    with zipfile.ZipFile(path) as archive:
        assert {name: archive.read(name) for name in members} == members
        assert archive.getinfo("wires.csv").compress_type == zipfile.ZIP_DEFLATED
        assert archive.getinfo("photos/t1.jpg").compress_type == zipfile.ZIP_STORED
        assert archive.testzip() is None


def test_nested_and_odd_members_are_no_photos(tmp_path: Path) -> None:
    members = {
        "photos/t1.jpg": b"1",
        "photos/deep/t2.jpg": b"2",
        "photos/.t3.jpg": b"3",
        "photos/con.jpg": b"4",
        "other/photos/t5.jpg": b"5",
        "t6.jpg": b"6",
    }
    assert PHOTOS.names(packed(tmp_path / "job.zip", members)) == ("t1.jpg",)


@pytest.mark.parametrize("name", ["../t1.jpg", "photos/../../t1.jpg", "/photos/t1.jpg"])
def test_a_hostile_zip_is_refused(tmp_path: Path, name: str) -> None:
    path = packed(tmp_path / "job.zip", {name: b"x"})
    before = path.read_bytes()
    for act in (
        lambda: PHOTOS.names(path),
        lambda: PHOTOS.read(path, "t1.jpg"),
        lambda: PHOTOS.write(path, "t1.jpg", b"x"),
        lambda: PHOTOS.remove(path, "t1.jpg"),
    ):
        with pytest.raises(InputProblems):
            act()
    assert path.read_bytes() == before


def test_a_bomb_is_let_off_in_a_small_room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "job.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("job.csv", sample.TABLES["job"])
        archive.writestr("photos/t1.jpg", b"\0" * 2_000_000)
    monkeypatch.setattr(limits, "MAX_PHOTO_BYTES", 1_000_000)
    with pytest.raises(InputProblems) as caught:
        PHOTOS.read(path, "t1.jpg")
    assert caught.value.problems[0].sentence == (
        "t1.jpg: it holds more than 1 MB. Save the photo smaller."
    )


def test_a_zip_is_never_filled_so_that_the_job_could_not_be_saved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = packed(tmp_path / "job.zip", {})
    monkeypatch.setattr(limits, "MAX_CARRIED_BYTES", 100_000)
    PHOTOS.write(path, "t1.jpg", b"x" * 50_000)
    before = path.read_bytes()
    with pytest.raises(InputProblems) as caught:
        PHOTOS.write(path, "t2.jpg", b"x" * 50_000)
    assert "keep the job as a folder" in caught.value.problems[0].expected
    assert path.read_bytes() == before
    PHOTOS.write(path, "t1.jpg", b"y" * 60_000)
    JOBS.write(path, sample.job())
    assert PHOTOS.names(path) == ("t1.jpg",)


def test_a_zip_is_never_filled_with_more_files_than_are_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = packed(tmp_path / "job.zip", {})
    monkeypatch.setattr(limits, "MAX_ZIP_ENTRIES", len(sample.TABLES) + 1)
    PHOTOS.write(path, "t1.jpg", b"1")
    with pytest.raises(InputProblems):
        PHOTOS.write(path, "t2.jpg", b"2")
    assert PHOTOS.names(path) == ("t1.jpg",)


def test_a_workbook_holds_no_photos_and_says_so(tmp_path: Path) -> None:
    path = tmp_path / "job.xlsx"
    JOBS.write(path, sample.job())
    before = path.read_bytes()
    assert PHOTOS.names(path) == ()
    PHOTOS.remove(path, "t1.jpg")
    with pytest.raises(NotFound):
        PHOTOS.read(path, "t1.jpg")
    with pytest.raises(StorageFailed) as caught:
        PHOTOS.write(path, "t1.jpg", b"x")
    assert caught.value.expected == "keep the job as a folder or a .zip"
    assert path.read_bytes() == before


@pytest.mark.parametrize("name", ["job", "job.zip"])
def test_a_write_that_fails_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    JOBS.write(tmp_path / name, sample.job())
    PHOTOS.write(tmp_path / name, "t1.jpg", b"old")

    def refuse(_: Path, __: Path) -> None:
        raise PermissionError(13, "the file is open elsewhere")

    with monkeypatch.context() as patched:
        patched.setattr(files.os, "replace", refuse)
        with pytest.raises(StorageFailed, match="open elsewhere"):
            PHOTOS.write(tmp_path / name, "t1.jpg", b"new")
    assert PHOTOS.read(tmp_path / name, "t1.jpg") == b"old"
    assert PHOTOS.names(tmp_path / name) == ("t1.jpg",)
    assert [path.name for path in tmp_path.rglob(".*")] == []


def test_two_writers_at_once_lose_nothing(tmp_path: Path) -> None:
    path = packed(tmp_path / "job.zip", {})
    names = tuple(f"t{number}.jpg" for number in range(8))
    threads = [
        threading.Thread(target=PHOTOS.write, args=(path, name, name.encode())) for name in names
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert PHOTOS.names(path) == names
    assert [PHOTOS.read(path, name) for name in names] == [name.encode() for name in names]


@pytest.mark.parametrize("ref", ["no\0where", "nowhere.zip", "file.txt"])
def test_what_is_no_job_holds_no_photos(tmp_path: Path, ref: str) -> None:
    (tmp_path / "file.txt").write_text("x")
    assert PHOTOS.names(tmp_path / ref) == ()
    with pytest.raises(NotFound):
        PHOTOS.read(tmp_path / ref, "t1.jpg")
    with pytest.raises((NotFound, StorageFailed)):
        PHOTOS.write(tmp_path / ref, "t1.jpg", b"x")


def test_a_folder_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def forbidden(_: Path) -> None:
        raise PermissionError(13, "permission denied")

    monkeypatch.setattr(Path, "iterdir", forbidden)
    with pytest.raises(StorageFailed, match="permission denied"):
        PHOTOS.names(tmp_path)

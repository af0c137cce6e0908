"""Jobs come in from files and go out to files, and nothing is lost on the way."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from PIL import Image

from loomwright.loom import InputProblems, Job, StorageFailed
from loomwright.storage.job_folder import FolderPhotos, JobFolder
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.moving import bring, clean, take, taken_zip
from sample.demo import FOLDER as DEMO_FOLDER

pytestmark = pytest.mark.django_db


def files_in(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def gps_photo() -> bytes:
    """A photo that tells where it was taken."""
    told = Image.Exif()
    told.get_ifd(0x8825).update({1: "N", 2: (52.0, 30.0, 0.0), 3: "E", 4: (13.0, 24.0, 0.0)})
    out = io.BytesIO()
    Image.new("RGB", (8, 8), "red").save(out, "JPEG", exif=told)
    return out.getvalue()


def test_the_demo_comes_back_as_it_was_photos_included(demo_job: Job, tmp_path: Path) -> None:
    bring(str(DEMO_FOLDER), "demo")
    take("demo", str(tmp_path / "out"))
    assert JobFolder().read(tmp_path / "out") == demo_job
    photos = FolderPhotos()
    assert photos.names(tmp_path / "out") == photos.names(DEMO_FOLDER) != ()
    for name in photos.names(DEMO_FOLDER):
        assert photos.read(tmp_path / "out", name) == photos.read(DEMO_FOLDER, name)


@pytest.mark.parametrize("ending", ["", ".zip"])
def test_a_second_round_gives_the_same_bytes(tmp_path: Path, ending: str) -> None:
    first, second = tmp_path / f"first{ending}", tmp_path / f"second{ending}"
    bring(str(DEMO_FOLDER), "demo")
    take("demo", str(first))
    bring(str(first), "again")
    take("again", str(second))
    if ending:
        assert first.read_bytes() == second.read_bytes()
    else:
        assert files_in(first) == files_in(second)


def test_folder_and_zip_hold_the_same_files(tmp_path: Path) -> None:
    bring(str(DEMO_FOLDER), "demo")
    take("demo", str(tmp_path / "out"))
    with taken_zip("demo") as file, zipfile.ZipFile(file) as archive:
        packed = {name: archive.read(name) for name in archive.namelist()}
    assert packed == files_in(tmp_path / "out")


def test_a_workbook_holds_the_tables_and_says_how_many_photos_it_left(tmp_path: Path) -> None:
    bring(str(DEMO_FOLDER), "demo")
    carried = take("demo", str(tmp_path / "out.xlsx"))
    assert carried.left_behind == len(FolderPhotos().names(DEMO_FOLDER))
    assert JobFolder().read(tmp_path / "out.xlsx") == BENCH.jobs.read("demo")


def test_the_name_is_taken_from_the_files(tmp_path: Path, demo_job: Job) -> None:
    JobFolder().write(tmp_path / "Mein Auto Nr. 2.zip", demo_job)
    assert bring(str(tmp_path / "Mein Auto Nr. 2.zip")).name == "mein-auto-nr-2"


def test_a_file_that_gives_no_name_asks_for_one(tmp_path: Path, demo_job: Job) -> None:
    JobFolder().write(tmp_path / "温度", demo_job)
    with pytest.raises(InputProblems) as caught:
        bring(str(tmp_path / "温度"))
    assert caught.value.problems[0].where.table == "name"


def test_photos_lose_their_position_and_other_files_are_told(tmp_path: Path, demo_job: Job) -> None:
    JobFolder().write(tmp_path / "car", demo_job)
    photos = FolderPhotos()
    photos.write(tmp_path / "car", "t1.jpg", gps_photo())
    photos.write(tmp_path / "car", "notes.txt", b"by the oak")
    carried = bring(str(tmp_path / "car"))
    kept = PHOTOS.read("car", "t1.jpg")
    assert Image.open(io.BytesIO(gps_photo())).getexif().get_ifd(0x8825)
    assert not Image.open(io.BytesIO(kept)).getexif().get_ifd(0x8825)
    assert carried.unseen == ("notes.txt",)
    assert PHOTOS.read("car", "notes.txt") == b"by the oak"


def test_a_broken_photo_stops_all_of_it(tmp_path: Path, demo_job: Job) -> None:
    JobFolder().write(tmp_path / "car", demo_job)
    FolderPhotos().write(tmp_path / "car", "t1.jpg", b"no photo")
    FolderPhotos().write(tmp_path / "car", "t2.png", b"no photo")
    with pytest.raises(InputProblems) as caught:
        bring(str(tmp_path / "car"))
    assert [each.where.table for each in caught.value.problems] == ["t1.jpg", "t2.png"]
    assert not BENCH.jobs.exists("car")


def test_nothing_is_half_taken_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bring(str(DEMO_FOLDER), "demo")

    def full(*_: object) -> None:
        raise StorageFailed("the disk is full")

    monkeypatch.setattr(FolderPhotos, "write", full)
    for target in (tmp_path / "out", tmp_path / "out.zip"):
        with pytest.raises(StorageFailed):
            take("demo", str(target))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("ending", ["", ".zip", ".xlsx"])
def test_a_job_in_that_place_stays_unless_it_is_to_be_replaced(
    tmp_path: Path, ending: str, demo: str
) -> None:
    target = tmp_path / f"out{ending}"
    take(demo, str(target))
    with pytest.raises(InputProblems, match="1 problem"):
        take(demo, str(target))
    take(demo, str(target), over=True)
    assert JobFolder().read(target) == BENCH.jobs.read(demo)


def test_a_folder_with_other_things_in_it_keeps_them(tmp_path: Path, demo: str) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    take(demo, str(tmp_path))
    assert (tmp_path / "mine.txt").read_text() == "mine"
    assert JobFolder().read(tmp_path) == BENCH.jobs.read(demo)


def test_a_file_of_another_kind_passes_unlooked_at() -> None:
    assert clean("notes.txt", b"GPS") is None

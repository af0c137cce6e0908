"""Everything that keeps photos keeps the law of `services.ports.Photos`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import attrs
import pytest

from loomwright.loom import InputProblems, NotFound, StorageFailed
from loomwright.services.ports import JobRef, Jobs, Photos
from loomwright.storage import limits
from loomwright.storage.job_folder import FolderPhotos, JobFolder
from loomwright.storage.memory import JobMemory, MemoryPhotos
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.photo_store import DatabasePhotos
from sample import jobs as sample

pytestmark = pytest.mark.django_db
Place = tuple[Jobs, Photos, JobRef]


def in_memory(_: Path) -> Place:
    jobs = JobMemory()
    return jobs, MemoryPhotos(jobs), "a job"


FORMS: dict[str, Callable[[Path], Place]] = {
    "memory": in_memory,
    "folder": lambda folder: (JobFolder(), FolderPhotos(), folder / "a job"),
    "folder as text": lambda folder: (JobFolder(), FolderPhotos(), str(folder / "a job")),
    "zip": lambda folder: (JobFolder(), FolderPhotos(), folder / "A job.ZIP"),
    "database": lambda folder: (DatabaseJobs(), DatabasePhotos(), f"job-{folder.name}"),
}


@pytest.fixture(params=FORMS)
def empty(request: pytest.FixtureRequest, tmp_path: Path) -> Place:
    return FORMS[request.param](tmp_path)


@pytest.fixture
def place(empty: Place) -> Place:
    jobs, _, ref = empty
    jobs.write(ref, sample.job())
    return empty


def public(thing: type) -> set[str]:
    return {name for name in vars(thing) if not name.startswith("_")}


@pytest.mark.parametrize("adapter", [FolderPhotos, MemoryPhotos, DatabasePhotos])
def test_an_adapter_does_what_the_port_says_and_no_more(adapter: type) -> None:
    assert public(adapter) == public(Photos)


def test_what_was_written_last_is_read_and_names_are_sorted(place: Place) -> None:
    _, photos, ref = place
    photos.write(ref, "t2.jpg", b"second")
    photos.write(ref, "t1 Ω.jpg", b"old")
    photos.write(ref, "t1 Ω.jpg", bytes(range(256)) * 300)
    assert photos.names(ref) == ("t1 Ω.jpg", "t2.jpg")
    assert photos.read(ref, "t1 Ω.jpg") == bytes(range(256)) * 300
    assert photos.read(ref, "t2.jpg") == b"second"


def test_an_empty_file_is_kept(place: Place) -> None:
    _, photos, ref = place
    photos.write(ref, "t1.jpg", b"")
    assert photos.read(ref, "t1.jpg") == b""


def test_a_job_without_photos_has_none(place: Place) -> None:
    _, photos, ref = place
    assert photos.names(ref) == ()
    with pytest.raises(NotFound, match=r"t1\.jpg"):
        photos.read(ref, "t1.jpg")


def test_a_photo_goes_with_a_job_that_is_there(empty: Place) -> None:
    jobs, photos, ref = empty
    assert photos.names(ref) == ()
    photos.remove(ref, "t1.jpg")
    with pytest.raises(NotFound):
        photos.read(ref, "t1.jpg")
    with pytest.raises(NotFound):
        photos.write(ref, "t1.jpg", b"x")
    assert not jobs.exists(ref)


def test_removing_takes_one_away_and_twice_does_no_harm(place: Place) -> None:
    _, photos, ref = place
    photos.write(ref, "t1.jpg", b"1")
    photos.write(ref, "t2.jpg", b"2")
    photos.remove(ref, "t1.jpg")
    photos.remove(ref, "t1.jpg")
    assert photos.names(ref) == ("t2.jpg",)
    assert photos.read(ref, "t2.jpg") == b"2"


def test_capitals_make_no_other_photo(place: Place) -> None:
    _, photos, ref = place
    photos.write(ref, "T1.JPG", b"old")
    assert photos.read(ref, "t1.jpg") == b"old"
    photos.write(ref, "t1.jpg", b"new")
    assert photos.names(ref) == ("t1.jpg",)
    assert photos.read(ref, "T1.jpg") == b"new"
    photos.remove(ref, "T1.Jpg")
    assert photos.names(ref) == ()


def test_photos_and_tables_leave_each_other_alone(place: Place) -> None:
    jobs, photos, ref = place
    photos.write(ref, "t1.jpg", b"picture")
    assert jobs.read(ref) == sample.job()
    later = attrs.evolve(sample.job(), survey=())
    jobs.write(ref, later)
    assert photos.names(ref) == ("t1.jpg",)
    assert photos.read(ref, "t1.jpg") == b"picture"
    photos.remove(ref, "t1.jpg")
    assert jobs.read(ref) == later


ODD_NAMES = [
    "", ".", "..", ".t1.jpg", "../t1.jpg", "a/t1.jpg", "a\\t1.jpg", "C:t1.jpg", "a\0.jpg",
    "a\n.jpg", "t1.jpg.", " t1.jpg", "t1?.jpg", "con.jpg", "LPT1", "a\ud800.jpg",
    "x" * 121, "Ω" * 110,
]  # fmt: skip


@pytest.mark.parametrize("name", ODD_NAMES)
def test_a_name_leads_nowhere_else(place: Place, name: str) -> None:
    _, photos, ref = place
    with pytest.raises(StorageFailed, match="is no name of a photo"):
        photos.write(ref, name, b"x")
    with pytest.raises(NotFound):
        photos.read(ref, name)
    photos.remove(ref, name)
    assert photos.names(ref) == ()


def test_a_photo_that_is_too_large_is_refused(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, photos, ref = place
    photos.write(ref, "t1.jpg", b"x" * 100)
    monkeypatch.setattr(limits, "MAX_PHOTO_BYTES", 100)
    photos.write(ref, "t2.jpg", b"y" * 100)
    with pytest.raises(InputProblems) as caught:
        photos.write(ref, "t1.jpg", b"x" * 101)
    assert caught.value.problems[0].where.table == "t1.jpg"
    assert photos.read(ref, "t1.jpg") == b"x" * 100

"""Jobs carried from one storage to another."""

from __future__ import annotations

import pytest

from loomwright.loom import InputProblems, NotFound, Problem, Where
from loomwright.services.bringing import Kept, bring_in, take_out
from loomwright.storage.memory import JobMemory, MemoryPhotos
from sample import jobs as sample


def kept() -> Kept:
    jobs = JobMemory()
    return Kept(jobs, MemoryPhotos(jobs))


def filled(photos: dict[str, bytes] | None = None, **changes: tuple[str, str]) -> Kept:
    place = kept()
    place.jobs.write("a job", sample.job(dict(changes)) if changes else sample.job())
    for name, content in (photos or {}).items():
        place.photos.write("a job", name, content)
    return place


def clean(name: str, content: bytes) -> bytes | None:
    """Takes `GPS` out of pictures; a broken one is refused, other files pass."""
    if name.endswith(".txt"):
        return None
    if content == b"broken":
        raise InputProblems([Problem(Where(name), "the picture is damaged")])
    return content.replace(b"GPS", b"")


def test_a_job_comes_with_its_photos_cleaned() -> None:
    source, target = filled({"a.jpg": b"oneGPS", "b.txt": b"GPS stays"}), kept()
    carried = bring_in(source, target, "a job", "runs-rich", clean)
    assert target.jobs.read("runs-rich") == sample.job() == carried.job
    assert target.photos.read("runs-rich", "a.jpg") == b"one"
    assert target.photos.read("runs-rich", "b.txt") == b"GPS stays"
    assert (carried.photos, carried.unseen) == (2, ("b.txt",))


def test_everything_wrong_with_tables_and_photos_is_told_at_once_and_nothing_written() -> None:
    broken = {"a.jpg": b"broken", "b.jpg": b"broken"}
    source, target = filled(broken, wires=("CU.2,T2.1", "CU.2,T22.1")), kept()
    with pytest.raises(InputProblems) as caught:
        bring_in(source, target, "a job", "runs-rich", clean)
    places = [each.where.table for each in caught.value.problems]
    assert places == ["wires", "a.jpg", "b.jpg"]
    assert not target.jobs.exists("runs-rich")


def test_a_job_of_that_name_stays_unless_it_is_to_be_replaced() -> None:
    source, target = filled({"new.jpg": b"new"}), kept()
    target.jobs.write("runs-rich", sample.job({"joints": ("Battery post", "Old post")}))
    target.photos.write("runs-rich", "old.jpg", b"old")
    before = target.jobs.read("runs-rich")
    with pytest.raises(InputProblems, match="1 problem"):
        bring_in(source, target, "a job", "runs-rich", clean)
    assert target.jobs.read("runs-rich") == before
    bring_in(source, target, "a job", "runs-rich", clean, over=True)
    assert target.jobs.read("runs-rich") == sample.job()
    assert target.photos.names("runs-rich") == ("new.jpg",)


def test_a_name_that_no_address_holds_is_refused_first() -> None:
    with pytest.raises(InputProblems, match="1 problem"):
        bring_in(kept(), kept(), "not there", "a/b", clean)


def test_what_is_not_there_is_not_found() -> None:
    with pytest.raises(NotFound):
        bring_in(kept(), kept(), "not there", "runs-rich", clean)


def test_a_job_taken_out_is_the_same() -> None:
    source, target = filled({"a.jpg": b"one"}), kept()
    carried = take_out(source, target, "a job", "out")
    assert target.jobs.read("out") == sample.job()
    assert target.photos.read("out", "a.jpg") == b"one"
    assert (carried.photos, carried.left_behind) == (1, 0)


def test_photos_left_behind_are_counted() -> None:
    source, target = filled({"a.jpg": b"one"}), kept()
    carried = take_out(source, target, "a job", "out", with_photos=False)
    assert (carried.photos, carried.left_behind) == (0, 1)
    assert target.photos.names("out") == ()


def test_what_is_in_that_place_stays_unless_it_is_to_be_replaced() -> None:
    source, target = filled({"a.jpg": b"one"}), filled({"a.jpg": b"old", "b.jpg": b"mine"})
    with pytest.raises(InputProblems, match="1 problem"):
        take_out(source, target, "a job", "a job")
    assert target.photos.read("a job", "a.jpg") == b"old"
    take_out(source, target, "a job", "a job", over=True)
    assert target.photos.read("a job", "a.jpg") == b"one"
    assert target.photos.read("a job", "b.jpg") == b"mine"


def test_a_job_that_does_not_hold_together_yet_goes_out_whole() -> None:
    source, target = filled(wires=("CU.2,T2.1", "CU.2,T22.1")), kept()
    take_out(source, target, "a job", "out")
    assert target.jobs.inspect("out") == source.jobs.inspect("a job")
    assert any(not each.warning for each in target.jobs.inspect("out")[1])

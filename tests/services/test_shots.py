"""Photos that papers may show: each once, no item before all others, and which are only named."""

from __future__ import annotations

import attrs
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import Job, PhotoRow
from loomwright.services.shots import Shot, caption, shots, sorted_out
from sample import jobs as sample


def job_with(*photos: tuple[str, str | None]) -> Job:
    rows = tuple(PhotoRow(photo=name, item=item) for name, item in photos)
    return attrs.evolve(sample.job(), photos=rows, survey=())


def test_pinned_photos_come_with_their_side_and_graded_ones_with_their_aspect() -> None:
    found = {shot.name: shot for shot in shots(sample.job())}
    assert found["t1-torn-boot.jpg"] == Shot(
        name="t1-torn-boot.jpg", item="T1", part="mating face", note="torn along the back",
        when="2026-05-14 10:05",
    )  # fmt: skip
    assert found["t1.jpg"] == Shot(name="t1.jpg", item="T1", part="boot", note="cracked", when="")
    assert found["bay.jpg"].item == ""


def test_a_photo_that_is_pinned_and_graded_is_told_once() -> None:
    job = sample.job()
    row = attrs.evolve(job.photos[0], photo="T1.JPG")
    found = shots(attrs.evolve(job, photos=(row,)))
    assert [shot.name for shot in found] == ["T1.JPG"]


def test_no_item_takes_the_room_of_all_others() -> None:
    job = job_with(("a1", "T1"), ("a2", "T1"), ("a3", "T1"), ("b1", "T2"), ("c1", None))
    assert [shot.name for shot in shots(job)] == ["a1", "b1", "c1", "a2", "a3"]


def test_what_is_not_there_and_what_is_too_much_is_told_apart() -> None:
    job = job_with(*((f"p{number}", "T1") for number in range(6)))
    there = {"p1": b"", "p2": b"", "p4": b""}
    found = sorted_out(job, there, refused=["p2"], most=3)
    assert [shot.name for shot in found.shown] == ["p1", "p4"]
    assert [shot.name for shot in found.unreadable] == ["p0", "p2", "p3"]
    assert [shot.name for shot in found.beyond] == ["p5"]


@given(
    st.lists(st.tuples(st.booleans(), st.booleans(), st.sampled_from(("T1", "T2", None)))),
    st.integers(1, 5),
)
def test_every_photo_is_shown_or_named_once(
    photos: list[tuple[bool, bool, str | None]], most: int
) -> None:
    job = job_with(*((f"p{number}", item) for number, (_, _, item) in enumerate(photos)))
    readable = [shot.name for shot in shots(job) if photos[int(shot.name[1:])][0]][:most]
    refused = [name for name in readable if photos[int(name[1:])][1]]
    found = sorted_out(job, dict.fromkeys(readable, b""), refused=refused, most=most)
    told = [*found.shown, *found.beyond, *found.unreadable]
    assert sorted(told, key=str) == sorted(shots(job), key=str)
    assert {shot.name for shot in found.shown} == {*readable} - {*refused}


def test_a_caption_says_what_is_known() -> None:
    bare = Shot(name="a.jpg", item="T1", part="", note="", when="")
    assert caption(bare) == "T1."
    full = attrs.evolve(bare, part="mating face", note="green.", when="2026-05-14")
    assert caption(full) == "T1, mating face: green. 2026-05-14"
    assert caption(attrs.evolve(bare, item="")) == "The whole car."

"""Photos pinned to items: names of their own, listed with their pin, taken away whole."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import InputProblems, NotFound
from loomwright.services.entering import Bench, enter
from loomwright.services.pinning import ENDINGS, FACES, Picture, photo_name, pin, pinned, unpin
from loomwright.services.ports import Photos
from loomwright.storage.memory import JobMemory, MemoryPhotos
from loomwright.storage.memory.rows import Kept, MemoryRows
from loomwright.storage.photo_names import is_photo_name
from sample import jobs as sample

REF = "a job"
SHOT = Picture(content=b"a photo", kind="jpeg", taken_at="2026-05-14 10:20")


@pytest.fixture
def kept() -> tuple[Bench, Photos]:
    sheets: Kept = {}
    made = Bench(JobMemory(sheets), MemoryRows(sheets))
    made.jobs.write(REF, sample.job())
    for table in ("photos", "survey"):
        for row in made.rows.rows(REF, table):
            made.rows.remove(REF, table, row.key)
    return made, MemoryPhotos(made.jobs)


def test_photos_are_kept_with_their_rows(kept: tuple[Bench, Photos]) -> None:
    bench, photos = kept
    second = Picture(content=b"another", kind="png", taken_at="2026-05-14 10:21")
    names = pin(
        bench, photos, REF, [SHOT, second], item="T1", face="wire", by="Robin", note="boot torn"
    )
    assert names == ("T1-wire-1.jpg", "T1-wire-2.png")
    assert [photos.read(REF, name) for name in names] == [b"a photo", b"another"]
    first, _ = bench.rows.rows(REF, "photos")
    assert first.cells == {
        "photo": "T1-wire-1.jpg", "item": "T1", "face": "wire", "taken_at": "2026-05-14 10:20",
        "by": "Robin", "note": "boot torn",
    }  # fmt: skip


def test_they_are_listed_with_their_pin(kept: tuple[Bench, Photos]) -> None:
    bench, photos = kept
    pin(bench, photos, REF, [SHOT], item="T1", face="mating", by="Robin")
    pin(bench, photos, REF, [SHOT], item="T2")
    (found,) = pinned(bench.jobs.read(REF), "T1", photos.names(REF))
    assert (found.name, found.pin, found.words) == (
        "T1-mating-1.jpg", "T1, mating face", "T1, mating face",
    )  # fmt: skip
    assert (found.taken, found.there, found.may_go) == ("2026-05-14 10:20, Robin", True, True)


def test_a_photo_that_a_grade_names_is_listed_once(kept: tuple[Bench, Photos]) -> None:
    bench, photos = kept
    pin(bench, photos, REF, [SHOT], item="T1", note="boot")
    for aspect, name in (("boot", "t1-WHOLE-1.jpg"), ("shell", "lost.jpg")):
        row = {"item": "T1", "aspect": aspect, "grade": "2", "photo": name}
        enter(bench, REF, "survey", row)
    found = pinned(bench.jobs.read(REF), "T1", photos.names(REF))
    assert [(each.name, each.there, each.may_go) for each in found] == [
        ("T1-whole-1.jpg", True, True),
        ("lost.jpg", False, False),
    ]
    assert found[1].words == "shell of T1"


def test_a_photo_goes_with_its_row(kept: tuple[Bench, Photos]) -> None:
    bench, photos = kept
    (name,) = pin(bench, photos, REF, [SHOT], item="T1")
    unpin(bench, photos, REF, name)
    assert not photos.names(REF)
    assert not bench.rows.rows(REF, "photos")
    with pytest.raises(NotFound):
        unpin(bench, photos, REF, name)


def test_a_row_whose_photo_is_lost_can_go(kept: tuple[Bench, Photos]) -> None:
    bench, photos = kept
    (name,) = pin(bench, photos, REF, [SHOT], item="T1")
    photos.remove(REF, name)
    unpin(bench, photos, REF, name)
    assert not bench.rows.rows(REF, "photos")


def test_a_photo_of_nothing_is_refused(kept: tuple[Bench, Photos]) -> None:
    bench, photos = kept
    with pytest.raises(InputProblems):
        pin(bench, photos, REF, [SHOT], item="T9")
    with pytest.raises(InputProblems):
        pin(bench, photos, REF, [SHOT], item="T1", face="lid")
    assert not photos.names(REF)
    assert not bench.rows.rows(REF, "photos")


def test_a_name_that_was_used_does_not_come_again(kept: tuple[Bench, Photos]) -> None:
    bench, photos = kept
    names = pin(bench, photos, REF, [SHOT], item="T1", used={"T1-whole-6.jpg"})
    assert names == ("T1-whole-7.jpg",)


ITEMS = st.from_regex(r"[A-Za-z0-9_-]{1,40}", fullmatch=True)


@given(
    item=ITEMS,
    face=st.sampled_from(["", *FACES]),
    kinds=st.lists(st.sampled_from([*ENDINGS]), min_size=1, max_size=5),
)
def test_names_are_plain_and_never_the_same_in_any_capitals(
    item: str, face: str, kinds: list[str]
) -> None:
    taken: list[str] = [item.swapcase() + "-whole-3.JPG"]
    for kind in kinds:
        name = photo_name(item, face, kind, taken)
        assert is_photo_name(name)
        assert name.casefold() not in {each.casefold() for each in taken}
        taken.append(name)

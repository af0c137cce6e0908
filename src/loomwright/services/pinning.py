"""Photos pinned to an item and a side of its face: keeping, naming, listing, taking away."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence

import attrs

from loomwright.loom import Job, PhotoRow
from loomwright.services.entering import Bench, enter, row_of, take_away
from loomwright.services.ports import JobRef, Photos

ENDINGS = {"jpeg": "jpg", "png": "png", "webp": "webp", "svg": "svg"}
"""Ending of a photo's name by what it is."""
FACES = {"mating": "mating face", "wire": "wire side"}
"""What each side of a plug is called."""


@attrs.frozen(kw_only=True)
class Picture:
    """A photo that is to be kept, rid of what it tells of people.

    Attributes
    ----------
    content : the file
    kind : `jpeg`, `png`, `webp` or `svg`
    taken_at : when, as readings write it
    """

    content: bytes
    kind: str
    taken_at: str


@attrs.frozen(kw_only=True)
class Pinned:
    """A photo of an item.

    Attributes
    ----------
    name : of its file
    words : what is to be seen
    pin : what it is pinned to
    taken : when and by whom, empty when not written down
    there : whether the file is with the job
    may_go : whether it has a row of its own and can be taken away here
    """

    name: str
    words: str
    pin: str
    taken: str
    there: bool
    may_go: bool


def pin(
    bench: Bench,
    photos: Photos,
    ref: JobRef,
    pictures: Sequence[Picture],
    *,
    item: str,
    face: str = "",
    by: str = "",
    note: str = "",
    used: Collection[str] = (),
) -> tuple[str, ...]:
    """Keep photos and pin them to an item, all of them or none; the names made for them.

    Parameters
    ----------
    face : `mating`, `wire`, or blank for neither
    used : names that must not come again, beside those the job holds

    Raises
    ------
    InputProblems
        when a row or photo cannot be taken.
    NotFound, StorageFailed
        when the job is not kept, or the storage fails.
    """
    with bench.rows.held(ref):
        taken = {*used, *photos.names(ref), *_spoken_of(bench, ref)}
        kept = []
        for picture in pictures:
            name = photo_name(item, face, picture.kind, taken)
            taken.add(name)
            row = {"photo": name, "item": item, "face": face, "note": note, "by": by}
            enter(bench, ref, "photos", {**row, "taken_at": picture.taken_at})
            photos.write(ref, name, picture.content)
            kept.append(name)
    return tuple(kept)


def unpin(bench: Bench, photos: Photos, ref: JobRef, name: str) -> None:
    """Take a photo away, with its row.

    Raises
    ------
    NotFound
        when it has no row in the table `photos`.
    InputProblems, StorageFailed
        when it cannot be taken away.
    """
    with bench.rows.held(ref):
        row = row_of(bench.rows.rows(ref, "photos"), "photo", name)
        take_away(bench, ref, "photos", row.key)
        if name in photos.names(ref):
            photos.remove(ref, name)


def photo_name(item: str, face: str, kind: str, taken: Iterable[str]) -> str:
    """A name that no photo has: the item, the side or `whole`, the next number.

    Examples
    --------
    >>> photo_name("TE", "mating", "jpeg", ["TE-mating-1.jpg", "te-mating-2.PNG"])
    'TE-mating-3.jpg'
    """
    stem = f"{item}-{face or 'whole'}-"
    numbered = re.compile(rf"{re.escape(stem)}(\d+)(\..*)?\Z", re.IGNORECASE)
    numbers = [int(found[1]) for found in map(numbered.match, taken) if found]
    return f"{stem}{max(numbers, default=0) + 1}.{ENDINGS[kind]}"


def pinned(job: Job, item: str, names: Iterable[str]) -> tuple[Pinned, ...]:
    """The photos of an item: those pinned to it, then those that its grades name.

    Parameters
    ----------
    job : the job
    item : plug, joint, device or wire
    names : of the photos that are with the job
    """
    there = {name.casefold(): name for name in names}
    rows = {row.photo.casefold(): row for row in job.photos}
    graded = (row for row in job.survey if row.item == item and row.photo)
    found = {row.photo.casefold(): _pinned(row) for row in job.photos if row.item == item}
    for look in graded:
        name = look.photo or ""
        if name.casefold() not in rows:
            words = look.note or f"{look.aspect} of {item}"
            found.setdefault(name.casefold(), _bare(name, words, f"{item}, {look.aspect}"))
    return tuple(
        attrs.evolve(each, name=there.get(key, each.name), there=key in there)
        for key, each in found.items()
    )


def _pinned(row: PhotoRow) -> Pinned:
    side = FACES.get(row.face or "", "")
    pin_words = ", ".join(filter(None, (row.item, side)))
    return attrs.evolve(
        _bare(row.photo, row.note or pin_words, pin_words),
        taken=", ".join(filter(None, (row.taken_at, row.by))),
        may_go=True,
    )


def _bare(name: str, words: str, pin_words: str) -> Pinned:
    return Pinned(name=name, words=words, pin=pin_words, taken="", there=False, may_go=False)


def _spoken_of(bench: Bench, ref: JobRef) -> Iterator[str]:
    """Names in the tables; their files may not be there yet."""
    for table in ("photos", "survey"):
        yield from (row.cells.get("photo", "") for row in bench.rows.rows(ref, table))

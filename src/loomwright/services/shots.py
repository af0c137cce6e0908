"""The photos that a job speaks of, with what each shows: those pinned, then the survey's."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping

import attrs

from loomwright.loom import Job
from loomwright.services.pinning import FACES

__all__ = ["MOST_SHOWN", "Shot", "caption", "shots", "sorted_out"]

MOST_SHOWN = 24
"""Photos that a paper shows; the rest are named."""


@attrs.frozen(kw_only=True)
class Shot:
    """One photo.

    Attributes
    ----------
    name : of its file, as the job writes it
    item : what it shows; empty for the whole job
    part : side of a plug or aspect that it shows; may be empty
    note : what is to be seen; may be empty
    when : as written; may be empty
    """

    name: str
    item: str
    part: str
    note: str
    when: str


@attrs.frozen(kw_only=True)
class SortedOut:
    """Photos by whether they are shown.

    Attributes
    ----------
    shown : those that are, in the order of `shots`
    beyond : those over the most that are shown
    unreadable : those that are not with the job, or are no picture that can be printed
    """

    shown: tuple[Shot, ...] = ()
    beyond: tuple[Shot, ...] = ()
    unreadable: tuple[Shot, ...] = ()


def shots(job: Job) -> tuple[Shot, ...]:
    """Every photo once; the first ones of all items come before anybody's second one."""
    found: dict[str, Shot] = {}
    for shot in (*_pinned(job), *_graded(job)):
        found.setdefault(shot.name.casefold(), shot)
    number: Counter[str] = Counter()
    turn = {}
    for name, shot in found.items():
        turn[name] = number[shot.item]
        number[shot.item] += 1
    return tuple(found[name] for name in sorted(found, key=lambda name: turn[name]))


def sorted_out(
    job: Job,
    there: Mapping[str, bytes],
    *,
    refused: Collection[str] = (),
    most: int = MOST_SHOWN,
) -> SortedOut:
    """Which photos are shown and which are only named.

    Parameters
    ----------
    job : the job
    there : the first ones of `shots(job)` that can be read, by name, as many as are shown
    refused : names of those among them that cannot be set in type
    most : how many are shown
    """
    found: dict[str, list[Shot]] = {"shown": [], "beyond": [], "unreadable": []}
    looked_at = 0
    for shot in shots(job):
        if looked_at == most:
            found["beyond"].append(shot)
            continue
        looked_at += shot.name in there
        may = shot.name in there and shot.name not in refused
        found["shown" if may else "unreadable"].append(shot)
    return SortedOut(**{name: tuple(each) for name, each in found.items()})


def caption(shot: Shot) -> str:
    """What stands below it: `TE, mating face: boot torn along the back. 2026-05-14 10:05`."""
    at = ", ".join(filter(None, (shot.item or "The whole car", shot.part)))
    said = f"{at}: {shot.note.rstrip(' .')}" if shot.note else at
    return f"{said}. {shot.when}" if shot.when else f"{said}."


def _pinned(job: Job) -> Iterator[Shot]:
    for row in job.photos:
        yield Shot(
            name=row.photo,
            item=row.item or "",
            part=FACES.get(row.face or "", ""),
            note=row.note or "",
            when=row.taken_at or "",
        )


def _graded(job: Job) -> Iterator[Shot]:
    for look in job.survey:
        if look.photo:
            yield Shot(
                name=look.photo, item=look.item, part=look.aspect, note=look.note or "", when=""
            )

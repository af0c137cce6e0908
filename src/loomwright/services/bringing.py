"""Carry a job with its photos from one storage to another, without loss."""

from __future__ import annotations

import os
from collections.abc import Callable

import attrs

from loomwright.loom import InputProblems, Job, Problem, Where
from loomwright.services.job_names import checked_name
from loomwright.services.ports import JobRef, Jobs, Photos

Clean = Callable[[str, bytes], bytes | None]
"""A photo by its name and content without what it tells of places and people; None for a file that
it cannot look into. Raises InputProblems for a broken photo."""


@attrs.frozen
class Kept:
    """A storage: its jobs and their photos."""

    jobs: Jobs
    photos: Photos


@attrs.frozen(kw_only=True)
class Carried:
    """What was carried.

    Attributes
    ----------
    name : where it is kept now
    job : as it is kept now
    photos : how many
    left_behind : photos that the new place cannot hold
    unseen : files that were kept as they are, whatever they tell of places and people
    """

    name: str
    job: Job
    photos: int = 0
    left_behind: int = 0
    unseen: tuple[str, ...] = ()


def bring_in(
    source: Kept, target: Kept, ref: JobRef, name: str, clean: Clean, *, over: bool = False
) -> Carried:
    """Carry a job of files into the workshop.

    All is read and looked at before the first thing is written.

    Parameters
    ----------
    ref : where the source keeps it
    name : what it is to be called
    clean : takes out of a photo what it tells of places and people
    over : replace the job of that name

    Raises
    ------
    InputProblems
        holding all that is wrong with the tables and photos, or that the name is taken.
    NotFound, StorageFailed
        when there is no such job, or a storage fails.
    """
    checked_name(name, where="name")
    if target.jobs.exists(name) and not over:
        what = f'there is a job "{name}" already, and it stays as it is'
        raise InputProblems(
            [Problem(Where("name"), what, "give another name, or say that it is to be replaced")]
        )
    job, photos = _looked_at(source, ref, clean)
    target.jobs.write(name, job)
    unseen = []
    for photo in photos:
        content = source.photos.read(ref, photo)
        cleaned = clean(photo, content)
        target.photos.write(name, photo, content if cleaned is None else cleaned)
        if cleaned is None:
            unseen.append(photo)
    for photo in {*target.photos.names(name)} - {*photos}:
        target.photos.remove(name, photo)
    return Carried(name=name, job=job, photos=len(photos), unseen=tuple(unseen))


def take_out(
    source: Kept,
    target: Kept,
    name: str,
    ref: JobRef,
    *,
    with_photos: bool = True,
    over: bool = False,
) -> Carried:
    """Carry a job of the workshop into files.

    Parameters
    ----------
    name : what the workshop calls it
    ref : where it is to be kept
    with_photos : whether the new place can hold photos
    over : replace the tables and the photos of the same names that are there; other files stay

    Raises
    ------
    InputProblems
        when there is a job already.
    NotFound, StorageFailed
        when there is no such job, or a storage fails.
    """
    # Each row of the workshop's can be read; that they do not fit together yet loses nobody a row.
    job, _ = source.jobs.inspect(name)
    if target.jobs.exists(ref) and not over:
        what = "there is a job in this place already, and it stays as it is"
        raise InputProblems([Problem(Where(os.fspath(ref)), what, "choose another place")])
    target.jobs.write(ref, job)
    photos = source.photos.names(name)
    if not with_photos:
        return Carried(name=os.fspath(ref), job=job, left_behind=len(photos))
    for photo in photos:
        target.photos.write(ref, photo, source.photos.read(name, photo))
    return Carried(name=os.fspath(ref), job=job, photos=len(photos))


def _looked_at(source: Kept, ref: JobRef, clean: Clean) -> tuple[Job, tuple[str, ...]]:
    """The job and the names of its photos.

    Raises
    ------
    InputProblems
        holding all that is wrong with either.
    """
    problems: list[Problem] = []
    job, told = source.jobs.inspect(ref)
    problems += [each for each in told if not each.warning]
    photos: tuple[str, ...] = ()
    try:
        photos = source.photos.names(ref)
    except InputProblems as refusal:  # what holds both is damaged, and that was told already
        problems += [each for each in refusal.problems if each not in problems]
    for photo in photos:
        try:
            clean(photo, source.photos.read(ref, photo))
        except InputProblems as refusal:
            problems += refusal.problems
    if problems:
        raise InputProblems(problems)
    return job, photos

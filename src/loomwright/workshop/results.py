"""What the services say of each job, kept until the job changes."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager

import attrs

from loomwright.loom import Job
from loomwright.services.workup import WorkUp
from loomwright.workshop.database import DatabaseJobs, stamp

MOST_KEPT = 6
"""Jobs whose results are kept at the same time."""

_USUAL_OFFER = "what pays"


@attrs.frozen
class Worked:
    """A job as it stands, and what the services say of it.

    Attributes
    ----------
    job : all of it
    results : worked out of it, each when it is first asked for; its job has no tasks and photos,
        so that a step that is ticked off does not begin everything anew
    """

    job: Job
    results: WorkUp


@attrs.define(eq=False)
class _Kept:
    stamp: int
    worked: Worked
    lock: threading.Lock = attrs.field(factory=threading.Lock)


_kept: OrderedDict[tuple[str, str], _Kept] = OrderedDict()
_kept_lock = threading.Lock()


@contextmanager
def worked_up(ref: str, offer: str = "") -> Iterator[Worked]:
    """A job as it stands now with its results; whoever else wants them waits.

    Parameters
    ----------
    ref : name of the job
    offer : the offer that the work follows; blank for the one that the job names

    Raises
    ------
    InputProblems
        when the job does not hold together.
    NotFound, StorageFailed
        when it cannot be read.
    """
    kept = _standing(ref, offer)
    with kept.lock:
        yield kept.worked


def _standing(ref: str, offer: str) -> _Kept:
    now = stamp(ref)
    with _kept_lock:
        before = _kept.get((ref, offer))
    if before is None or before.stamp != now:
        job = DatabaseJobs().read(ref)  # one that does not hold together is kept by nobody
        before = _renewed(before, job, now, offer)
    with _kept_lock:
        _kept[ref, offer] = before
        _kept.move_to_end((ref, offer))
        while len(_kept) > MOST_KEPT:
            _kept.popitem(last=False)
    return before


def _renewed(before: _Kept | None, job: Job, now: int, offer: str) -> _Kept:
    """Results of a changed job, with what the change leaves as it was."""
    asked = attrs.evolve(job, tasks=(), photos=())
    old = before.worked.results if before else None
    if before and old and old.job == asked:
        return _Kept(now, Worked(job, old), before.lock)
    fresh = WorkUp(asked, offer=offer or job.about.offer or _USUAL_OFFER)
    if old and "diagnosed" in vars(old) and _found_from(old.job) == _found_from(asked):
        fresh.diagnosed = old.diagnosed
    return _Kept(now, Worked(job, fresh))


def _found_from(job: Job) -> Job:
    """What the diagnosis rests on: all but what comes after it."""
    about = attrs.evolve(job.about, offer=None, title="", currency=None, labour_rate=None)
    return attrs.evolve(
        job, about=about, proof=(), crimps=(), catalogue=(), suppliers=(), offers=(), stock=()
    )

"""What the services say of each job, kept until the job changes."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager

import attrs

from loomwright.loom import InputProblems, Job
from loomwright.services.plan import followed_offer
from loomwright.services.wire_use import as_planned
from loomwright.services.workup import WorkUp
from loomwright.workshop.database import DatabaseJobs, stamp

MOST_KEPT = 6
"""Jobs whose results are kept at the same time."""

_FOUND = ("diagnosed", "suspects", "expected", "certified", "sees")
"""Results that rest on loom, readings and survey alone."""


@attrs.frozen
class Worked:
    """A job as it stands, and what the services say of it.

    Attributes
    ----------
    job : all of it
    results : worked out of it, each when it is first asked for; its job has no tasks and photos
        and the spare wire there was before the work, so that a step that is ticked off or a cut
        that is counted does not begin everything anew
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


def at_hand(ref: str) -> Worked:
    """A job as it stands with what is worked out of it already; nobody is waited for.

    Only what `WorkUp.has` says may be asked of its results: others may be at work on the rest.

    Raises
    ------
    InputProblems, NotFound, StorageFailed
        as `worked_up`.
    """
    return _standing(ref, "").worked


def ready(ref: str) -> WorkUp | None:
    """The same for a page that needs no more of the job: its results alone.

    None where nothing was ever worked out of the job, or where it does not hold together.

    Raises
    ------
    NotFound, StorageFailed
        when it cannot be read.
    """
    now = stamp(ref)
    with _kept_lock:
        kept = _kept.get((ref, ""))
    if kept is None or kept.stamp == now:
        return kept.worked.results if kept else None
    try:
        return at_hand(ref).results
    except InputProblems:
        return None


def forget() -> None:
    """Keep no results any more: all is worked out anew."""
    with _kept_lock:
        _kept.clear()


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
    asked = attrs.evolve(as_planned(job), tasks=(), photos=())
    old = before.worked.results if before else None
    if before and old and old.job == asked:
        return _Kept(now, Worked(job, old), before.lock)
    fresh = WorkUp(asked, offer=followed_offer(job, offer))
    if before is None or before.lock.locked():  # somebody is at work on them: theirs alone
        return _Kept(now, Worked(job, fresh))
    _take_over(before.worked.results, fresh)
    return _Kept(now, Worked(job, fresh), before.lock)


def _take_over(old: WorkUp, fresh: WorkUp) -> None:
    """Give the results of a changed job what the change leaves as it was."""
    was, now = _found_from(old.job), _found_from(fresh.job)
    if was == now:
        vars(fresh).update({name: vars(old)[name] for name in _FOUND if name in vars(old)})
    if old.has("model") and attrs.evolve(was, readings=()) == attrs.evolve(now, readings=()):
        fresh.model = old.model


def _found_from(job: Job) -> Job:
    """What all that is found rests on: the job but for what comes after it."""
    about = attrs.evolve(job.about, offer=None, currency=None, labour_rate=None)
    return attrs.evolve(
        job, about=about, proof=(), crimps=(), catalogue=(), suppliers=(), offers=(), stock=()
    )

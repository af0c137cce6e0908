"""How far each job is, kept until the job changes: the list of jobs opens at once."""

from __future__ import annotations

import attrs

from loomwright.loom import Job
from loomwright.services.standing import Standing, standing_by, unsound
from loomwright.services.workup import WorkUp
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import stamp
from loomwright.workshop.results import ready

MOST_KEPT = 500


@attrs.frozen
class _Kept:
    """How far a job with that stamp is, told from so many results."""

    stamp: int
    told_from: int
    standing: Standing


_known: dict[str, _Kept] = {}


def stands(job: str) -> Standing:
    """How far a job is: by what is written down, and what was worked out of it meanwhile.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    now, results = stamp(job), ready(job)
    kept = _known.get(job)
    if kept is not None and kept.stamp == now and kept.told_from >= _results_in(results):
        return kept.standing
    known, problems = BENCH.jobs.inspect(job)
    unsound_ = unsound(problems)
    return _keep(job, now, results, unsound_) if unsound_ else keep(job, now, known, results)


def keep(ref: str, now: int, job: Job, results: WorkUp | None) -> Standing:
    """Keep how far a job is by its results.

    Parameters
    ----------
    ref : name of the job
    now : the job's stamp, read before the job: a change in between makes it void
    job : all of it
    results : what is worked out of it
    """
    return _keep(ref, now, results, standing_by(job, results))


def _keep(ref: str, now: int, results: WorkUp | None, found: Standing) -> Standing:
    if len(_known) >= MOST_KEPT:
        _known.clear()
    _known[ref] = _Kept(now, _results_in(results), found)
    return found


def _results_in(known: WorkUp | None) -> int:
    return 0 if known is None else known.has("suspects") + known.has("work")

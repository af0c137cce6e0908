"""How far each job is, kept until the job changes: the list of jobs opens at once."""

from __future__ import annotations

from loomwright.services.standing import Standing, standing, unsound
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import stamp

MOST_KEPT = 500

_known: dict[str, tuple[int, Standing]] = {}


def stands(job: str) -> Standing:
    """How far a job is: by what is written down, or by what was worked out of it meanwhile.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    now = stamp(job)
    kept = _known.get(job)
    if kept is not None and kept[0] == now:
        return kept[1]
    known, problems = BENCH.jobs.inspect(job)
    return keep(job, now, unsound(problems) or standing(known))


def keep(job: str, now: int, found: Standing) -> Standing:
    """Keep how far a job is.

    Parameters
    ----------
    now : the job's stamp, read before what was found out: a change in between makes it void
    """
    if len(_known) >= MOST_KEPT:
        _known.clear()
    _known[job] = (now, found)
    return found

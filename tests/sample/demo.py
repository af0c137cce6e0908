"""The demo job worked out once a process, and jobs like it that share what was found of it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import attrs

from loomwright.loom import Job
from loomwright.services.workup import WorkUp
from loomwright.storage.job_folder import JobFolder

FOLDER = Path(__file__).resolve().parents[2] / "examples" / "tarn-2300"
LATER = (
    "proof", "crimps", "warmings", "fixings", "catalogue", "suppliers", "offers", "stock", "tasks",
    "photos",
)  # fmt: skip
"""Tables that nothing is found from: they come after the readings before the work."""


@cache
def demo_job() -> Job:
    """The job as its folder holds it."""
    return JobFolder().read(FOLDER)


@cache
def demo_known(offer: str = "what pays") -> WorkUp:
    """Everything that is known of the demo; change nothing in it.

    Only the plan, and what follows it, is another for another offer.
    """
    if offer == "what pays":
        return WorkUp(demo_job())
    known = like(demo_known(), demo_job(), offer=offer)
    known.weighed = demo_known().weighed
    return known


def like(known: WorkUp, job: Job, *, offer: str = "what pays") -> WorkUp:
    """The work-up of a job of the same loom, survey and readings, with what was found of them.

    Raises
    ------
    ValueError
        when the job differs in what the findings rest on.
    """
    if _found_from(job) != _found_from(known.job):
        raise ValueError("this job differs in more than tables that nothing is found from")
    other = WorkUp(job, offer=offer)
    other.model, other.diagnosed, other.suspects = known.model, known.diagnosed, known.suspects
    return other


def _found_from(job: Job) -> Job:
    """The job but for what nothing is found from; a tax and what leftovers are worth are no cause.

    The currency, an hour's price and the chosen offer are asked after once all is found.
    """
    about = attrs.evolve(job.about, offer=None, currency=None, labour_rate=None)
    settings = tuple(row for row in job.settings if row.name not in ("vat", "leftover_value"))
    return attrs.evolve(job, about=about, settings=settings, **dict.fromkeys(LATER, ()))

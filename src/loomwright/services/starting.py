"""Start a job: of the same car's earlier job, or of what the workshop has on its shelf."""

from __future__ import annotations

import attrs

from loomwright.loom import About, Job

__all__ = ["SYMPTOM_WORDS", "started"]

ON_THE_SHELF = ("meters", "catalogue", "suppliers", "offers", "stock", "settings")
"""Tables that belong to the workshop rather than to one car."""
OF_THE_CAR = (
    "plugs", "joints", "wires", "devices", "elements", "curves", "branches", "fixings", "zones",
    "fuelling",
)  # fmt: skip
"""Tables that say what a car's loom is, whatever is wrong with it."""

SYMPTOM_WORDS: dict[str, str] = {
    "cold_no_start": "does not start cold",
    "no_start": "does not start at all",
    "hot_start": "starts badly hot",
    "runs_rich": "runs rich, drinks fuel",
    "runs_lean": "runs lean",
    "one_cylinder": "one cylinder is out",
    "several_cylinders": "several cylinders are out",
    "cuts_out": "cuts out",
    "hesitates": "hesitates",
    "idle_hunts": "idle hunts",
}
"""The symptoms that are weighed, as an owner says them."""


def started(earlier: Job | None, shelf: Job | None, about: About) -> Job:
    """A job in which nothing was done yet.

    Parameters
    ----------
    earlier : a job of the same car, whose loom and parts are taken over; not what was measured,
        seen, tried or done then
    shelf : what the workshop has, for a job that starts without an earlier one
    about : what the job is about; a blank currency or rate is taken over as well, and of an
        earlier job the vehicle
    """
    source = earlier or shelf
    if source is None:
        return Job(about=about)
    tables = (*OF_THE_CAR, *ON_THE_SHELF) if earlier else ON_THE_SHELF
    usual = source.about
    rate = usual.labour_rate if about.labour_rate is None else about.labour_rate
    about = attrs.evolve(
        about,
        vehicle=about.vehicle or (usual.vehicle if earlier else None),
        currency=about.currency or usual.currency,
        labour_rate=rate,
    )
    return attrs.evolve(Job(about=about), **{name: getattr(source, name) for name in tables})

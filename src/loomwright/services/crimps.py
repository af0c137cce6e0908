"""What trial crimps prove, and how far the spare wire of each plug goes."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright import standards
from loomwright.loom import Job, NotFound
from loomwright.physics.tolerance import proven_share
from loomwright.repair.crimp_trials import STANDARD, SetUp, crimp_trials
from loomwright.repair.spare_wire import Ledger, scrap_record, spare_wire
from loomwright.services.numbers import plain
from loomwright.standards import CrimpLook, Default, PullForce

__all__ = [
    "STANDARD",
    "CrimpLook",
    "CrimpsReport",
    "Default",
    "Ledger",
    "PullForce",
    "SetUp",
    "crimps",
    "good_crimp",
    "height_tolerance",
    "least_pull",
    "shown_good",
]


@attrs.frozen(kw_only=True)
class CrimpsReport:
    """Trials by set-up, and the ledger of every plug.

    Attributes
    ----------
    job : title
    standard : key of the standard whose least forces are asked for
    set_ups : what the trials of each show, in the order of the sheet
    scrap : chance that a crimp fails, by the trials and common practice together
    ledgers : the wire of every plug, in the order of the sheet
    """

    job: str
    standard: str
    set_ups: tuple[SetUp, ...]
    scrap: float
    ledgers: tuple[Ledger, ...]

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "standard": self.standard,
            "set_ups": [_set_up(each) for each in self.set_ups],
            "scrap": plain(self.scrap, 3),
            "ledgers": [_ledger(each) for each in self.ledgers],
        }


def crimps(job: Job, *, standard: str = STANDARD) -> CrimpsReport:
    """Judge the trial crimps and count the wire.

    Raises
    ------
    NotFound : there is no such standard
    OutOfRange : a height flatter than a crimp can be
    """
    figures = standards.values({row.name: row.value for row in job.settings})
    set_ups = crimp_trials(job, standard=standard)
    scrap = scrap_record(set_ups, figures=figures)
    return CrimpsReport(
        job=job.about.title,
        standard=standard,
        set_ups=set_ups,
        scrap=scrap.mean,
        ledgers=spare_wire(job, scrap=scrap),
    )


def good_crimp(section_mm2: float | None) -> tuple[CrimpLook, ...]:
    """What a good crimp looks like on that section."""
    return standards.crimp_looks(section_mm2)


def height_tolerance(job: Job) -> Default:
    """Half width of the crimp heights of one set-up, with its standing."""
    shipped = standards.default("crimp_height_tolerance")
    own = {row.name: row.value for row in job.settings}.get("crimp_height_tolerance")
    return shipped if own is None else attrs.evolve(shipped, value=own, note="of this job")


def least_pull(section_mm2: float | None, *, standard: str = STANDARD) -> PullForce | None:
    """The least force asked for; None where the section is not known or not in the standard."""
    if section_mm2 is None:
        return None
    try:
        return standards.pull_force(section_mm2, standard=standard)
    except NotFound:
        return None


def shown_good(good: int, *, confidence: float = 0.95) -> float:
    """Share that is good at least, after so many good trials and no other.

    Examples
    --------
    >>> round(shown_good(5), 3), round(shown_good(30), 3)  # the fifth and thirtieth root of 0.05
    (0.549, 0.905)
    """
    return proven_share(good, failures=0, confidence=confidence)


def _set_up(each: SetUp) -> dict[str, Any]:
    def told(value: float | None) -> float | str | None:
        return None if value is None else plain(value, 3)

    return {
        "set_up": each.set_up,
        "terminal": each.terminal,
        "section_mm2": each.section_mm2,
        "die": each.die,
        "trials": len(each.trials),
        "looks": dict(each.looks),
        "broke_wire": each.broke_wire,
        "slipped": each.slipped,
        "height_mm": {"mean": told(each.heights.mean), "scatter": told(each.heights.scatter)},
        "pull_n": {
            "mean": told(each.pulls.mean),
            "scatter": told(each.pulls.scatter),
            "least": told(each.pulls.worst),
            "asked": None if each.least is None else each.least.pull_n,
            "bound": told(each.bound_n),
        },
        "passes": each.passes,
        "shown_good": plain(each.proof.share, 3),
        "more_trials": each.proof.more,
        "said": list(each.said),
        "warnings": list(each.warnings),
    }


def _ledger(each: Ledger) -> dict[str, Any]:
    return {
        "plug": each.plug,
        "ends": each.ends,
        "spare_mm": each.spare_mm,
        "loop_mm": each.loop_mm,
        "retry_mm": each.retry_mm,
        "outlooks": [
            {
                "copper": look.copper,
                "first_cut_mm": look.first_cut_mm,
                "rounds": look.rounds,
                "chance": plain(look.chance, 3),
                "stop_after": look.stop_after,
                "terminals": look.terminals,
            }
            for look in each.outlooks
        ],
        "advice": each.advice,
    }

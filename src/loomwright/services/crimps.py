"""What trial crimps prove, and how far the spare wire of each plug goes."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright import standards
from loomwright.loom import Job
from loomwright.repair.crimp_trials import STANDARD, SetUp, crimp_trials
from loomwright.repair.spare_wire import Ledger, scrap_record, spare_wire
from loomwright.services.numbers import plain

__all__ = ["STANDARD", "CrimpsReport", "Ledger", "SetUp", "crimps"]


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

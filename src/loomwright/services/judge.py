"""Judge a loom: what state everything is in, and which parts of the catalogue fit where."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import Any

import attrs

from loomwright import standards
from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job, Plug
from loomwright.repair.condition import (
    EXPECTED,
    BranchCondition,
    ItemCondition,
    Looked,
    LoomCondition,
    branch_conditions,
    conditions,
    loom_condition,
)
from loomwright.repair.fit import FITS, MISFIT, UNKNOWN, Check
from loomwright.repair.needs import Needs
from loomwright.repair.plug_fit import (
    CRIMPED,
    IN_PART,
    RENEWED_FROM,
    Crimping,
    PartFit,
    PlacedCheck,
    PlugFit,
    crimping,
    plug_fit,
)

__all__ = [
    "FITS",
    "IN_PART",
    "MISFIT",
    "RENEWED_FROM",
    "UNKNOWN",
    "BranchCondition",
    "Check",
    "Crimping",
    "ItemCondition",
    "JudgeReport",
    "LoomCondition",
    "PartFit",
    "PlacedCheck",
    "PlugFit",
    "judge",
    "seen_bad",
]


@attrs.frozen(kw_only=True)
class JudgeReport:
    """What the survey and the catalogue say.

    Attributes
    ----------
    job : title
    items : every plug, wire, joint, and surveyed device, worst first
    branches, loom : what the branch rule and the loom rule say
    fits : parts at the plugs, in the order of `items`
    crimping : a line per terminal and splice of the catalogue
    """

    job: str
    items: tuple[ItemCondition, ...]
    branches: tuple[BranchCondition, ...]
    loom: LoomCondition
    fits: tuple[PlugFit, ...]
    crimping: tuple[Crimping, ...]

    @property
    def not_looked_at(self) -> dict[tuple[str, str], tuple[str, ...]]:
        """Names by kind of item and aspect, for what should be looked at and was not."""
        found: dict[tuple[str, str], list[str]] = defaultdict(list)
        for item in self.items:
            for aspect in item.not_looked_at:
                found[item.kind, aspect].append(item.item)
        order = [*EXPECTED]
        return {
            key: tuple(names)
            for key, names in sorted(found.items(), key=lambda pair: order.index(pair[0][0]))
        }

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "items": [_item(each) for each in self.items],
            "branches": [_branch(each) for each in self.branches],
            "loom": {
                "verdict": self.loom.verdict,
                "replace": list(self.loom.replace),
                "not_decided": list(self.loom.not_decided),
                "limit": self.loom.limit,
            },
            "fits": [each.json() for each in self.fits],
            "crimping": [each.json() for each in self.crimping],
            "not_looked_at": [
                {"kind": kind, "aspect": aspect, "items": list(names)}
                for (kind, aspect), names in self.not_looked_at.items()
            ],
        }


def judge(job: Job) -> JudgeReport:
    """Grade what was surveyed, apply the rules, and hold the catalogue against the plugs."""
    value = standards.values({row.name: row.value for row in job.settings})
    items = conditions(job)
    branches = branch_conditions(job, items, value=value)
    needs = Needs(job, value)
    plugs: dict[str, Plug] = {plug.plug: plug for plug in reversed(job.plugs)}
    surveyed = [each for each in items if each.kind == "plug"]
    return JudgeReport(
        job=job.about.title,
        items=items,
        branches=branches,
        loom=loom_condition(branches, value=value),
        fits=tuple(plug_fit(plugs[each.item], each, needs) for each in surveyed),
        crimping=tuple(crimping(part, needs) for part in job.catalogue if part.kind in CRIMPED),
    )


def seen_bad(job: Job, report: JudgeReport) -> Iterator[tuple[str, tuple[Looked, ...]]]:
    """Items with what the eye found bad about them (`bad_grade`), the worst first."""
    least = own_values(job)["bad_grade"]
    for item in report.items:
        bad = tuple(each for each in item.looked if each.grade >= least)
        if bad:
            yield item.item, bad


def _item(item: ItemCondition) -> dict[str, Any]:
    return {
        "item": item.item,
        "kind": item.kind,
        "worst": item.worst,
        "verdict": item.verdict,
        "looked": [
            {
                "aspect": each.aspect,
                "grade": each.grade,
                "looks_like": each.looks_like,
                "verdict": each.verdict,
                "note": each.note,
                "by_strands": each.by_strands,
            }
            for each in item.looked
        ],
        "not_looked_at": list(item.not_looked_at),
    }


def _branch(branch: BranchCondition) -> dict[str, Any]:
    return {
        "branch": branch.branch,
        "verdict": branch.verdict,
        "wires": list(branch.wires),
        "bad": list(branch.bad),
        "not_looked_at": list(branch.not_looked_at),
        "limit": branch.limit,
    }

"""Proving the loom sound: the readings that would show a fault, if there were one."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.services.certify import CertifyReport
from loomwright.services.certify_words import (
    ONCE,
    SOUND_THEN,
    cautions_once,
    covered,
    then_covered,
    would_cover,
)
from loomwright.services.reading_words import Step, steps
from loomwright.workshop.asking import asking_url
from loomwright.workshop.pages.not_yet import too_early
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import worked_up

TITLE = "Prove the loom sound"


@attrs.frozen(kw_only=True)
class Planned:
    """One reading of the plan."""

    words: str
    steps: tuple[Step, ...]
    url: str
    points: str


@page("certify.html")
@attrs.frozen(kw_only=True)
class CertifyPage:
    """How far the loom is shown to be sound, and what would show more."""

    covered: str = told("What the readings so far have covered")
    would_cover: str = told("How many readings would cover more")
    plan: tuple[Planned, ...] = told("The readings, in their order")
    once: str = told("That a caution is told once; blank where there is none")
    then: str = told("What holds when each reading is as expected")


def certify_page(request: HttpRequest, job: str) -> HttpResponse:
    """Show the plan."""
    if early := too_early(request, job, "certified", title=TITLE, here="Measure"):
        return early
    with worked_up(job) as worked:
        shown = _certify_page(job, worked.results.certified)
    return show(request, shown, title=TITLE, job=job, here="Measure")


def _certify_page(job: str, report: CertifyReport) -> CertifyPage:
    plan = []
    for planned, new in cautions_once(report):
        probe = planned.step.candidate.probe
        plan.append(
            Planned(
                words=then_covered(planned),
                steps=steps(planned.words, new),
                url=asking_url(job, probe),
                points=f"{probe.plus} to {probe.minus}",
            )
        )
    return CertifyPage(
        covered=covered(report),
        would_cover=would_cover(report),
        plan=tuple(plan),
        once=ONCE if any(each.cautions for each in report.plan) else "",
        then=SOUND_THEN,
    )

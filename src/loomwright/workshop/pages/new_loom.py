"""A new loom: what it is, where its splices go, its bundles, wires, and the order of laying."""

from __future__ import annotations

from collections.abc import Iterator

import attrs
from django.http import HttpRequest, HttpResponse
from django.urls import reverse

from loomwright.loom import InputProblems, Problem
from loomwright.services.build import BuildReport
from loomwright.services.build_told import (
    BundleTold,
    SpliceTold,
    StepTold,
    WireTold,
    bundles_told,
    laying_told,
    splices_told,
    unsaid,
    wires_told,
)
from loomwright.services.build_words import (
    CAUTIONS,
    NOT_RECKONED,
    gap,
    glance,
    unfit_fixings,
    unlike_words,
)
from loomwright.services.words import sentence
from loomwright.workshop.naming import ONE_ROW, Rows
from loomwright.workshop.pages.not_yet import nothing_yet, too_early
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.pages.table import back_here
from loomwright.workshop.results import Worked, worked_up

HERE = "New loom"
_NO_TREE = (
    "A new loom is laid out along its branches, and what is written down of them is no loom yet."
)


@attrs.frozen
class Mend:
    """Something that is not known, and where it is filled in; the address may be blank."""

    words: str
    url: str


@page("new_loom.html")
@attrs.frozen(kw_only=True)
class NewLoomPage:
    """The new loom of a job."""

    glance: str = told("What the new loom is")
    cautions: tuple[str, ...] = told("What can hurt people or parts")
    lacking: tuple[Mend, ...] = told("What is not known, and where it is filled in")
    splices: tuple[SpliceTold, ...] = told("The splices, each with its spot and why not elsewhere")
    gap: str = told("How much better the spots could be; blank where they are proven best")
    bundles: tuple[BundleTold, ...] = told("The bundles, branch by branch")
    unfit: tuple[Mend, ...] = told("Clips and grommets that do not fit, or not surely")
    wires: tuple[WireTold, ...] = told("The wires with their lengths")
    unlike: str = told("Wires unlike the old loom's; blank where none is")
    steps: int = told("How many steps the laying has")
    not_reckoned: tuple[str, ...] = told("What the figures leave out")


@page("no_loom.html")
@attrs.frozen(kw_only=True)
class NoLoomPage:
    """What must be filled in before a loom can be laid out."""

    words: str = told("What is missing, a sentence")
    lacking: tuple[Mend, ...] = told("Each problem, and where it is mended")
    branches: str = told("The table of branches")


@page("laying.html")
@attrs.frozen(kw_only=True)
class LayingPage:
    """One step of laying, to be read at the board."""

    step: StepTold = told("The step")
    of: int = told("How many steps there are")
    before: str = told("Address of the step before; blank for the first")
    after: str = told("Address of the next step; blank for the last")
    steps: tuple[StepTold, ...] = told("All steps")
    cautions: tuple[str, ...] = told("What can hurt people or parts")


def new_loom(request: HttpRequest, job: str) -> HttpResponse:
    """Show the new loom."""
    if early := too_early(request, job, "build", title=HERE, here=HERE):
        return early
    try:
        with worked_up(job) as worked:
            shown = _shown(job, worked, worked.results.build)
    except InputProblems as wrong:
        return no_loom(request, job, wrong.problems)
    return show(request, shown, title=HERE, job=job, here=HERE)


def laying(request: HttpRequest, job: str) -> HttpResponse:
    """Show one step of laying."""
    if early := nothing_yet(request, job, title="Laying", here=HERE):
        return early
    try:
        with worked_up(job) as worked:
            steps = laying_told(worked.results.build)
    except InputProblems as wrong:
        return no_loom(request, job, wrong.problems)
    if not steps:
        return no_loom(request, job, ())
    shown = _step(steps, request.GET.get("step", "1"))
    return show(request, shown, title="Laying", job=job, here=HERE)


def no_loom(request: HttpRequest, job: str, problems: tuple[Problem, ...]) -> HttpResponse:
    """The page that leads to the branches while they give no loom."""
    rows = Rows(job)
    shown = NoLoomPage(
        words=_NO_TREE,
        lacking=tuple(_mend(rows, each) for each in problems if not each.warning),
        branches=reverse("table", args=[job, "branches"]),
    )
    return show(request, shown, title=HERE, job=job, here=HERE)


def _mend(rows: Rows, problem: Problem) -> Mend:
    words, table, row = rows.told_of(problem), problem.where.table, rows.of(problem.where)
    if row is not None:
        form = reverse("row", args=[rows.job, table, row.key])
        return Mend(words, back_here(form, reverse("new_loom", args=[rows.job])))
    return Mend(words, reverse("table", args=[rows.job, table]) if table in ONE_ROW else "")


def _shown(job: str, worked: Worked, report: BuildReport) -> NewLoomPage:
    return NewLoomPage(
        glance=glance(report),
        cautions=CAUTIONS,
        lacking=tuple(_lacking(job, worked, report)),
        splices=splices_told(report),
        gap="" if report.plan.proven or not report.plan.splices else gap(report),
        bundles=bundles_told(report),
        unfit=tuple(
            Mend(f"{name}: {reason}.", reverse("table", args=[job, "fixings"]))
            for name, reason in unfit_fixings(report)
        ),
        wires=wires_told(report),
        unlike=unlike_words(report),
        steps=len(report.steps),
        not_reckoned=NOT_RECKONED,
    )


def _lacking(job: str, worked: Worked, report: BuildReport) -> Iterator[Mend]:
    for each in report.not_known:
        words = f"{each.wire} has no length: {each.words}."
        yield Mend(words, reverse("item", args=[job, each.wire]))
    for words, table in unsaid(worked.job):
        yield Mend(f"{sentence(words)}.", reverse("table", args=[job, table]))


def _step(steps: tuple[StepTold, ...], asked: str) -> LayingPage:
    number = int(asked) if asked.isascii() and asked.isdigit() and len(asked) < 7 else 1
    number = min(max(number, 1), len(steps))
    return LayingPage(
        step=steps[number - 1],
        of=len(steps),
        before=f"?step={number - 1}" if number > 1 else "",
        after=f"?step={number + 1}" if number < len(steps) else "",
        steps=steps,
        cautions=CAUTIONS,
    )

"""The build sheet of a new loom: splices, bundles, wires, then the steps of laying to tick."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.documents.step_rows import StepRow
from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.loom import InputProblems
from loomwright.services.build import BuildReport
from loomwright.services.build_told import (
    BundleTold,
    SpliceTold,
    StepTold,
    WireTold,
    bundles_told,
    laying_told,
    splices_told,
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
from loomwright.services.workup import WorkUp


@attrs.frozen(kw_only=True)
class BuildSheet(Context):
    """What the template is given.

    Attributes
    ----------
    glance : what the new loom is
    cautions : what can hurt people or parts
    not_known : wires without a length, and what is missing
    splices, bundles, wires : row by row
    unfit : clips and grommets that may not fit, in sentences
    steps : of laying, with boxes to tick
    notes : what the figures leave out
    """

    glance: str
    cautions: tuple[str, ...]
    not_known: tuple[str, ...]
    splices: tuple[SpliceTold, ...]
    bundles: tuple[BundleTold, ...]
    unfit: tuple[str, ...]
    wires: tuple[WireTold, ...]
    steps: tuple[StepRow, ...]
    notes: tuple[str, ...]


def build_sheet(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The sheet; none where the branches give no loom that could be laid out.

    Parameters
    ----------
    known : the job and what is known of it
    made_on : the day, ISO 8601
    """
    try:
        report = known.build
    except InputProblems:
        return
    if not report.wires:
        return
    yield Paper(
        name="build-sheet",
        template="build-sheet",
        context=BuildSheet(
            **headed(known.job, "Build sheet", made_on),
            glance=glance(report),
            cautions=CAUTIONS,
            not_known=tuple(f"{each.wire}: {each.words}." for each in report.not_known),
            splices=splices_told(report, near=True),
            bundles=bundles_told(report),
            unfit=tuple(f"{name}: {reason}." for name, reason in unfit_fixings(report)),
            wires=wires_told(report),
            steps=tuple(map(_step, laying_told(report))),
            notes=tuple(_notes(report)),
        ),
    )


def _step(step: StepTold) -> StepRow:
    said = [step.words, f"{step.wires}." if step.wires else "", step.why]
    return StepRow(
        number=step.number,
        words=" ".join(filter(None, said)),
        hold=step.hold,
        caution="",
        mark="",
        told="",
    )


def _notes(report: BuildReport) -> Iterator[str]:
    if report.plan.splices and not report.plan.proven:
        yield sentence(gap(report))
    if told := unlike_words(report):
        yield told
    yield from NOT_RECKONED

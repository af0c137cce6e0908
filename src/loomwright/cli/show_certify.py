"""What `certify` says: how much the readings have covered, and which would cover more."""

from __future__ import annotations

from loomwright.cli.page import Page
from loomwright.cli.show_next import numbered
from loomwright.services.certify import CertifyReport
from loomwright.services.words import SAFETY


def show_certify(report: CertifyReport) -> None:
    """The coverage so far, then the plan with its cautions.

    Parameters
    ----------
    report : coverage and plan
    """
    page = Page()
    page.title(report.job)
    page.say(
        f"The readings taken would have shown {report.coverage:.0%} of the faults that are "
        f"modelled. Nothing wrong at all: {report.sound:.0%}."
    )
    page.gap()
    minutes = sum(planned.step.candidate.minutes for planned in report.plan)
    if report.plan:
        page.heading(f"{len(report.plan)} readings would cover more, about {minutes:.0f} min")
    else:
        page.say("No further reading covers more.")
    said: set[str] = set()
    for number, planned in enumerate(report.plan, start=1):
        new = tuple(caution for caution in planned.cautions if caution.rule not in said)
        said |= {caution.rule for caution in new}
        took = planned.step.candidate.minutes
        page.say(
            f"about {took:.1f} min, then {planned.step.coverage:.0%} covered",
            lead=f"{number:>2}  ",
            style="head",
        )
        for mark, text in numbered(planned.words, new):
            page.say(text, lead=f"    {mark} ", style="care" if mark == "!" else "")
    page.gap()
    if said:
        page.say("A caution is told where it first applies and holds from there on.")
    page.say("Each reading as it was expected, the loom is sound as far as this coverage goes.")
    page.say(SAFETY)

"""What `certify` says: how much the readings have covered, and which would cover more."""

from __future__ import annotations

from loomwright.cli.page import Page
from loomwright.services.certify import CertifyReport
from loomwright.services.certify_words import (
    ONCE,
    SOUND_THEN,
    cautions_once,
    covered,
    then_covered,
    would_cover,
)
from loomwright.services.reading_words import numbered
from loomwright.services.words import SAFETY


def show_certify(report: CertifyReport) -> None:
    """The coverage so far, then the plan with its cautions.

    Parameters
    ----------
    report : coverage and plan
    """
    page = Page()
    page.title(report.job)
    page.say(covered(report))
    page.gap()
    if report.plan:
        page.heading(would_cover(report))
    else:
        page.say(would_cover(report))
    for number, (planned, new) in enumerate(cautions_once(report), start=1):
        page.say(then_covered(planned), lead=f"{number:>2}  ", style="head")
        for mark, text in numbered(planned.words, new):
            page.say(text, lead=f"    {mark} ", style="care" if mark == "!" else "")
    page.gap()
    if any(planned.cautions for planned in report.plan):
        page.say(ONCE)
    page.say(SOUND_THEN)
    page.say(SAFETY)

"""The tests that prove a finished loom, and what they cannot see."""

from __future__ import annotations

from datetime import date
from typing import cast

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.documents.verification import VerificationList, verification
from loomwright.workshop.pages.new_loom import HERE
from loomwright.workshop.pages.not_yet import too_early
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import worked_up

_TITLE = "Proving the finished loom"


@page("verify.html")
@attrs.frozen(kw_only=True)
class VerifyPage:
    """The list that proves the finished loom."""

    paper: VerificationList | None = told("The list as the paper tells it; None without a net")


def verify_page(request: HttpRequest, job: str) -> HttpResponse:
    """Show the list."""
    if early := too_early(request, job, "verified", title=_TITLE, here=HERE):
        return early
    with worked_up(job) as worked:
        made = next(verification(worked.results, date.today().isoformat()), None)
    shown = VerifyPage(paper=None if made is None else cast("VerificationList", made.context))
    return show(request, shown, title=_TITLE, job=job, here=HERE)

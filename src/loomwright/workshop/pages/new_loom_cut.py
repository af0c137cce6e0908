"""How the wires of a new loom are cut: what to buy, then length by length what is cut from it."""

from __future__ import annotations

from datetime import date
from typing import cast

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.documents.cut_list import CutList, cut_list
from loomwright.workshop.pages.new_loom import HERE
from loomwright.workshop.pages.not_yet import too_early
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.results import worked_up

_TITLE = "Cutting"


@page("cut.html")
@attrs.frozen(kw_only=True)
class CutPage:
    """The cut plan of a job."""

    paper: CutList = told("The plan as the paper tells it")


def cut_page(request: HttpRequest, job: str) -> HttpResponse:
    """Show the cut plan."""
    if early := too_early(request, job, "cut", title=_TITLE, here=HERE):
        return early
    with worked_up(job) as worked:
        (paper,) = cut_list(worked.results, date.today().isoformat())
    shown = CutPage(paper=cast("CutList", paper.context))
    return show(request, shown, title=_TITLE, job=job, here=HERE)

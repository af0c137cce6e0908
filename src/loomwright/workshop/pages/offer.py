"""Choosing an offer: from then on the work, the parts and the papers follow it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.http import require_POST

from loomwright.services.entering import enter
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import before, typed
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.row import back_to


@require_POST
def choose_offer(request: HttpRequest, job: str) -> HttpResponse:
    """Write the offer into the job's row, and go back."""
    chosen = {"offer": typed(request, "job").get("offer", "")}
    kept = BENCH.rows.rows(job, "job")
    key = kept[0].key if kept else None
    enter(BENCH, job, "job", chosen, key=key, before=before(request.POST) if key else None)
    if chosen["offer"]:
        said = f"Chosen: {chosen['offer']}. The work, the parts and the papers follow it."
    else:
        said = "No offer is chosen any more."
    say(request, said)
    return HttpResponseRedirect(back_to(request, job, usual="quote"), status=303)

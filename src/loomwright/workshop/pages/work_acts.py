"""What is done on the work's page: steps ticked off and taken back, wire counted off."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.loom import InputProblems
from loomwright.services.doing import Tick, Ticked, named, take_back, tick
from loomwright.services.moments import now_text
from loomwright.services.wire_use import give_back, use_wire
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import typed
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.work import Refusal, show_refused
from loomwright.workshop.results import worked_up


def tick_step(request: HttpRequest, job: str) -> HttpResponse:
    """Tick a step off; the address names it."""
    if request.method != "POST":
        return _to_work(job)
    said = _said(request)
    with worked_up(job) as worked:
        work = worked.results.work
    try:
        found = tick(BENCH, job, work, said, now=now_text())
    except InputProblems as refusal:
        step = (said.item, said.step, said.nth)
        fields = {"minutes": said.minutes, "note": said.note}
        return show_refused(
            request, job, Refusal(problems=refusal.problems, typed=fields, step=step)
        )
    _say(request, said, found)
    return _to_work(job)


def take_back_tick(request: HttpRequest, job: str) -> HttpResponse:
    """Take the last tick back."""
    if request.method == "POST":
        row = take_back(BENCH, job, request.POST.get("key", ""))
        step = named(row.cells.get("step", ""), row.cells.get("item", ""))
        say(request, f"Taken back: {step} is not {row.cells.get('state', 'ticked')} any more.")
    return _to_work(job)


def count_wire(request: HttpRequest, job: str, plug: str) -> HttpResponse:
    """Count off what a try used up."""
    if request.method != "POST":
        return _to_work(job)
    text = request.POST.get("mm", "")
    try:
        left = use_wire(
            BENCH, job, plug, text, saw=request.POST.get("was.spare_mm", ""),
            by=_person(request), now=now_text(),
        )  # fmt: skip
    except InputProblems as refusal:
        refused = Refusal(problems=refusal.problems, typed={"mm": text}, plug=plug)
        return show_refused(request, job, refused)
    say(request, f"Counted off: {text.strip()} mm at {plug}. {left:g} mm are left.")
    return _to_work(job, f"#wire-{plug}")


def give_back_wire(request: HttpRequest, job: str, plug: str) -> HttpResponse:
    """Take back what was counted off last."""
    if request.method == "POST":
        left = give_back(BENCH, job, plug, request.POST.get("task", ""))
        say(request, f"Taken back: {left:g} mm of spare wire are at {plug} again.")
    return _to_work(job, f"#wire-{plug}")


def _to_work(job: str, part: str = "") -> HttpResponse:
    return HttpResponseRedirect(reverse("work", args=[job]) + part, status=303)


def _person(request: HttpRequest) -> str:
    return str(request.user.get_username())


def _said(request: HttpRequest) -> Tick:
    cells, nth = typed(request, "tasks"), request.GET.get("nth", "1")
    return Tick(
        item=request.GET.get("item", ""),
        step=request.GET.get("step", ""),
        nth=int(nth) if nth.isascii() and nth.isdigit() else 0,
        state=request.POST.get("state", ""),
        minutes=cells.get("minutes", "").strip(),
        note=cells.get("note", "").strip(),
        by=_person(request),
    )


def _say(request: HttpRequest, said: Tick, found: Ticked) -> None:
    step, state = named(said.step, said.item), said.state
    if not found.fresh:
        say(request, f"{step} was ticked {state} already; nothing is changed.", "caution")
    elif state == "failed":
        say(request, f"{step} has failed. Put it right and pass it before going on.", "trouble")
    elif state == "begun":
        say(request, f"{step} is begun; the time runs.")
    else:
        took = f"{found.minutes} min" if found.minutes else "no time kept"
        say(request, f"{step} is {state}, {took}.")

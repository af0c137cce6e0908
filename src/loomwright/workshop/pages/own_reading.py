"""A reading of the person's own choice: any two points, and the state if it is another one."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from loomwright.loom import InputProblems, Job, Problem
from loomwright.services.asking import wished
from loomwright.services.measuring import points
from loomwright.workshop.asking import asking_url
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Field, fields
from loomwright.workshop.naming import told_of
from loomwright.workshop.pages.not_yet import nothing_yet
from loomwright.workshop.pages.page import page, show, told

TITLE = "Choose the points"
_FIRST, _MORE = ("quantity", "plus", "minus"), ("unplugged", "state")
_LABELS = {
    "quantity": ("What to measure", ""),
    "plus": ("Red to", "A cavity, a pin or a joint"),
    "minus": ("Black to", "A cavity, a pin or a joint"),
    "unplugged": ("Plugs that are off", "Blank for ohms: the control unit's plug"),
    "state": ("State", "Blank: as it was last, key off for ohms and on for volts"),
}


@page("own_reading.html")
@attrs.frozen(kw_only=True)
class OwnReadingPage:
    """The form for a reading of one's own choice."""

    after: bool = told("Whether it is a reading after the work")
    first: tuple[Field, ...] = told("What must be said")
    more: tuple[Field, ...] = told("What may be said")
    fields: tuple[Field, ...] = told("All of them, to name those with something wrong")
    problems: tuple[str, ...] = told("What is wrong beyond single fields")
    refused: bool = told("Whether this is what was typed, with what is wrong")


def own_reading(request: HttpRequest, job: str) -> HttpResponse:
    """Show the form, and lead to the reading that it asks for."""
    if early := nothing_yet(request, job, title=TITLE, here="Measure"):
        return early
    known, _ = BENCH.jobs.inspect(job)
    texts = {name: str(text) for name, text in request.GET.items()}
    after = "after" in texts
    problems: tuple[Problem, ...] = ()
    if "plus" in texts:
        try:
            asked = {name: text for name, text in texts.items() if text.strip()}
            where = asking_url(job, wished(known, asked), after=after)
            return HttpResponseRedirect(where, status=303)
        except InputProblems as refusal:
            problems = refusal.problems
    shown = _own_page(known, texts, problems, after=after)
    status = 400 if problems else 200
    return show(request, shown, title=TITLE, job=job, here="Measure", status=status)


def _own_page(
    known: Job, texts: dict[str, str], problems: tuple[Problem, ...], *, after: bool
) -> OwnReadingPage:
    cells = {"quantity": "ohm", **texts}
    made = fields("readings", cells, job=known, problems=problems, only=(*_FIRST, *_MORE))
    offered = points(known)
    shown = tuple(_field(field, offered) for field in made)
    names = {field.name for field in shown}
    return OwnReadingPage(
        after=after,
        first=tuple(field for field in shown if field.name in _FIRST),
        more=tuple(field for field in shown if field.name in _MORE),
        fields=shown,
        problems=tuple(told_of(each) for each in problems if each.where.column not in names),
        refused=bool(problems),
    )


def _field(field: Field, offered: tuple[str, ...]) -> Field:
    label, help_ = _LABELS[field.name]
    known = offered if field.name in ("plus", "minus") else field.suggestions
    return attrs.evolve(field, label=label, help=help_, suggestions=known)

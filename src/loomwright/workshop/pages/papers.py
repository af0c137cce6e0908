"""The papers: which to make, how far that is, what was made."""

from __future__ import annotations

from collections.abc import Iterable

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST
from django_htmx.http import HttpResponseClientRefresh

from loomwright.documents.pack import KINDS, USUAL, unasked
from loomwright.loom import InputProblems, Problem
from loomwright.services.counting import counted
from loomwright.services.paper_sheets import sheet_choices
from loomwright.services.words import listed, sentence
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import stamp
from loomwright.workshop.forms import Choice, Field
from loomwright.workshop.pages.framing import Message, say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.paper_sets import KeptPaper, PaperSet, kept_set, paper_content
from loomwright.workshop.papermaking import Asked, Making, begin, check, making_of
from loomwright.workshop.photo_store import digests
from loomwright.workshop.results import ready

_SHEETS = {"a4": "A4", "letter": "Letter"}
_READABLE = "default-src 'self'; object-src 'self'; style-src 'self' 'unsafe-inline'"
"""Policy of a PDF: a browser shows it in a page of its own making, which has styles in it."""


@attrs.frozen
class KindTick:
    """A kind of paper to tick."""

    name: str
    words: str
    here: bool


@attrs.frozen(kw_only=True)
class PaperRow:
    """A paper that was made, as a row that is a link."""

    url: str
    title: str
    words: str
    chip: str = ""
    kind: str = ""


@page("papers.html")
@attrs.frozen(kw_only=True)
class PapersPage:
    """The papers of a job."""

    kinds: tuple[KindTick, ...] = told("Kinds of papers, those to make ticked")
    sheet: Field = told("The paper they are set for")
    label_sheet: Field = told("The sheet of labels")
    problem: str = told("What is wrong with the ticks")
    refused: bool = told("Whether this is what was asked for, with what is wrong")
    making: Making | None = told("What is being made now")
    ended: tuple[Message, ...] = told("How the last making ended, where it did not end well")
    made: tuple[PaperRow, ...] = told("The papers that were made")
    made_words: str = told("When they were made, and how many they are")
    without: str = told("Which kinds the job gives nothing for; blank where each gave something")
    stale: bool = told("Whether the job changed since they were made")


def papers(request: HttpRequest, job: str) -> HttpResponse:
    """Show the papers and how far they are; begin to make some."""
    now = stamp(job)
    if request.method == "POST":
        return _begin(request, job, now)
    making = making_of(job)
    if not getattr(request, "htmx", False):
        only = request.GET.getlist("only") or _usual(job)
        return _show(request, job, Asked(kinds=tuple(only), sheet="a4"))
    if making is None or making.state != "running":
        return HttpResponseClientRefresh()
    return render(request, "workshop/parts/making.html", {"making": making})


@require_POST
def stop_papers(request: HttpRequest, job: str) -> HttpResponse:
    """Stop what is being made."""
    making = making_of(job)
    if making is not None:
        making.stop()
        making.wait(5.0)
    return HttpResponseRedirect(reverse("papers", args=[job]), status=303)


def paper(request: HttpRequest, job: str, paper: str) -> HttpResponse:
    """Show a paper."""
    stamp(job)  # of a job that is kept
    answer = HttpResponse(paper_content(job, paper), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{job}-{paper}"'
    answer["Content-Security-Policy"] = _READABLE
    return answer


def _begin(request: HttpRequest, job: str, now: int) -> HttpResponse:
    asked = Asked(
        kinds=tuple(request.POST.getlist("kind")),
        sheet=request.POST.get("sheet", ""),
        label_sheet=request.POST.get("label_sheet", ""),
    )
    try:
        check(asked)
    except InputProblems as refusal:
        return _show(request, job, asked, refusal.problems)
    if not begin(job, BENCH.jobs.read(job), now, asked, digests(job)):
        say(request, "Papers of this job are being made already.", "caution")
    return HttpResponseRedirect(reverse("papers", args=[job]), status=303)


def _usual(job: str) -> tuple[str, ...]:
    """Kinds that are ticked at first; those of a new loom where the chosen offer makes one.

    Nobody waits for that: they are left unticked while it is not worked out.
    """
    known = ready(job)
    return unasked(known) if known is not None and known.has("plan") else USUAL


def _show(
    request: HttpRequest, job: str, asked: Asked, problems: tuple[Problem, ...] = ()
) -> HttpResponse:
    shown = _shown(job, asked, {str(each.where.column): each for each in problems})
    status = 400 if problems else 200
    return show(request, shown, title="Papers", job=job, here="Papers", status=status)


def _shown(job: str, asked: Asked, wrong: dict[str, Problem]) -> PapersPage:
    making, made = making_of(job), kept_set(job)
    running = making is not None and making.state == "running"
    return PapersPage(
        kinds=tuple(
            KindTick(name, sentence(kind.words), name in asked.kinds)
            for name, kind in KINDS.items()
        ),
        sheet=_sheet(asked, wrong.get("sheet")),
        label_sheet=_label_sheet(asked, wrong.get("label_sheet")),
        problem=_beside(wrong.get("kind")),
        refused=bool(wrong),
        making=making if running else None,
        ended=() if making is None or not making.said else (_ended(making),),
        made=() if made is None else tuple(_row(job, each) for each in made.papers),
        made_words="" if made is None else _made_words(made),
        without="" if made is None else listed([_short(each) for each in made.without]),
        stale=made is not None and made.stamp != stamp(job),
    )


def _sheet(asked: Asked, problem: Problem | None) -> Field:
    return Field(
        name="sheet", label="Paper", kind="choice", problem=_beside(problem),
        choices=_choices(_SHEETS.items(), asked.sheet),
    )  # fmt: skip


def _label_sheet(asked: Asked, problem: Problem | None) -> Field:
    known = [("", "the usual one"), *((each.name, each.words) for each in sheet_choices())]
    return Field(
        name="label_sheet", label="Sheet of labels", kind="choice",
        problem=_beside(problem), choices=_choices(known, asked.label_sheet),
        help="Sheets cut beforehand, known by the size of their labels.",
    )  # fmt: skip


def _choices(known: Iterable[tuple[str, str]], chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(value=value, words=words, chosen=value == chosen) for value, words in known)


def _ended(making: Making) -> Message:
    return Message("caution" if making.state == "stopped" else "trouble", making.said)


def _row(job: str, made: KeptPaper) -> PaperRow:
    size = f"{counted(made.pages, 'page')}, {max(1, round(made.size / 1000))} kB"
    kind = sentence(_short(made.kind))
    return PaperRow(
        url=reverse("paper", args=[job, made.file]),
        title=made.title,
        words=size if kind == made.title else f"{kind}: {size}",
    )


def _made_words(made: PaperSet) -> str:
    count = counted(len(made.papers), "PDF paper")
    sheets = counted(sum(each.pages for each in made.papers), "page")
    return f"Made {made.made_at} for {_SHEETS.get(made.sheet, made.sheet)}: {count}, {sheets}."


def _short(kind: str) -> str:
    """`report before and after` of a kind's words up to its colon."""
    return KINDS[kind].words.partition(":")[0] if kind in KINDS else kind


def _beside(problem: Problem | None) -> str:
    """What is wrong with a field, to stand beside it."""
    return "" if problem is None else f"{sentence(problem.what)}. {sentence(problem.expected)}."

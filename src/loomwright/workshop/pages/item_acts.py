"""What is done on the pages of single items: grade, record, pin and take away photos, change."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from loomwright.loom import InputProblems, Job, NotFound, Problem, Where
from loomwright.services.entering import enter, row_of
from loomwright.services.grading import grade_item
from loomwright.services.moments import now_text
from loomwright.services.pinning import Picture, pin, unpin
from loomwright.services.recording import record, unrecord
from loomwright.storage.pictures import kind_of, taken_at, without_position
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.forms import before, typed
from loomwright.workshop.models import KeptPhoto
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.item_parts import Place, Refusal

PIN, RECORD, SHELL = "photos", "record", "shell"
"""Parts of the page to come back to."""


def acted(request: HttpRequest, ref: str, item: str) -> HttpResponse | Place:
    """Where a form of the page leads; or where the person stands, after a refusal with what it is.

    Raises
    ------
    InputProblems
        when the item's row cannot be read, holding why.
    NotFound, Conflict, StorageFailed
        as `act`.
    """
    refused = None
    if request.method == "POST":
        try:
            return came_back(request, act(request, ref, item))
        except InputProblems as failure:
            refused = refusal_of(request, failure)
    place = place_of(request, ref, refused)
    see_that_it_reads(ref, place.job, item)
    return place


def act(request: HttpRequest, ref: str, item: str) -> str:
    """Do what a form of the page asks for; the part of the page to come back to.

    Raises
    ------
    InputProblems
        holding all that is wrong with what was typed.
    NotFound
        when nothing is known by that name, or what is changed is gone.
    Conflict, StorageFailed
        as `entering.enter`.
    """
    asked = _ACTS.get(request.POST.get("act", ""))
    if asked is None:
        raise NotFound("this form belongs to no page", expected="open the page anew")
    return asked(request, ref, item)


def refusal_of(request: HttpRequest, refused: InputProblems) -> Refusal:
    """A form that was not taken, for showing it again."""
    fields = {name: str(text) for name, text in request.POST.items()}
    return Refusal(act=fields.get("act", ""), typed=fields, problems=refused.problems)


def place_of(request: HttpRequest, ref: str, refused: Refusal | None) -> Place:
    """Where the person stands, in the job as far as it can be read."""
    job, _ = BENCH.jobs.inspect(ref)
    back, at = _address(request), request.GET.get("at", "")
    return Place(ref=ref, job=job, back=back, at=at, refused=refused)


def see_that_it_reads(ref: str, job: Job, name: str) -> None:
    """Tell an item that is not there from one whose row cannot be read yet.

    Raises
    ------
    InputProblems
        when its row is kept but cannot be read, holding why.
    """
    for table in ("plugs", "joints", "devices", "wires"):
        key = table.removesuffix("s")
        if any(str(getattr(row, key)) == name for row in job.rows(table)):
            return
        kept = BENCH.rows.rows(ref, table)
        if any(row.cells.get(key, "").strip() == name for row in kept):
            _, problems = BENCH.jobs.inspect(ref)
            raise InputProblems([each for each in problems if not each.warning])


def came_back(request: HttpRequest, at: str) -> HttpResponse:
    """To the same page, to the part that was changed."""
    return HttpResponseRedirect(_address(request, at), status=303)


def _address(request: HttpRequest, at: str = "") -> str:
    """This page with what was chosen on it, and the part of it that has the focus."""
    query = request.GET.copy()
    query.pop("at", None)
    if at:
        query["at"] = at
    return f"{request.path}?{query.urlencode()}" if query else request.path


def _grade(request: HttpRequest, ref: str, item: str) -> str:
    looked_at, aspect = request.POST.get("item", item), request.POST.get("aspect", "")
    grade_item(BENCH, ref, looked_at, aspect, typed(request, "survey"), before(request.POST))
    return f"{looked_at}-{aspect}"


def _record(request: HttpRequest, ref: str, item: str) -> str:
    record(BENCH, ref, item, by=request.user.get_username(), at=now_text())
    return RECORD


def _unrecord(request: HttpRequest, ref: str, item: str) -> str:
    unrecord(BENCH, ref, item)
    return RECORD


def _change_plug(request: HttpRequest, ref: str, item: str) -> str:
    row = row_of(BENCH.rows.rows(ref, "plugs"), "plug", item)
    enter(BENCH, ref, "plugs", typed(request, "plugs"), key=row.key, before=before(request.POST))
    say(request, f"Kept: plug {item}.")
    return SHELL


def _pin(request: HttpRequest, ref: str, item: str) -> str:
    pictures = _pictures(request.FILES.getlist("photos"))
    names = pin(
        BENCH, PHOTOS, ref, pictures, item=item,
        face=request.POST.get("face", ""), note=request.POST.get("note", ""),
        by=request.user.get_username(),
        used=set(KeptPhoto.history.filter(job__name=ref).values_list("name", flat=True)),
    )  # fmt: skip
    say(request, f"Kept: {', '.join(names)}.")
    return PIN


def _unpin(request: HttpRequest, ref: str, item: str) -> str:
    name = request.POST.get("photo", "")
    unpin(BENCH, PHOTOS, ref, name)
    say(request, f"Taken away: photo {name}. History can put it back.")
    return PIN


def _pictures(files: Iterable[object]) -> tuple[Picture, ...]:
    """The chosen photos, rid of what they tell of people.

    Raises
    ------
    InputProblems
        holding what is wrong with every one of them, or that there is none.
    """
    found: list[Picture] = []
    problems: list[Problem] = []
    for file in _chosen(files):
        content, name = file.read(), file.name or "photo"
        try:
            kind = kind_of(content, name=name)
            clean = without_position(content, name=name)
        except InputProblems as refused:
            problems += refused.problems
            continue
        found.append(Picture(content=clean, kind=kind, taken_at=taken_at(clean) or now_text()))
    if not found and not problems:
        where = Where("photos", column="photo")
        problems.append(Problem(where, "no photo is chosen", "take one, or choose one"))
    if problems:
        raise InputProblems(problems)
    return tuple(found)


def _chosen(files: Iterable[object]) -> Iterator[UploadedFile[bytes]]:
    return (file for file in files if isinstance(file, UploadedFile))


_ACTS: dict[str, Callable[[HttpRequest, str, str], str]] = {
    "grade": _grade,
    "record": _record,
    "unrecord": _unrecord,
    "plug": _change_plug,
    "pin": _pin,
    "unpin": _unpin,
}

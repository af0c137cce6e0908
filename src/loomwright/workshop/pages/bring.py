"""A job comes in as a file, or goes out as one."""

from __future__ import annotations

import tempfile
from pathlib import Path

import attrs
from django.core.files.uploadedfile import UploadedFile
from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.loom import InputProblems, Problem, StorageFailed, Where
from loomwright.services.bringing import Carried
from loomwright.services.counting import counted
from loomwright.workshop.moving import bring, taken_zip
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.serving import MAX_BODY_BYTES

_FORMS = (".zip", ".xlsx")


@page("bring.html")
@attrs.frozen(kw_only=True)
class BringPage:
    """A job's file is chosen."""

    name: str = told("What was typed as the job's name")
    over: bool = told("Whether a job of that name may be replaced")
    problems: tuple[str, ...] = told("Everything wrong with the file, a sentence each")
    name_problem: str = told("What is wrong with the name; blank where nothing is")
    most: str = told("How large a file may be")


def bring_page(request: HttpRequest) -> HttpResponse:
    """Ask for a job's file, and bring it in."""
    if request.method != "POST":
        return _ask(request, ())
    name, over = request.POST.get("name", "").strip(), "over" in request.POST
    try:
        carried = _brought(request.FILES.get("file"), name, over=over)
    except InputProblems as refusal:
        return _ask(request, tuple(each for each in refusal.problems if not each.warning))
    say(request, f"Brought in: {carried.name}, with {counted(carried.photos, 'photo')}.")
    for each in carried.unseen:
        say(
            request, f"{each} is no photo that can be looked into, and is kept as it is.", "caution"
        )
    return HttpResponseRedirect(reverse("job", args=[carried.name]), status=303)


def take_out_page(request: HttpRequest, job: str) -> FileResponse:
    """The whole job as a .zip to keep or to hand on."""
    return FileResponse(taken_zip(job), as_attachment=True, filename=f"{job}.zip")


def _brought(file: object, name: str, *, over: bool) -> Carried:
    if not isinstance(file, UploadedFile) or not file.name:
        raise InputProblems([Problem(Where("file"), "no file was chosen", "choose one")])
    if Path(file.name).suffix.lower() not in _FORMS:
        what = f'"{file.name[:80]}" is no job that can be brought in'
        raise InputProblems([Problem(Where("file"), what, "choose a .zip or an .xlsx file")])
    with tempfile.TemporaryDirectory(prefix="loomwright-") as folder:
        path = Path(folder) / Path(file.name).name
        try:
            with path.open("wb") as kept:
                kept.writelines(file.chunks())
        except OSError as failure:
            raise StorageFailed("the file could not be taken in", where=file.name) from failure
        return bring(str(path), name, over=over)


def _ask(request: HttpRequest, problems: tuple[Problem, ...]) -> HttpResponse:
    of_name = [each.sentence for each in problems if each.where.table == "name"]
    shown = BringPage(
        name=request.POST.get("name", ""),
        over="over" in request.POST,
        problems=tuple(each.sentence for each in problems if each.where.table != "name"),
        name_problem=" ".join(of_name),
        most=f"{MAX_BODY_BYTES // 1_000_000} MB",
    )
    return show(request, shown, title="Bring in a job", status=400 if problems else 200)

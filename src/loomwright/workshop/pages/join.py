"""A device comes in through the QR code, and says who works at it."""

from __future__ import annotations

import hmac
import re

import attrs
from django.contrib.auth import get_user_model, login, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.urls import reverse
from django.views.decorators.http import require_POST

from loomwright.loom.errors import Refused
from loomwright.workshop.gate import OPENED, key, key_mark
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told

_NAME = re.compile(r"[\w .'-]{1,40}\Z")


@page("person.html")
@attrs.frozen(kw_only=True)
class PersonPage:
    """Who works at this device."""

    people: tuple[str, ...] = told("Names that were given before")
    typed: str = told("What was typed")
    problem: str = told("What is wrong with it; blank where nothing is")


def join(request: HttpRequest, given: str) -> HttpResponse:
    """Let a device in that holds the key."""
    if not hmac.compare_digest(given.encode(), key().encode()):
        raise Refused(
            "this link does not open the workshop any more",
            instead="scan the QR code on the laptop again",
        )
    request.session.cycle_key()  # a session that somebody knew before opens nothing
    request.session[OPENED] = key_mark()
    return HttpResponseRedirect(reverse("person"))


def person(request: HttpRequest) -> HttpResponse:
    """Ask who works at this device; the history of each job tells it."""
    name = request.POST.get("name", "").strip()
    if request.method != "POST":
        return _ask(request, "", "")
    if not _NAME.match(name):
        return _ask(request, name, "Give a name of up to 40 letters, such as Sam.")
    people = get_user_model()
    known = people.objects.filter(username__iexact=name).first()
    came_by = request.session.get(OPENED)
    login(request, known or people.objects.create(username=name))
    request.session[OPENED] = came_by
    say(request, f"This device writes as {name}.")
    return HttpResponseRedirect(reverse("today"), status=303)


@require_POST
def forget_person(request: HttpRequest) -> HttpResponse:
    """Nobody works at this device any more; it stays let in."""
    came_by = request.session.get(OPENED)
    logout(request)
    request.session[OPENED] = came_by
    return HttpResponseRedirect(reverse("person"), status=303)


def alive(request: HttpRequest) -> HttpResponse:
    """Whether the workshop is there, for a device that lost it."""
    return JsonResponse({"workshop": True})


def _ask(request: HttpRequest, typed: str, problem: str) -> HttpResponse:
    names = get_user_model().objects.order_by("username").values_list("username", flat=True)
    shown = PersonPage(people=tuple(names), typed=typed, problem=problem)
    return show(request, shown, title="Who are you?", status=400 if problem else 200)

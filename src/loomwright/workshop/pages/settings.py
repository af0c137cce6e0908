"""The workshop's own: rates, what is on its shelf, figures, devices, backup."""

from __future__ import annotations

import attrs
from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from loomwright.loom import InputProblems, Problem, schema
from loomwright.loom.errors import Refused
from loomwright.services.backup import NO_SECRETS
from loomwright.services.entering import enter
from loomwright.services.kept_rows import Cells
from loomwright.workshop.bench import BENCH
from loomwright.workshop.data_folder import secret
from loomwright.workshop.devices import WayIn, ways_in
from loomwright.workshop.forms import Field, before, fields, typed
from loomwright.workshop.gate import at_home
from loomwright.workshop.keeping import back_up
from loomwright.workshop.pages.framing import say
from loomwright.workshop.pages.page import page, show, told
from loomwright.workshop.sent_file import sent_file
from loomwright.workshop.shelf import SHELF, SHELF_TABLES, made_shelf

_RATES = ("currency", "labour_rate")
_TITLES = {
    "meters": "Meters",
    "catalogue": "Catalogue of parts",
    "suppliers": "Suppliers",
    "offers": "Packs on sale",
    "stock": "The drawer",
}


@attrs.frozen(kw_only=True)
class Shelved:
    """A table of the shelf, as a link."""

    title: str
    words: str
    url: str


@page("settings.html")
@attrs.frozen(kw_only=True)
class SettingsPage:
    """What is the workshop's, not one job's."""

    rates: tuple[Field, ...] = told("Currency and hourly rate")
    refused: bool = told("Whether the rates are what was typed, with what is wrong")
    problems: tuple[str, ...] = told("What is wrong beyond single fields, a sentence each")
    shelf: tuple[Shelved, ...] = told("The tables that every new job begins with")
    own_figures: int = told("How many figures are the workshop's own")
    ways_in: tuple[WayIn, ...] = told("Addresses with codes for other devices; the likeliest first")
    port: int = told("The port of the site")
    at_home: bool = told("Whether this is the machine that the site runs on")
    no_secrets: str = told("What a backup holds and what it does not")


def settings(request: HttpRequest) -> HttpResponse:
    """Show the workshop's settings; take in its rates."""
    made_shelf()
    row = BENCH.rows.rows(SHELF, "job")[0]
    if request.method != "POST":
        return _show(request, row.cells)
    cells = typed(request, "job")
    try:
        enter(BENCH, SHELF, "job", cells, key=row.key, before=before(request.POST))
    except InputProblems as refusal:
        return _show(request, cells, refusal.problems)
    say(request, "Kept: the rates. New jobs begin with them.")
    return HttpResponseRedirect(reverse("settings"), status=303)


@require_POST
def renew_key(request: HttpRequest) -> HttpResponse:
    """Shut every other device out until it scans the new code."""
    _at_home_only(request, "the key is renewed on the machine that the workshop runs on")
    secret("key", renew=True)
    say(request, "The key is new. Tablets and phones scan the code once more.")
    return HttpResponseRedirect(f"{reverse('settings')}#devices", status=303)


def download_backup(request: HttpRequest) -> FileResponse:
    """The whole workshop as one file."""
    _at_home_only(request, "a backup is taken on the machine that the workshop runs on")
    name = f"workshop-{timezone.now():%Y-%m-%d}.zip"
    kept = sent_file(name, back_up)
    return FileResponse(kept, as_attachment=True, filename=name)


def _at_home_only(request: HttpRequest, what: str) -> None:
    if not at_home(request):
        raise Refused(what, instead="open this page there")


def _show(request: HttpRequest, cells: Cells, problems: tuple[Problem, ...] = ()) -> HttpResponse:
    port = int(request.get_port())
    shown = SettingsPage(
        rates=fields(
            "job", cells, before=before(request.POST) if problems else None, problems=problems,
            only=_RATES,
        ),
        refused=bool(problems),
        problems=tuple(each.sentence for each in problems if each.where.column not in _RATES),
        shelf=_shelf(),
        own_figures=len(BENCH.rows.rows(SHELF, "settings")),
        ways_in=ways_in(port),
        port=port,
        at_home=at_home(request),
        no_secrets=NO_SECRETS,
    )  # fmt: skip
    return show(request, shown, title="Settings", status=400 if problems else 200)


def _shelf() -> tuple[Shelved, ...]:
    found = []
    for table in SHELF_TABLES:
        rows = len(BENCH.rows.rows(SHELF, table))
        found.append(
            Shelved(
                title=_TITLES[table],
                words=f"{rows} row{'s' * (rows != 1)}. {schema.table(table).help}",
                url=reverse("table", args=[SHELF, table]),
            )
        )
    return tuple(found)

"""A plug: both sides of its face to touch, its grades, its record, its photos."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from loomwright.drawings.touch_face import CavityLink, touch_svg
from loomwright.drawings.views import SEEN
from loomwright.loom import Plug, Point
from loomwright.services.draw import PlugSheet, plug_sheet
from loomwright.services.entering import row_of
from loomwright.services.labels import Labels
from loomwright.services.plug_view import (
    SuspectHere,
    at_point,
    cavity_words,
)
from loomwright.services.words import BEFORE_OPENING, sentence
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Field, fields
from loomwright.workshop.pages.item_acts import acted, place_of
from loomwright.workshop.pages.item_parts import (
    AspectForm,
    PhotoCard,
    PhotoForm,
    Place,
    ReadingLink,
    RecordCard,
    Refusal,
    WireCard,
    aspect_forms,
    photo_cards,
    photo_form,
    point_url,
    reading_links,
    record_card,
    row_url,
    suspects_here,
    wire_cards,
)
from loomwright.workshop.pages.page import page, show, told

CHANGED_HERE = ("lock", "spare_mm")
"""Columns of the plug that are changed on its page; the others in its row's form."""


@attrs.frozen(kw_only=True)
class FaceDrawing:
    """One side of the plug's face."""

    side: str
    words: str
    svg: str


@attrs.frozen(kw_only=True)
class CavityPanel:
    """What is in the cavity that was touched."""

    name: str
    meets_words: str
    meets_url: str
    wires: tuple[WireCard, ...]
    suspects: tuple[SuspectHere, ...]
    readings: tuple[ReadingLink, ...]
    add_wire_url: str


@page("cavity.html")
@attrs.frozen(kw_only=True)
class CavityPage:
    """The part of the plug's page that changes when a cavity is touched."""

    panel: CavityPanel = told("What is in the cavity")
    faces: tuple[FaceDrawing, ...] = told("Both sides of the face with that cavity marked")
    action: str = told("Where the forms of the part are sent")


@page("plug.html")
@attrs.frozen(kw_only=True)
class PlugPage:
    """A plug."""

    mate: str = told("What it goes on; blank where that is not written down")
    mate_url: str = told("The page of what it goes on")
    stands: str = told("Where it sits; blank where that is not written down")
    faces: tuple[FaceDrawing, ...] = told("Mating face and wire side")
    panel: CavityPanel | None = told("What is in the cavity that was touched; None for none")
    cautions: tuple[str, ...] = told("What to mind before the plug is opened")
    record: RecordCard = told("Whether it is recorded before cutting")
    aspects: tuple[AspectForm, ...] = told("Boot, shell and terminals with their grades")
    photos: tuple[PhotoCard, ...] = told("Photos pinned to it")
    photo_form: PhotoForm = told("The form for new photos")
    facts: tuple[tuple[str, str], ...] = told("What is written down of it, name and value")
    fields: tuple[Field, ...] = told("Lock and spare wire, to be changed here")
    edit_url: str = told("The form of all that is written down of it")
    action: str = told("Where the forms of the page are sent")
    at: str = told("The part of the page that was changed")


def plug(request: HttpRequest, job: str, plug: str) -> HttpResponse:
    """Show a plug, and take in what is found on it."""
    place = acted(request, job, plug)
    if isinstance(place, HttpResponse):
        return place
    shown = plug_page(place, plug, request.GET.get("cavity", ""))
    status, title = 400 if place.refused else 200, Labels(place.job).called(plug)
    return show(request, shown, title=title, job=job, here="Loom", status=status)


def cavity(request: HttpRequest, job: str, plug: str, cavity: str) -> HttpResponse:
    """The part of a plug's page that tells of one cavity."""
    url = f"{reverse('plug', args=[job, plug])}?cavity={cavity}"
    if not getattr(request, "htmx", False):
        return HttpResponseRedirect(url)
    place = attrs.evolve(place_of(request, job, None), back=url)
    sheet = plug_sheet(place.job, plug)
    shown = CavityPage(
        panel=cavity_panel(place, Point(plug, cavity)),
        faces=face_drawings(place, sheet, cavity),
        action=url,
    )
    return render(request, "workshop/cavity.html", {"page": shown})


def plug_page(place: Place, name: str, chosen: str) -> PlugPage:
    """The plug with the cavity that was touched.

    Raises
    ------
    NotFound
        when there is no such plug or cavity.
    """
    sheet = plug_sheet(place.job, name)
    row = row_of(BENCH.rows.rows(place.ref, "plugs"), "plug", name)
    refused = place.refused if place.refused and place.refused.act == "plug" else None
    mate = sheet.plug.mates_with
    return PlugPage(
        mate=sentence(Labels(place.job).owner(mate)) if mate else "",
        mate_url=point_url(place, Point(mate)) if mate else "",
        stands=sheet.plug.place or "",
        faces=face_drawings(place, sheet, chosen),
        panel=cavity_panel(place, Point(name, chosen)) if chosen else None,
        cautions=(BEFORE_OPENING,),
        record=record_card(place, name),
        aspects=aspect_forms(place, name),
        photos=photo_cards(place, name),
        photo_form=photo_form(place, name, sides=True),
        facts=_facts(sheet.plug),
        fields=fields(
            "plugs",
            {**row.cells, **(_own(refused) if refused else {})},
            before=row.cells,
            problems=refused.problems if refused else (),
            only=CHANGED_HERE,
        ),
        edit_url=row_url(place, "plugs", row.key),
        action=place.back,
        at=place.at,
    )


def face_drawings(place: Place, sheet: PlugSheet, chosen: str) -> tuple[FaceDrawing, ...]:
    """Both sides of the face; every cavity leads to what is in it."""
    return tuple(
        FaceDrawing(
            side=side,
            words=sentence(words),
            svg=touch_svg(sheet, side, _links(place, sheet, side), here=chosen),
        )
        for side, words in SEEN.items()
    )


def cavity_panel(place: Place, point: Point) -> CavityPanel:
    """What is in a cavity.

    Raises
    ------
    NotFound
        when the plug has no such cavity.
    """
    found = at_point(place.job, point)
    return CavityPanel(
        name=point.terminal,
        meets_words=sentence(found.meets_words),
        meets_url=point_url(place, found.meets) if found.meets else "",
        wires=wire_cards(place, found.wires, graded=True),
        suspects=suspects_here(place, found.names),
        readings=reading_links(place, found.readings),
        add_wire_url=row_url(place, "wires", **{"from": str(point)}),
    )


def _links(place: Place, sheet: PlugSheet, side: str) -> dict[str, CavityLink]:
    name = str(sheet.plug.plug)
    page_url = reverse("plug", args=[place.ref, name])
    return {
        cavity: CavityLink(
            href=f"{page_url}?cavity={cavity}",
            words=cavity_words(cavity, ends),
            more={
                "id": f"{name}-{side}-{cavity}-link",
                "hx-get": reverse("cavity", args=[place.ref, name, cavity]),
                "hx-replace-url": f"{page_url}?cavity={cavity}",
            },
        )
        for cavity, ends in sheet.wires.items()
    }


def _facts(plug: Plug) -> tuple[tuple[str, str], ...]:
    known = (
        ("Terminals", plug.terminal),
        ("Boot", plug.boot),
        ("Latch", plug.latch and f"{plug.latch}, seen from the {plug.seen_from} side"),
        ("Keys", " ".join(plug.keying)),
        ("Pitch", f"{plug.pitch_mm:g} mm" if plug.pitch_mm is not None else ""),
    )
    return tuple((name, words) for name, words in known if words)


def _own(refused: Refusal) -> dict[str, str]:
    return {name: refused.typed[name] for name in CHANGED_HERE if name in refused.typed}

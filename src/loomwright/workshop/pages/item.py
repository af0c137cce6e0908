"""A joint, device or wire: what it is, its wires, its grades, its record, its photos."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import attrs
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from loomwright.drawings.swatch import swatch_svg
from loomwright.loom import Point, Topology, schema
from loomwright.services.draw import screen_paint
from loomwright.services.entering import row_of
from loomwright.services.kept_rows import Cells
from loomwright.services.labels import Labels
from loomwright.services.plug_view import (
    DEVICE,
    JOINT,
    PLUG,
    WIRE,
    SuspectHere,
    WireHere,
    at_point,
    ends_of,
    kind_of_item,
    points_of,
    readings_at,
)
from loomwright.services.words import BEFORE_OPENING, sentence
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import label
from loomwright.workshop.pages.item_acts import acted
from loomwright.workshop.pages.item_parts import (
    AspectForm,
    PhotoCard,
    PhotoForm,
    Place,
    ReadingLink,
    RecordCard,
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

TABLES = {JOINT: "joints", DEVICE: "devices", WIRE: "wires"}
LINKS_HEADINGS = {JOINT: "", DEVICE: "Plugs that go on it", WIRE: "Where it ends"}
_SAID_ABOVE = ("label", "from", "to", "colour", "section_mm2", "strands")


@attrs.frozen(kw_only=True)
class ItemLink:
    """The way to what belongs to the item: a plug on a device, the end of a wire."""

    url: str
    title: str
    words: str


@page("item.html")
@attrs.frozen(kw_only=True)
class ItemPage:
    """A joint, device or wire."""

    kind: str = told("What it is: joint, device or wire")
    cautions: tuple[str, ...] = told("What to mind before it is opened")
    facts: tuple[tuple[str, str], ...] = told("What is written down of it, name and value")
    edit_url: str = told("The form of its row")
    swatch: str = told("The cut end of a wire, drawn; blank for others")
    links_heading: str = told("What the links below are to it; blank where there are none")
    links: tuple[ItemLink, ...] = told("Plugs on a device, ends of a wire")
    wires: tuple[WireCard, ...] = told("Wires at a joint")
    suspects: tuple[SuspectHere, ...] = told("Suspects at it, if they are worked out already")
    readings: tuple[ReadingLink, ...] = told("Readings that touched it")
    record: RecordCard = told("Whether it is recorded before cutting")
    aspects: tuple[AspectForm, ...] = told("What can be looked at, with its grades")
    photos: tuple[PhotoCard, ...] = told("Photos pinned to it")
    photo_form: PhotoForm = told("The form for new photos")
    action: str = told("Where the forms of the page are sent")
    at: str = told("The part of the page that was changed")


def item(request: HttpRequest, job: str, item: str) -> HttpResponse:
    """Show a joint, device or wire, and take in what is found on it."""
    place = acted(request, job, item)
    if isinstance(place, HttpResponse):
        return place
    kind = kind_of_item(place.job, item)
    if kind == PLUG:
        return HttpResponseRedirect(reverse("plug", args=[job, item]))
    shown = item_page(place, item, kind)
    status, title = 400 if place.refused else 200, Labels(place.job).called(item)
    return show(request, shown, title=title, job=job, here="Loom", status=status)


def item_page(place: Place, name: str, kind: str) -> ItemPage:
    """A joint, device or wire."""
    table = TABLES[kind]
    row = row_of(BENCH.rows.rows(place.ref, table), table.removesuffix("s"), name)
    points, ends = points_of(place.job, name), _ends(place, name, kind)
    return ItemPage(
        kind=kind,
        cautions=(BEFORE_OPENING,),
        facts=(*_said_of_wire(ends), *_facts(table, row.cells)),
        edit_url=row_url(place, table, row.key),
        swatch=swatch_svg(ends[0].letters, screen_paint()) if ends else "",
        links_heading=LINKS_HEADINGS[kind],
        links=tuple(map(partial(_end_link, place), ends)) or tuple(_plugs(place, name)),
        wires=wire_cards(place, _wires_at(place, name, kind), graded=False),
        suspects=suspects_here(place, {name, *map(str, points)} if kind != WIRE else {name}),
        readings=reading_links(place, readings_at(place.job, points)),
        record=record_card(place, name),
        aspects=aspect_forms(place, name),
        photos=photo_cards(place, name),
        photo_form=photo_form(place, name, sides=False),
        action=place.back,
        at=place.at,
    )


def _ends(place: Place, name: str, kind: str) -> tuple[WireHere, ...]:
    return ends_of(place.job, name) if kind == WIRE else ()


def _wires_at(place: Place, name: str, kind: str) -> tuple[WireHere, ...]:
    return at_point(place.job, Point(name)).wires if kind == JOINT else ()


def _end_link(place: Place, end: WireHere) -> ItemLink:
    return ItemLink(
        url=point_url(place, end.far_end), title=str(end.far_end), words=sentence(end.far_words)
    )


def _plugs(place: Place, device: str) -> Iterator[ItemLink]:
    for plug in Topology(place.job).mated_by.get(device, ()):
        url = reverse("plug", args=[place.ref, plug.plug])
        yield ItemLink(url=url, title=f"Plug {plug.plug}", words=plug.label or "")


def _said_of_wire(ends: tuple[WireHere, ...]) -> Iterator[tuple[str, str]]:
    for end in ends[:1]:
        yield "Colour", f"{end.colour} ({end.letters})" if end.letters else end.colour
        yield "Size", end.size or "not said"


def _facts(table: str, cells: Cells) -> Iterator[tuple[str, str]]:
    """What is written in its row, as it is written; what the page tells elsewhere is left out."""
    columns = schema.table(table).columns
    for column in columns:
        if column.name in cells and column.name not in (columns[0].name, *_SAID_ABOVE):
            yield (
                label(column.name),
                f"{cells[column.name]} {column.unit}".strip().replace("_", " "),
            )

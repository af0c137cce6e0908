"""What the pages of single items show alike: grades, photos, the record, wires, readings."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from urllib.parse import urlencode

import attrs
from django.urls import reverse

from loomwright.drawings.swatch import swatch_svg
from loomwright.loom import Job, Point, Problem
from loomwright.services.draw import screen_paint
from loomwright.services.grading import Aspect, aspects
from loomwright.services.pinning import FACES, Pinned, pinned
from loomwright.services.plug_view import (
    HOW_TO_RECORD,
    SuspectHere,
    Touched,
    WireHere,
    kind_of_item,
    suspects_at,
)
from loomwright.services.recording import recorded
from loomwright.services.words import listed, sentence
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.forms import Choice, Field, fields
from loomwright.workshop.naming import told_of
from loomwright.workshop.results import ready

GRADED = ("strands_left", "note")
"""Columns of a grade beside the grade itself."""


@attrs.frozen(kw_only=True)
class Refusal:
    """A form that was not taken: which one, what was typed, what is wrong."""

    act: str
    typed: Mapping[str, str]
    problems: tuple[Problem, ...]

    @property
    def words(self) -> str:
        """All that is wrong, a sentence each."""
        return " ".join(told_of(each) for each in self.problems)


@attrs.frozen(kw_only=True)
class AspectForm:
    """One aspect with its grade: buttons, what each means, note and count."""

    anchor: str
    heading: str
    item: str
    aspect: str
    grade: int | None
    was: str
    said: str
    looks: tuple[tuple[str, str], ...]
    fields: tuple[Field, ...]
    note: str
    problem: str
    edit_url: str
    refused: bool
    chosen: bool


@attrs.frozen(kw_only=True)
class RecordCard:
    """Whether the item is recorded before cutting; words: when and by whom, or how it is done."""

    done: bool
    words: str
    may_go_back: bool
    problem: str


@attrs.frozen(kw_only=True)
class PhotoCard:
    """A photo with its pin; `url` is empty where the file is not with the job."""

    name: str
    url: str
    src: str
    words: str
    pin: str
    taken: str
    may_go: bool


@attrs.frozen(kw_only=True)
class PhotoForm:
    """The form for new photos: side of the face where it is a plug, note, what was refused."""

    item: str
    sides: tuple[Choice, ...]
    note: str
    problem: str


@attrs.frozen(kw_only=True)
class WireCard:
    """A wire that ends here, with its swatch, its far end and its grades."""

    wire: str
    swatch: str
    letters: str
    colour: str
    size: str
    far_words: str
    far_url: str
    url: str
    edit_url: str
    aspects: tuple[AspectForm, ...]
    open: bool
    grades: str


@attrs.frozen(kw_only=True)
class ReadingLink:
    """A reading that touched the item, with the way to it."""

    url: str
    title: str
    words: str


@attrs.frozen(kw_only=True)
class Place:
    """Where the person stands: job, its rows as kept, address to come back to, what was refused."""

    ref: str
    job: Job
    back: str
    at: str = ""
    refused: Refusal | None = None


def aspect_forms(place: Place, item: str) -> tuple[AspectForm, ...]:
    """The grades of an item as forms."""
    rows = BENCH.rows.rows(place.ref, "survey")
    return tuple(_aspect_form(place, each) for each in aspects(place.job, rows, item))


def record_card(place: Place, item: str) -> RecordCard:
    """Whether an item was recorded, in words."""
    found = recorded(place.job.tasks, item)
    refused = _asked(place, "record", "unrecord")
    problem = refused.words if refused else ""
    if found is None:
        how = HOW_TO_RECORD[kind_of_item(place.job, item)]
        return RecordCard(done=False, words=how, may_go_back=False, problem=problem)
    said = ", ".join(filter(None, (found.at, f"by {found.by}" if found.by else "")))
    rests = f"{sentence(listed(list(found.later)))} came later and rests on it."
    return RecordCard(
        done=True,
        words=" ".join(filter(None, (f"{said}." if said else "", rests if found.later else ""))),
        may_go_back=not found.later,
        problem=problem,
    )


def photo_cards(place: Place, item: str) -> tuple[PhotoCard, ...]:
    """The photos of an item."""
    found = pinned(place.job, item, PHOTOS.names(place.ref))
    return tuple(_photo_card(place.ref, each) for each in found)


def photo_form(place: Place, item: str, *, sides: bool) -> PhotoForm:
    """The form for new photos, with what was typed when they were refused."""
    refused = _asked(place, "pin")
    typed = refused.typed if refused else {}
    offered = (*FACES.items(), ("", "the whole plug")) if sides else ()
    return PhotoForm(
        item=item,
        sides=tuple(
            Choice(value=value, words=words, chosen=value == typed.get("face", ""))
            for value, words in offered
        ),
        note=typed.get("note", ""),
        problem=refused.words if refused else "",
    )


def wire_cards(place: Place, wires: Collection[WireHere], *, graded: bool) -> tuple[WireCard, ...]:
    """The wires that end at a point, each with its grades where they are asked for."""
    keys = {row.cells.get("wire"): row.key for row in BENCH.rows.rows(place.ref, "wires")}
    return tuple(_wire_card(place, each, keys.get(each.wire, ""), graded) for each in wires)


def reading_links(place: Place, touched: Collection[Touched]) -> tuple[ReadingLink, ...]:
    """Readings as links to their pages."""
    return tuple(
        ReadingLink(
            url=reverse("reading", args=[place.ref, each.reading]) + ("?after=1" * each.after),
            title=f"{each.reading}: {each.value}" + (" after the work" if each.after else ""),
            words=each.words,
        )
        for each in touched
    )


def suspects_here(place: Place, names: Collection[str]) -> tuple[SuspectHere, ...]:
    """Suspects at any of the names, if they are worked out already; nothing is worked out here."""
    known = ready(place.ref)
    if known is None or not known.has("suspects"):
        return ()
    return suspects_at(known.suspects.suspects, names, known.labels)


def point_url(place: Place, point: Point) -> str:
    """The page of what a point belongs to, with its cavity chosen."""
    if any(plug.plug == point.owner for plug in place.job.plugs):
        cavity = f"?{urlencode({'cavity': point.terminal})}" if point.terminal else ""
        return reverse("plug", args=[place.ref, point.owner]) + cavity
    return reverse("item", args=[place.ref, point.owner])


def row_url(place: Place, table: str, key: str = "", **more: str) -> str:
    """The form of a row, or of a new one, that leads back to this page."""
    name, args = ("row", [place.ref, table, key]) if key else ("add_row", [place.ref, table])
    return f"{reverse(name, args=args)}?{urlencode({**more, 'back': place.back})}"


def _asked(place: Place, *acts: str) -> Refusal | None:
    """What was refused, when it was one of these."""
    refused = place.refused
    return refused if refused and refused.act in acts else None


def _aspect_form(place: Place, each: Aspect) -> AspectForm:
    anchor = f"{each.item}-{each.aspect}"
    refused = _asked(place, "grade")
    if refused and not _is_of(refused, each):
        refused = None
    problems = refused.problems if refused else ()
    grade = each.cells.get("grade", "")
    return AspectForm(
        anchor=anchor,
        heading=each.aspect.capitalize(),
        item=each.item,
        aspect=each.aspect,
        grade=int(grade) if grade.isdecimal() else None,
        was=grade,
        said=each.said,
        looks=each.looks,
        fields=fields(
            "survey",
            {**each.cells, **(refused.typed if refused else {})},
            before=each.cells,
            problems=problems,
            only=GRADED if each.aspect == "strands" else GRADED[1:],
        ),
        problem=" ".join(told_of(one) for one in problems if one.where.column not in GRADED),
        note=each.cells.get("note", ""),
        edit_url=row_url(place, "survey", each.key) if each.key else "",
        refused=refused is not None,
        chosen=place.at == anchor or refused is not None,
    )


def _is_of(refused: Refusal, each: Aspect) -> bool:
    return (refused.typed.get("item"), refused.typed.get("aspect")) == (each.item, each.aspect)


def _photo_card(ref: str, each: Pinned) -> PhotoCard:
    url = reverse("photo", args=[ref, each.name])
    return PhotoCard(
        name=each.name,
        url=f"{url}?size=large" if each.there else "",
        src=f"{url}?size=thumb" if each.there else "",
        words=each.words,
        pin=each.pin,
        taken=each.taken,
        may_go=each.may_go,
    )


def _wire_card(place: Place, each: WireHere, key: str, graded: bool) -> WireCard:
    forms = aspect_forms(place, each.wire) if graded else ()
    grades = [f"{one.aspect} {one.said.partition(':')[0]}" for one in forms if one.said]
    return WireCard(
        wire=each.wire,
        swatch=swatch_svg(each.letters, screen_paint()),
        letters=each.letters,
        colour=each.colour,
        size=each.size,
        far_words=sentence(each.far_words),
        far_url=point_url(place, each.far_end),
        url=reverse("item", args=[place.ref, each.wire]),
        edit_url=row_url(place, "wires", key) if key else "",
        aspects=forms,
        open=any(one.chosen for one in forms),
        grades=listed(grades) or "not looked at yet",
    )

"""The pattern page: every element once, looked at whenever a style changes."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.drawings.tree import tree_svg
from loomwright.loom.errors import Disputed
from loomwright.services.draw import loom_plan
from loomwright.services.new import worked_job
from loomwright.workshop.forms import Field
from loomwright.workshop.pages import pattern_examples as examples
from loomwright.workshop.pages.framing import Message
from loomwright.workshop.pages.page import page, show, told


@page("pattern.html")
@attrs.frozen(kw_only=True)
class PatternPage:
    """Every element with invented content."""

    messages: tuple[Message, ...] = told("One of each kind")
    cautions: tuple[str, ...] = told("Lines of a caution box")
    problems: tuple[str, ...] = told("Sentences of a refused form")
    fields: tuple[Field, ...] = told("A field of every kind")
    tiles: tuple[Field, ...] = told("Choices as tiles")
    value: Field = told("The field with the number pad")
    disputed: tuple[Disputed, ...] = told("A field with two values")
    spot: examples.Face = told("Where the probes go in")
    faces: tuple[examples.Face, ...] = told("Both sides of a face to touch")
    steps: tuple[examples.Step, ...] = told("A step in every state")
    since: str = told("When the running clock began")
    ledger: examples.Ledger = told("A ledger counting down")
    chart: str = told("A small drawing")
    tree: str = told("A wide drawing")
    photos: tuple[examples.Photo, ...] = told("Photos with their pins")
    wires: tuple[examples.WireLine, ...] = told("Lines of the table that becomes cards")
    rows: tuple[examples.Row, ...] = told("Rows that are links")


def pattern(request: HttpRequest) -> HttpResponse:
    """Show every element once."""
    shown = PatternPage(
        messages=examples.MESSAGES, cautions=examples.CAUTIONS, problems=examples.PROBLEMS,
        fields=examples.FIELDS, tiles=examples.TILES, value=examples.VALUE,
        disputed=examples.DISPUTED, spot=examples.spot(), faces=examples.faces(),
        steps=examples.STEPS,
        since=examples.SINCE, ledger=examples.LEDGER, chart=examples.CHART,
        tree=tree_svg(loom_plan(worked_job())), photos=examples.PHOTOS, wires=examples.WIRES,
        rows=examples.ROWS,
    )  # fmt: skip
    return show(request, shown, title="Pattern page")

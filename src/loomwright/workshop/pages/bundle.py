"""How thick some wires are together, and what goes over them; without a job."""

from __future__ import annotations

import attrs
from django.http import HttpRequest, HttpResponse

from loomwright.drawings.bundle_section import bundle_section
from loomwright.loom import InputProblems
from loomwright.services.bundle import BundleReport, read_bundle
from loomwright.services.bundle_words import MEASURE, cover_rows, how_good, with_tape
from loomwright.services.counting import counted
from loomwright.workshop.forms import Field
from loomwright.workshop.pages.page import page, show, told

_MOST_TYPED = 4000


@attrs.frozen(kw_only=True)
class Packed:
    """A bundle.

    Attributes
    ----------
    across : its diameter, with its unit
    wires : how many are in it
    good : how good the packing is
    usual : how such a bundle is met, and with tape
    covers : what goes over it, and in which size
    picture : its section
    """

    across: str
    wires: str
    good: str
    usual: str
    covers: tuple[tuple[str, str], ...]
    picture: str


@page("bundle.html")
@attrs.frozen(kw_only=True)
class BundlePage:
    """A bundle without a job."""

    wires: Field = told("Outside diameters of the wires")
    tape_wall: Field = told("What tape adds on each side")
    problems: tuple[str, ...] = told("What cannot be a diameter, a sentence each")
    packed: Packed | None = told("The bundle; None before wires are given")
    measure: str = told("That covers are bought by what is measured")


def bundle_page(request: HttpRequest) -> HttpResponse:
    """Ask for diameters; show the bundle."""
    typed = request.GET.get("wires", "")[:_MOST_TYPED]
    wall = request.GET.get("tape_wall", "")[:40].strip()
    problems: tuple[str, ...] = ()
    packed = None
    try:
        if "wires" in request.GET:
            packed = _packed(read_bundle(_split(typed), tape_wall=wall))
    except InputProblems as wrong:
        problems = tuple(each.sentence for each in wrong.problems)
    shown = BundlePage(
        wires=_wires(typed, problems),
        tape_wall=_wall(wall),
        problems=problems,
        packed=packed,
        measure=MEASURE,
    )
    return show(request, shown, title="Bundle of wires", status=400 if problems else 200)


def _split(typed: str) -> list[str]:
    """The diameters apart; a comma inside one is its decimal mark."""
    return [each.strip(",") for each in typed.replace(";", " ").split() if each.strip(",")]


def _packed(report: BundleReport) -> Packed:
    return Packed(
        across=f"{report.diameter_mm:.2f} mm",
        wires=counted(len(report.wires), "wire"),
        good=how_good(report),
        usual=with_tape(report),
        covers=tuple(cover_rows(report)),
        picture=bundle_section(report),
    )


def _wires(typed: str, problems: tuple[str, ...]) -> Field:
    return Field(
        name="wires", label="Outside diameters", unit="mm", value=typed, required=True,
        help="One after the other, such as 8x2.0 1.6 1,6: eight of 2.0 mm and two of 1.6 mm.",
        problem=" ".join(problems),
    )  # fmt: skip


def _wall(typed: str) -> Field:
    return Field(
        name="tape_wall", label="Tape adds on each side", unit="mm", kind="number",
        inputmode="decimal", value=typed, help="Blank for the usual wall of tape half over itself.",
    )  # fmt: skip

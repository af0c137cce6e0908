"""What `bundle` says: how thick the wires are together, and what goes round them."""

from __future__ import annotations

from loomwright.cli.page import Page, table
from loomwright.services.bundle import BundleReport
from loomwright.services.bundle_words import MEASURE, cover_rows, how_good, with_tape
from loomwright.services.counting import counted
from loomwright.services.words import SAFETY


def draw_bundle(report: BundleReport) -> str:
    """The cross-section as SVG text."""
    from loomwright.drawings.bundle_section import bundle_section

    return bundle_section(report)


def show_bundle(report: BundleReport, drawing: str = "") -> None:
    """The diameter first, then covers, then where each wire lies.

    Parameters
    ----------
    report : the bundle
    drawing : where its cross-section was put, empty for nowhere
    """
    page = Page()
    page.title(f"{counted(len(report.wires), 'wire')} together: {report.diameter_mm:.2f} mm")
    page.say(how_good(report))
    page.say(with_tape(report))
    page.heading("What goes over it, packed or as usually met")
    made = table(("cover", "left", 24), ("size", "left", 50))
    for cover, size in cover_rows(report):
        made.add_row(cover, size)
    page.show(made)
    page.heading("Where each wire lies, from the middle")
    places = table(
        ("wire", "right", 5), ("outside mm", "right", 11), ("x mm", "right", 9),
        ("y mm", "right", 9),
    )  # fmt: skip
    for wire in report.wires:
        row = (f"{wire.outside_mm:g}", f"{wire.x_mm:.2f}", f"{wire.y_mm:.2f}")
        places.add_row(str(wire.number), *row)
    page.show(places)
    page.say(MEASURE)
    if drawing:
        page.out.print(f"Drawn: {drawing}", soft_wrap=True)
    page.say(SAFETY)

"""What `bundle` says: how thick the wires are together, and what goes round them."""

from __future__ import annotations

from loomwright.cli.page import Page, table
from loomwright.services.bundle import BundleReport, SleeveChoice
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
    page.say(_how_good(report))
    page.say(
        f"As bundles are usually met: {report.met_mm:.1f} mm. With tape wound half over itself "
        f"({report.tape_wall_mm:g} mm on each side): {report.covers.taped_mm.low:.1f} to "
        f"{report.covers.taped_mm.high:.1f} mm; tape for a metre: "
        f"{report.covers.tape_m_per_m:.1f} m."
    )
    page.heading("What goes over it, packed or as usually met")
    made = table(("cover", "left", 24), ("size", "left", 50))
    for each in report.covers.sleeves:
        made.add_row(each.kind, _size(each))
    tube = report.covers.tube
    shrink = tube.missing
    if tube.tube is not None:
        shrink = f"{tube.tube.supplied_mm:g} mm, shrinks to {tube.tube.recovered_mm:g} mm"
    made.add_row("heat-shrink 2:1", shrink)
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
    page.say("Sizes of covers are those usually sold; measure the bundle before you buy.")
    if drawing:
        page.out.print(f"Drawn: {drawing}", soft_wrap=True)
    page.say(SAFETY)


def _how_good(report: BundleReport) -> str:
    if report.gap_pct < 1e-4:
        return "No arrangement is tighter."
    return (
        f"The tightest that was found. It is at most {report.gap_pct:.1f} % above the least there "
        f"can be: nothing holds these wires in less than {report.bound_mm:.2f} mm."
    )


def _size(each: SleeveChoice) -> str:
    if each.sleeve is None:
        return each.missing
    if each.sleeve.bore_max_mm is None:
        return f"bore {each.sleeve.bore_mm:g} mm"
    return f"{each.sleeve.bore_mm:g} mm, widens to {each.sleeve.bore_max_mm:g} mm"

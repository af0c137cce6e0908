"""A bundle in words: how good the packing is, and what goes over it."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.services.bundle import BundleReport, SleeveChoice

__all__ = ["MEASURE", "cover_rows", "how_good", "with_tape"]

MEASURE = "Sizes of covers are those usually sold; measure the bundle before you buy."


def how_good(report: BundleReport) -> str:
    """How near the packing is to the least there can be."""
    if report.gap_pct < 1e-4:
        return "No arrangement is tighter."
    return (
        f"The tightest that was found. It is at most {report.gap_pct:.1f} % above the least there "
        f"can be: nothing holds these wires in less than {report.bound_mm:.2f} mm."
    )


def with_tape(report: BundleReport) -> str:
    """How such a bundle is usually met, and how thick it is with tape."""
    return (
        f"As bundles are usually met: {report.met_mm:.1f} mm. With tape wound half over itself "
        f"({report.tape_wall_mm:g} mm on each side): {report.covers.taped_mm.low:.1f} to "
        f"{report.covers.taped_mm.high:.1f} mm; tape for a metre: "
        f"{report.covers.tape_m_per_m:.1f} m."
    )


def cover_rows(report: BundleReport) -> Iterator[tuple[str, str]]:
    """Each cover with its size, or what to do first."""
    for each in report.covers.sleeves:
        yield each.kind, _size(each)
    tube = report.covers.tube
    shrink = tube.missing
    if tube.tube is not None:
        shrink = f"{tube.tube.supplied_mm:g} mm, shrinks to {tube.tube.recovered_mm:g} mm"
    yield "heat-shrink 2:1", shrink


def _size(each: SleeveChoice) -> str:
    if each.sleeve is None:
        return each.missing
    if each.sleeve.bore_max_mm is None:
        return f"bore {each.sleeve.bore_mm:g} mm"
    return f"{each.sleeve.bore_mm:g} mm, widens to {each.sleeve.bore_max_mm:g} mm"

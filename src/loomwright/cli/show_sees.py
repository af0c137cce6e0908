"""What `sees` says: temperatures the control unit believes, and the current it drives."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from loomwright.cli.page import Page, table
from loomwright.loom import Job
from loomwright.services.labels import Labels
from loomwright.services.sees import Believed, InjectorSeen, SeesReport, SensorSeen
from loomwright.services.words import SAFETY, degrees, signed, tenth

if TYPE_CHECKING:
    from rich.table import Table
    from rich.text import Text


def show_sees(report: SeesReport, job: Job) -> None:
    """A table per sensor, one for the injectors, and what the ranges mean.

    Parameters
    ----------
    report : what the control unit sees
    job : for the labels and the ends of the curves
    """
    page = Page()
    labels = Labels(job)
    page.title(report.job)
    for sensor in report.sensors:
        page.heading(f"{labels.owner(sensor.device)}, read at {sensor.input_pin}")
        page.show(_sensor(sensor, curve_range(job, sensor)))
    if report.injectors:
        page.heading("Injectors")
        page.show(_injectors(report.injectors))
    if not report.sensors and not report.injectors:
        page.say(
            "Nothing to tell from the control unit's side: no element of kind input with a "
            "pull-up reads a thermistor, and no winding has a pull-in current."
        )
        return
    page.gap()
    page.say("Middle values; in brackets the 90 % range over all that the readings leave open.")
    page.say("Fuel: what the fuelling table gives at the believed temperature, against the true.")
    page.say("A mark is set against what a good sensor may be off by (✓ within).")
    page.say(SAFETY)


def curve_range(job: Job, sensor: SensorSeen) -> tuple[float, float]:
    """First and last temperature of a sensor's curve [°C]."""
    curve = next(each.curve for each in job.elements if each.element == sensor.element)
    known = [point.temperature_c for point in job.curves if point.curve == curve]
    return (min(known), max(known)) if known else (-math.inf, math.inf)


def _sensor(sensor: SensorSeen, known: tuple[float, float]) -> Table:
    made = table(
        ("True", "right", 14),
        ("It believes", "left", 25),
        ("Off by", "right", 9),
        ("Fuel", "right", 8),
        ("", "left", 16),
    )
    for row in sensor.rows:
        made.add_row(
            ("now " if row.now else "") + degrees(row.true_c),
            _with_range(row),
            signed(row.error_k, "K"),
            "?" if row.fuel_pct is None else signed(row.fuel_pct, "%"),
            _judged(row, known),
        )
    return made


def _with_range(row: Believed) -> str:
    middle, low, high = tenth(row.believed_c), tenth(row.low_c), tenth(row.high_c)
    return f"{middle} °C" if low == high else f"{middle} °C ({low} to {high})"


def _judged(row: Believed, known: tuple[float, float]) -> Text:
    """The error against what a good part may be off by, as a mark and words."""
    from rich.text import Text

    if not known[0] <= row.true_c <= known[1]:
        return Text("· past its curve")
    if abs(row.error_k) <= row.tolerance_k:
        return Text(f"✓ within ±{row.tolerance_k:.1f} K", style="good")
    return Text("▼ too cold" if row.error_k < 0 else "▲ too hot", style="bad")


def _injectors(injectors: tuple[InjectorSeen, ...]) -> Table:
    made = table(
        ("Injector", "left", 16),
        ("Current as new", "right", 14),
        ("Lost now", "left", 22),
        ("Opens later", "left", 22),
    )
    for each in injectors:
        made.add_row(
            f"{each.device} {each.element}",
            f"{each.current_a:.2f} A",
            _spread(each.lost_pct, "%"),
            "not known" if each.delay_ms is None else _spread(each.delay_ms, "ms"),
        )
    return made


def _spread(values: tuple[float, float, float], unit: str) -> str:
    low, middle, high = values
    if math.isinf(middle):
        return "does not open"
    text = f"{middle:.1f} {unit}"
    if high - low < 0.05:
        return text
    top = "never opens" if math.isinf(high) else f"{high:.1f} {unit}"
    return f"{text} ({low:.1f} to {top})"

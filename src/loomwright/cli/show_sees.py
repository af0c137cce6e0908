"""What `sees` says: temperatures the control unit believes, and the current it drives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.cli.page import Page, table
from loomwright.loom import Job
from loomwright.services.labels import Labels
from loomwright.services.sees import Believed, InjectorSeen, SeesReport, SensorSeen
from loomwright.services.sees_words import (
    MEANING,
    NOTHING_SEEN,
    believes,
    curve_range,
    judged,
    spread,
)
from loomwright.services.words import SAFETY, degrees, signed

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
        page.say(NOTHING_SEEN)
        return
    page.gap()
    for line in MEANING:
        page.say(line)
    page.say(SAFETY)


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
            believes(row),
            signed(row.error_k, "K"),
            "?" if row.fuel_pct is None else signed(row.fuel_pct, "%"),
            _judged(row, known),
        )
    return made


def _judged(row: Believed, known: tuple[float, float]) -> Text:
    from rich.text import Text

    words, style = judged(row, known)
    return Text(words, style=style)


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
            spread(each.lost_pct, "%"),
            "not known" if each.delay_ms is None else spread(each.delay_ms, "ms"),
        )
    return made

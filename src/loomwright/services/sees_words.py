"""What the control unit sees, in words: temperatures believed, current lost, later opening."""

from __future__ import annotations

import math

from loomwright.loom import Job
from loomwright.services.sees import Believed, SensorSeen
from loomwright.services.words import tenth

NOTHING_SEEN = (
    "Nothing to tell from the control unit's side: no element of kind input with a "
    "pull-up reads a thermistor, and no winding has a pull-in current."
)
MEANING = (
    "Middle values; in brackets the 90 % range over all that the readings leave open.",
    "Fuel: what the fuelling table gives at the believed temperature, against the true.",
    "A mark is set against what a good sensor may be off by (✓ within).",
)


def curve_range(job: Job, sensor: SensorSeen) -> tuple[float, float]:
    """First and last temperature of a sensor's curve [°C]."""
    curve = next(each.curve for each in job.elements if each.element == sensor.element)
    known = [point.temperature_c for point in job.curves if point.curve == curve]
    return (min(known), max(known)) if known else (-math.inf, math.inf)


def believes(row: Believed) -> str:
    """What it believes: `71.4 °C (71.1 to 71.4)`."""
    middle, low, high = tenth(row.believed_c), tenth(row.low_c), tenth(row.high_c)
    return f"{middle} °C" if low == high else f"{middle} °C ({low} to {high})"


def judged(row: Believed, known: tuple[float, float]) -> tuple[str, str]:
    """The error against what a good part may be off by: mark and words, then good, bad or blank.

    Parameters
    ----------
    row : what is believed at one temperature
    known : first and last temperature of the sensor's curve [°C]
    """
    if not known[0] <= row.true_c <= known[1]:
        return "· past its curve", ""
    if abs(row.error_k) <= row.tolerance_k:
        return f"✓ within ±{row.tolerance_k:.1f} K", "good"
    return ("▼ too cold" if row.error_k < 0 else "▲ too hot"), "bad"


def spread(values: tuple[float, float, float], unit: str) -> str:
    """A middle value with its range: `3.1 % (2.0 to 4.4)`.

    Parameters
    ----------
    values : 5, 50 and 95 percent; infinite where it does not open
    unit : of all three
    """
    low, middle, high = values
    if math.isinf(middle):
        return "does not open"
    text = f"{middle:.1f} {unit}"
    if high - low < 0.05:
        return text
    top = "never opens" if math.isinf(high) else f"{high:.1f} {unit}"
    return f"{text} ({low:.1f} to {top})"

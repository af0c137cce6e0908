"""What the faults do to the engine, in sentences, from what the control unit sees."""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs

from loomwright.services.labels import Labels
from loomwright.services.sees import Believed, InjectorSeen, SeesReport, SensorSeen
from loomwright.services.words import degrees, tenth

WORTH_SAYING_PCT = 5.0
"""An injector that loses less of its current than this is not spoken of."""


@attrs.frozen(kw_only=True)
class Twice:
    """What the control unit believes at one temperature, by the readings before and after.

    Attributes
    ----------
    device : of the sensor
    before, after : what it believes; None after where there is no reading
    """

    device: str
    before: Believed
    after: Believed | None


def effects(report: SeesReport, labels: Labels) -> list[str]:
    """A sentence for every sensor and injector that is off by more than a good part may be."""
    said = [_sensor(sensor, row, labels) for sensor in report.sensors for row in worst(sensor)]
    return said + [line for each in report.injectors for line in _injector(each, labels)]


def worst(sensor: SensorSeen) -> list[Believed]:
    """The row to tell of a sensor that is off: that of the last reading, else the largest error."""
    off = [row for row in sensor.rows if abs(row.error_k) > row.tolerance_k]
    now = [row for row in off if row.now]
    return now or sorted(off, key=lambda row: -abs(row.error_k))[:1]


def twice(before: SeesReport, after: SeesReport | None) -> tuple[Twice, ...]:
    """Rows of the sensors that were off before, beside the same after."""
    later = {
        (sensor.element, row.true_c): row
        for sensor in (after.sensors if after is not None else ())
        for row in sensor.rows
    }
    return tuple(
        Twice(device=sensor.device, before=row, after=later.get((sensor.element, row.true_c)))
        for sensor in before.sensors
        if worst(sensor)
        for row in sensor.rows
        if after is None or (sensor.element, row.true_c) in later
    )


def _sensor(sensor: SensorSeen, row: Believed, labels: Labels) -> str:
    where = named(sensor.device, labels)
    said = f"{where}: at {degrees(row.true_c)} the control unit believes {degrees(row.believed_c)}"
    if row.fuel_pct is None or abs(row.fuel_pct) < 1.0:
        return f"{said}."
    way = "more" if row.fuel_pct > 0 else "less"
    return f"{said} and gives about {tenth(abs(row.fuel_pct))} % {way} fuel."


def _injector(each: InjectorSeen, labels: Labels) -> Iterator[str]:
    lost = each.lost_pct[1]
    if abs(lost) < WORTH_SAYING_PCT:
        return
    said = f"{named(each.device, labels)}: gets {lost:.0f} % less current"
    late = None if each.delay_ms is None else each.delay_ms[1]
    if late is None:
        yield f"{said}."
    elif math.isinf(late):
        yield f"{said} and does not open."
    else:
        yield f"{said} and opens {late:.1f} ms later."


def named(device: str, labels: Labels) -> str:
    """A device as the owner knows it: its label, else its name."""
    row = labels.loom.devices.get(device)
    return str(row.label) if row is not None and row.label else device

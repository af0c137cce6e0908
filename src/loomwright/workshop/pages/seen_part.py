"""The part of a page that tells what the control unit sees: believed temperatures, lost current."""

from __future__ import annotations

import attrs

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
from loomwright.services.words import degrees, signed


@attrs.frozen(kw_only=True)
class SensorRow:
    """One true temperature, and what the control unit makes of it."""

    true: str
    now: bool
    believes: str
    off: str
    fuel: str
    judged: str
    kind: str


@attrs.frozen(kw_only=True)
class SensorPart:
    """One sensor as the control unit sees it."""

    heading: str
    rows: tuple[SensorRow, ...]


@attrs.frozen(kw_only=True)
class CoilRow:
    """One injector as the control unit drives it."""

    name: str
    current: str
    lost: str
    later: str


@attrs.frozen(kw_only=True)
class SeenPart:
    """What the control unit sees, and what the figures mean."""

    sensors: tuple[SensorPart, ...]
    coils: tuple[CoilRow, ...]
    meaning: tuple[str, ...]


def seen_part(report: SeesReport, job: Job, labels: Labels) -> SeenPart:
    """The part.

    Parameters
    ----------
    report : what the control unit sees
    job : for the ends of the curves
    labels : the job's names
    """
    anything = report.sensors or report.injectors
    return SeenPart(
        sensors=tuple(_sensor(each, job, labels) for each in report.sensors),
        coils=tuple(_coil(each) for each in report.injectors),
        meaning=MEANING if anything else (NOTHING_SEEN,),
    )


def _sensor(sensor: SensorSeen, job: Job, labels: Labels) -> SensorPart:
    known = curve_range(job, sensor)
    return SensorPart(
        heading=f"{labels.owner(sensor.device)}, read at {sensor.input_pin}",
        rows=tuple(_row(row, known) for row in sensor.rows),
    )


def _row(row: Believed, known: tuple[float, float]) -> SensorRow:
    words, kind = judged(row, known)
    return SensorRow(
        true=degrees(row.true_c),
        now=row.now,
        believes=believes(row),
        off=signed(row.error_k, "K"),
        fuel="?" if row.fuel_pct is None else signed(row.fuel_pct, "%"),
        judged=words,
        kind=kind,
    )


def _coil(each: InjectorSeen) -> CoilRow:
    return CoilRow(
        name=f"{each.device} {each.element}",
        current=f"{each.current_a:.2f} A",
        lost=spread(each.lost_pct, "%"),
        later="not known" if each.delay_ms is None else spread(each.delay_ms, "ms"),
    )

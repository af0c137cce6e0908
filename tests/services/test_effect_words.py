"""What the faults do, in sentences."""

from __future__ import annotations

import math

import pytest

from loomwright.loom import About, Device, Job
from loomwright.services.effect_words import effects, twice, worst
from loomwright.services.labels import Labels
from loomwright.services.sees import Believed, InjectorSeen, SeesReport, SensorSeen

LABELS = Labels(
    Job(
        about=About(title="Small"),
        devices=(
            Device(device="S", label="Engine sensor"), Device(device="J"),
        ),
    )
)  # fmt: skip


def row(true_c: float, error_k: float, *, now: bool = False, fuel: float | None = None) -> Believed:
    return Believed(
        true_c=true_c, now=now, low_c=true_c + error_k, believed_c=true_c + error_k,
        high_c=true_c + error_k, error_k=error_k, tolerance_k=2.0, fuel_pct=fuel,
    )  # fmt: skip


def seen(*rows: Believed, injector: InjectorSeen | None = None) -> SeesReport:
    sensor = SensorSeen(element="TH", device="S", input_pin="ECU.1", rows=rows)
    return SeesReport(
        job="Small", sensors=(sensor,) if rows else (), injectors=(injector,) if injector else ()
    )


def jet(lost: float, late: float | None) -> InjectorSeen:
    delay = None if late is None else (late, late, late)
    return InjectorSeen(
        element="C", device="J", current_a=1.0, lost_pct=(lost, lost, lost), delay_ms=delay
    )


def test_the_temperature_of_the_last_reading_is_told_first() -> None:
    report = seen(row(20, -3), row(80, -9, now=True, fuel=4.94), row(95, -15))
    assert effects(report, LABELS) == [
        "Engine sensor: at 80 °C the control unit believes 71 °C and gives about 4.9 % more fuel."
    ]


def test_else_the_largest_error_and_less_fuel_is_said_as_less() -> None:
    report = seen(row(20, 3, fuel=-1.5), row(80, 9, fuel=-6.0), row(95, 1, now=True))
    assert effects(report, LABELS) == [
        "Engine sensor: at 80 °C the control unit believes 89 °C and gives about 6.0 % less fuel."
    ]


def test_what_a_good_sensor_may_be_off_by_is_not_told() -> None:
    report = seen(row(20, 1.9), row(80, -2.0))
    assert worst(report.sensors[0]) == []
    assert effects(report, LABELS) == []
    assert twice(report, report) == ()


def test_without_a_fuelling_table_nothing_is_said_of_fuel() -> None:
    assert effects(seen(row(80, -9)), LABELS) == [
        "Engine sensor: at 80 °C the control unit believes 71 °C."
    ]


@pytest.mark.parametrize(
    ("lost", "late", "said"),
    [
        (2.0, 0.1, []),
        (12.0, 0.34, ["J: gets 12 % less current and opens 0.3 ms later."]),
        (100.0, math.inf, ["J: gets 100 % less current and does not open."]),
        (12.0, None, ["J: gets 12 % less current."]),
    ],
)
def test_injectors(lost: float, late: float | None, said: list[str]) -> None:
    assert effects(seen(injector=jet(lost, late)), LABELS) == said


def test_before_and_after_are_set_side_by_side_at_the_same_temperature() -> None:
    before, after = seen(row(20, -3), row(80, -9)), seen(row(17, 0), row(80, -0.1))
    (both,) = twice(before, after)
    assert (both.before.believed_c, both.after and both.after.believed_c) == (71, 79.9)
    assert [each.after for each in twice(before, None)] == [None, None]

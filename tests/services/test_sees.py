"""What the control unit believes and drives, against the arithmetic of the trade."""

from __future__ import annotations

import json
from pathlib import Path

import attrs
import pytest

from loomwright.loom import FuellingPoint, Job, MeterRange
from loomwright.physics.apparent_temperature import apparent_temperature
from loomwright.physics.thermistor_table import TableCurve
from loomwright.services.sees import Believed, InjectorSeen, SeesReport, sees
from loomwright.storage.job_folder import JobFolder
from sample.drawn import COOLANT, loom, reading

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"
CURVE = TableCurve(*zip(*COOLANT, strict=True))

#   CU.1 --W1-- T.1 [TH] T.2 --W2-- CU.2
SENSOR = loom(
    "W1 CU.1 T.1 300\nW2 CU.2 T.2 300",
    {"CU": "UNIT: 1 . 2", "T": "S: 1 . 2"},
    """
    IN UNIT.1 UNIT.2 input pull_up_ohm=1800 pull_up_v=8
    TH S.1 S.2 thermistor curve=NTC tolerance_pct=5
    """,
    temperatures={"S": "engine"},
)
HOT, COLD = "engine_c=80", "engine_c=20"


def read(job: Job, *rows: tuple[str, float | str, str, str]) -> SeesReport:
    taken = (
        reading(f"R{n}", text, value, state=state, off=off)
        for n, (text, value, state, off) in enumerate(rows)
    )
    return sees(attrs.evolve(job, readings=tuple(taken)))


def rows_of(report: SeesReport) -> dict[float, Believed]:
    (sensor,) = report.sensors
    assert (sensor.element, sensor.device, sensor.input_pin) == ("TH", "S", "UNIT.1")
    return {row.true_c: row for row in sensor.rows}


def series(ohm: float) -> SeesReport:
    """So many ohms in a contact of T: seen at the plug, not at the bare sensor."""
    return read(
        SENSOR,
        ("ohm CU.1 CU.2", 2508 + ohm, COLD, "CU"),
        ("ohm CU.1 CU.2", 324 + ohm, HOT, "CU"),
        ("ohm T.1 T.2", 324 + ohm, HOT, "CU"),
        ("ohm S.1 S.2", 324.0, HOT, "CU T"),
    )


@pytest.mark.parametrize(
    ("ohm", "errors"),
    [  # at 20, 60, 80 °C, worked in trade notes for the usual coolant sensor
        (50.0, {20.0: -0.5, 60.0: -2.5, 80.0: -4.9}),
        (100.0, {20.0: -1.0, 60.0: -4.8, 80.0: -9.1}),
        (200.0, {20.0: -1.9, 60.0: -8.8, 80.0: -15.9}),
    ],
)
def test_series_ohms_are_believed_as_cold_and_only_matter_hot(
    ohm: float, errors: dict[float, float]
) -> None:
    rows = rows_of(series(ohm))
    for celsius, error in errors.items():
        # The readings leave the ohms uncertain by some percent.
        assert rows[celsius].error_k == pytest.approx(error, abs=0.3 + 0.08 * abs(error))
        assert rows[celsius].low_c <= rows[celsius].believed_c <= rows[celsius].high_c


def test_the_error_is_that_of_the_physics_room() -> None:
    for celsius, row in rows_of(series(100.0)).items():
        believed = apparent_temperature(
            celsius, ohm_at=CURVE.ohm, temperature_of=CURVE.temperature, series_ohm=100.0
        )
        assert row.believed_c == pytest.approx(float(believed), abs=0.3 + 0.1 * abs(row.error_k))


def test_a_sound_circuit_is_believed_as_it_is() -> None:
    report = read(
        SENSOR,
        ("ohm CU.1 CU.2", 2508.0, COLD, "CU"),
        ("ohm CU.1 CU.2", 324.0, HOT, "CU"),
        ("ohm S.1 S.2", 324.0, HOT, "CU T"),
    )
    for row in rows_of(report).values():
        # A few ohms of contact can always hide below what was read: half a kelvin or so when hot.
        assert row.error_k == pytest.approx(0.0, abs=1.0)
        assert row.tolerance_k > 1.0  # 5 % of ohms is more than one kelvin


def test_an_open_circuit_is_believed_as_the_coldest_of_its_curve() -> None:
    report = read(SENSOR, *[("ohm CU.1 CU.2", "OL", HOT, "CU"), ("ohm S.1 S.2", "OL", HOT, "CU T")])
    for row in rows_of(report).values():
        assert row.believed_c == pytest.approx(-20.0)


def test_a_shorted_sensor_is_believed_as_the_hottest() -> None:
    report = read(SENSOR, *[("ohm CU.1 CU.2", 0.5, HOT, "CU"), ("ohm S.1 S.2", 0.4, HOT, "CU T")])
    for row in rows_of(report).values():
        assert row.believed_c == pytest.approx(110.0)


def test_the_temperature_of_the_last_reading_is_among_the_rows() -> None:
    report = read(SENSOR, ("ohm CU.1 CU.2", 1175.0, "engine_c=40", "CU"))
    assert [row.true_c for row in rows_of(report).values() if row.now] == [40.0]


def test_fuel_follows_the_believed_temperature() -> None:
    """Half the fuel more between 60 and 80 °C: 4.9 K too cold are a quarter of that step."""
    job = attrs.evolve(
        SENSOR,
        fuelling=(
            FuellingPoint(curve="NTC", temperature_c=60, factor=1.5),
            FuellingPoint(curve="NTC", temperature_c=80, factor=1.0),
        ),
    )
    report = read(
        job,
        ("ohm CU.1 CU.2", 374.0, HOT, "CU"),
        ("ohm T.1 T.2", 374.0, HOT, "CU"),
        ("ohm S.1 S.2", 324.0, HOT, "CU T"),
    )
    row = rows_of(report)[80.0]
    assert row.fuel_pct == pytest.approx(-row.error_k * 0.5 / 20 * 100, rel=1e-6)
    assert row.fuel_pct == pytest.approx(12.2, abs=2.0)


#   CU.1 --W1-- P.1 [RS 6] P.2 --W2-- I.1 [COIL 2.4] I.2 --W3-- E1
INJECTOR = loom(
    "W1 CU.1 P.1 10\nW2 P.2 I.1 10\nW3 I.2 E1 10",
    {"CU": "UNIT: 1 . 2", "P": "PACK: 1 . 2", "I": "INJ: 1 . 2"},
    """
    IN UNIT.1 UNIT.2 input ohm=1e5
    RS PACK.1 PACK.2 resistor ohm=6 tolerance_pct=1
    COIL INJ.1 INJ.2 winding ohm=2.4 tolerance_pct=1 inductance_mh=3.2 pull_in_a=0.9
    """,
    {"E1": "earth"},
    temperatures={"INJ": 20.0},
)
INJECTOR = attrs.evolve(
    INJECTOR,
    meters=(
        MeterRange(
            meter="FINE", quantity="ohm", full_scale=100.0,
            percent=0.05, counts=1, resolution=0.01, leads_ohm=0.0,
        ),
    ),
)  # fmt: skip


def driven(resistor: float) -> InjectorSeen:
    """The circuit and its parts read by a good meter, the series resistor as given."""
    texts = {
        "ohm PACK.1 PACK.2": (resistor, "CU P"),
        "ohm P.1 P.2": (resistor, "CU"),
        "ohm INJ.1 INJ.2": (2.4, "CU I"),
        "ohm I.1 I.2": (2.4, "CU"),
        "ohm CU.1 I.1": (resistor + 0.03, "CU"),
        "ohm P.2 E1": (2.43, "CU"),
        "ohm CU.1 E1": (resistor + 2.45, "CU"),
    }
    taken = (
        attrs.evolve(reading(f"R{n}", text, value, off=off), meter="FINE")
        for n, (text, (value, off)) in enumerate(texts.items())
    )
    (seen,) = sees(attrs.evolve(INJECTOR, readings=tuple(taken))).injectors
    return seen


def test_current_of_a_sound_injector_circuit() -> None:
    """12 V over 8.4 ohm and some milliohms of wire: 1.43 A at most."""
    seen = driven(6.0)
    assert seen.current_a == pytest.approx(12 / 8.4, rel=0.01)
    assert seen.lost_pct[1] == pytest.approx(0.0, abs=0.5)


@pytest.mark.parametrize(("resistor", "lost"), [(6.5, 5.6), (7.0, 10.6)])
def test_half_an_ohm_costs_five_point_six_percent(resistor: float, lost: float) -> None:
    """1 - 8.4 / 8.9 and 1 - 8.4 / 9.4; trade notes print 5.6 and 10.6 %."""
    low, middle, high = driven(resistor).lost_pct
    assert low <= middle <= high
    assert middle == pytest.approx(lost, abs=1.0)


def test_an_open_injector_gets_nothing_and_never_opens() -> None:
    (seen,) = read(
        INJECTOR, ("ohm CU.1 E1", "OL", "", "CU"), ("ohm INJ.1 INJ.2", "OL", "", "CU I")
    ).injectors
    assert seen.lost_pct[1] == pytest.approx(100.0)
    assert seen.delay_ms is not None
    assert seen.delay_ms[1] == float("inf")


def test_no_sensor_of_the_demo_is_far_off_while_nothing_speaks_against_it() -> None:
    """Before any reading every circuit is most likely sound, at every temperature shown."""
    report = sees(attrs.evolve(JobFolder().read(DEMO), readings=()))
    off = {
        (sensor.element, row.true_c): round(row.error_k, 1)
        for sensor in report.sensors
        for row in sensor.rows
        if abs(row.error_k) > 0.5
    }
    assert off == {}


def test_the_demo_engine_is_believed_some_eleven_kelvin_too_cold_when_hot() -> None:
    """README: "hot the control unit believes about 70 °C where the engine has 81 °C"."""
    report = sees(JobFolder().read(DEMO))
    (engine,) = (sensor for sensor in report.sensors if sensor.element == "NTC-E")
    (now,) = (row for row in engine.rows if row.now)
    assert now.error_k == pytest.approx(70 - 81, abs=1.5)
    assert now.fuel_pct == pytest.approx(5.0, abs=1.5)
    json.dumps(report.json(), allow_nan=False)

"""What was measured and seen: readings, meters, survey."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.loom.cells import nearest
from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.consistency.wiring import no_such_point
from loomwright.loom.errors import Problem, Where
from loomwright.loom.identity import Point
from loomwright.loom.records import Device, Reading
from loomwright.loom.schema.bench_tables import SYMPTOMS
from loomwright.loom.state import RESTING, TEMPERATURE_KEYS

PASSED_THROUGH = ("splice", "stud")
"""Kinds of joint beyond which the same circuit goes on; earths and battery posts join them all."""
KNOWN_SHOWN = 30
LARGEST_CIRCUIT = 500
"""Points after which a circuit is not followed further."""
SETTING_OF = {"engine": "engine_c", "air": "air_c"}
"""State name that tells how warm a device is, by its `temperature`."""


def unknown_symptoms(evidence: Evidence) -> Iterator[Problem]:
    """A symptom that is not one of the words that are weighed."""
    about = evidence.job.about
    for word in about.symptoms:
        if word not in SYMPTOMS:
            near = nearest(word, SYMPTOMS)
            yield Problem(
                Where("job", about.row, "symptoms"),
                f'"{word}" is not one of the symptoms',
                f'did you mean "{near}"?' if near else f"choose from {', '.join(SYMPTOMS)}",
            )


def unknown_points(evidence: Evidence) -> Iterator[Problem]:
    """A reading at a point that is not there."""
    for table, reading in evidence.taken:
        for column, point in (("plus", reading.plus), ("minus", reading.minus)):
            if not evidence.topology.exists(point) and point.owner not in evidence.unread:
                yield no_such_point(evidence, point, Where(table, reading.row, column))


def same_points(evidence: Evidence) -> Iterator[Problem]:
    """A reading with both probes on one point."""
    for table, reading in evidence.taken:
        if reading.plus == reading.minus:
            yield Problem(
                Where(table, reading.row, "minus"),
                f'"{reading.minus}" is where the red probe was, too',
                "write the point the black probe touched",
            )


def ohms_under_power(evidence: Evidence) -> Iterator[Problem]:
    """Ohms with a supply on: the meter's own current is no longer alone, and it may be harmed."""
    for table, reading in evidence.taken:
        key = reading.state.settings["key"]
        if reading.quantity == "ohm" and reading.state.powered:
            yield Problem(
                Where(table, reading.row, "state"),
                f'ohms cannot be read with a supply on, and key is "{key}"',
                "write key=off if it was, or delete the reading",
            )


def negative_ohms(evidence: Evidence) -> Iterator[Problem]:
    """Ohms below zero by more than a meter's zero error."""
    for table, reading in evidence.taken:
        if reading.quantity == "ohm" and reading.value < -1:
            yield Problem(
                Where(table, reading.row, "value"),
                f'"{reading.value:g}" Ω is not possible',
                "give ohms from 0 up, or OL for over-range",
            )


def unknown_settings(evidence: Evidence) -> Iterator[Problem]:
    """A name in a state that nothing depends on: most likely a slip of the pen."""
    known = dict.fromkeys([*RESTING, *TEMPERATURE_KEYS])
    for element in evidence.job.elements:
        if element.closed_when:
            known |= dict.fromkeys(name for name, _, _ in element.closed_when.clauses)
    for table, reading in evidence.taken:
        for name, _ in reading.state.pairs:
            if name not in known:
                near = nearest(name, list(known)[:KNOWN_SHOWN])
                yield Problem(
                    Where(table, reading.row, "state"),
                    f'nothing in the loom depends on "{name}"',
                    f'did you mean "{near}"?'
                    if near
                    else f"known are {', '.join(list(known)[:KNOWN_SHOWN])}",
                    warning=True,
                )


def untold_temperatures(evidence: Evidence) -> Iterator[Problem]:
    """A reading on a temperature sensor's circuit without the sensor's temperature."""
    for table, reading in evidence.taken:
        told = dict(reading.state.pairs)
        for device in _sensors_met(evidence, reading):
            setting = SETTING_OF.get(str(device.temperature))
            if setting and setting not in told:
                yield Problem(
                    Where(table, reading.row, "state"),
                    f'"{reading.reading}" is on the circuit of "{device.device}", whose '
                    f"temperature {setting} is not given",
                    f"add its temperature in °C, such as {setting}=20",
                    warning=True,
                )


def repeated_ranges(evidence: Evidence) -> Iterator[Problem]:
    """One range of a meter in two rows."""
    first: dict[tuple[str, str, float], int] = {}
    for row in evidence.job.meters:
        key = (row.meter, row.quantity, row.full_scale)
        if key in first:
            what = f'the {row.full_scale:g} {row.quantity} range of "{row.meter}" is there twice'
            cure = f"keep this row or row {first[key]}"
            yield Problem(Where("meters", row.row, "full_scale"), what, cure)
        first.setdefault(key, row.row)


def unfit_meters(evidence: Evidence) -> Iterator[Problem]:
    """A value that no range of the meter named can show."""
    scales: dict[tuple[str, str], float] = {}
    for row in evidence.job.meters:
        key = (row.meter, row.quantity)
        scales[key] = max(row.full_scale, scales.get(key, 0.0))
    for table, reading in evidence.taken:
        largest = scales.get((reading.meter or "", reading.quantity))
        where = Where(table, reading.row, "meter")
        if reading.meter in evidence.names["meters"] and largest is None:
            what = f'"{reading.meter}" has no range for {reading.quantity}'
            yield Problem(where, what, "add the range to meters", warning=True)
        elif largest is not None and not reading.over_range and abs(reading.value) > largest:
            what = (
                f'{reading.value:g} is beyond the largest range of "{reading.meter}", {largest:g}'
            )
            yield Problem(where, what, "add the range to meters, or check the value", warning=True)


def extra_strands(evidence: Evidence) -> Iterator[Problem]:
    """More strands left than the wire has."""
    strands = {str(wire.wire): wire.strands for wire in evidence.job.wires}
    for row in evidence.job.survey:
        whole = strands.get(row.item)
        if row.strands_left is not None and whole is not None and row.strands_left > whole:
            yield Problem(
                Where("survey", row.row, "strands_left"),
                f'"{row.strands_left}" strands cannot be left of the {whole} of wire "{row.item}"',
                f"give 0 to {whole}",
            )


def strands_of_no_wire(evidence: Evidence) -> Iterator[Problem]:
    """Strands told of an item that is not a wire."""
    wires = {wire.wire for wire in evidence.job.wires}
    for row in evidence.job.survey:
        counted = row.aspect == "strands" or row.strands_left is not None
        if counted and row.item not in wires and row.item not in evidence.unread:
            yield Problem(
                Where("survey", row.row, "item"),
                f'"{row.item}" is not a wire, so it has no strands',
                "name the wire they were counted on",
                warning=True,
            )


def _sensors_met(evidence: Evidence, reading: Reading) -> list[Device]:
    """Devices with a thermistor that the probes' circuits reach without going through a device."""
    topology = evidence.topology
    met: dict[str, Device] = {}
    for point in _reached(evidence, reading):
        device = topology.devices.get(point.owner)
        elements = topology.elements_of.get(point.owner, ()) if device else ()
        for element in elements:
            if element.kind == "thermistor" and point.terminal in (
                element.from_pin,
                element.to_pin,
            ):
                met[point.owner] = topology.devices[point.owner]
    return list(met.values())


def _reached(evidence: Evidence, reading: Reading) -> set[Point]:
    """Points joined to a probe by wires, mated plugs and splices in that reading."""
    topology = evidence.topology
    off = set(reading.unplugged)
    reached: set[Point] = set()
    waiting = [reading.plus, reading.minus]
    while waiting and len(reached) < LARGEST_CIRCUIT:
        point = waiting.pop()
        joint = topology.joints.get(point.owner)
        if point in reached or (joint and joint.kind not in PASSED_THROUGH):
            continue
        reached.add(point)
        for wire in topology.wires_at.get(point, [])[:LARGEST_CIRCUIT]:
            waiting += [wire.from_point, wire.to_point]
        met = evidence.meets.get(point)
        if met and not off & {point.owner, met.owner}:
            waiting.append(met)
    return reached

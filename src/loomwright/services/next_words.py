"""A reading in words a person at the bonnet can follow."""

from __future__ import annotations

from typing import Any

from loomwright.diagnosis import Probe
from loomwright.diagnosis.harm import Attempt, Caution, cautions
from loomwright.loom import TEMPERATURE_KEYS, Point, Topology
from loomwright.loom.state import Value
from loomwright.services.words import spoken

__all__ = ["Caution", "cautions_of", "in_words", "named", "probe_json", "where"]


def probe_json(probe: Probe) -> dict[str, Any]:
    """A reading to take as the documented JSON: quantity, points, what is off, state."""
    return {
        "quantity": probe.quantity,
        "plus": str(probe.plus),
        "minus": str(probe.minus),
        "unplugged": sorted(probe.setting.unplugged),
        "state": dict(probe.setting.state),
    }


def cautions_of(loom: Topology, probe: Probe) -> tuple[Caution, ...]:
    """What the harm gate says of a reading."""
    return cautions(
        Attempt(
            loom,
            "ohm" if probe.quantity == "ohm" else "volt",
            (probe.plus, probe.minus),
            probe.setting.as_state,
            probe.setting.unplugged,
        )
    )


def in_words(loom: Topology, probe: Probe, before: Probe | None) -> tuple[str, ...]:
    """The steps from where the last reading left things.

    Parameters
    ----------
    loom : for the labels of plugs and devices
    probe : the reading to take
    before : the last reading taken, None at the start
    """
    settings = dict(probe.setting.state)
    was = dict(before.setting.state) if before is not None else {}
    steps = [*_plugs(loom, probe, before), *_states(settings, was)]
    kind = "ohms" if probe.quantity == "ohm" else "volts"
    steps.append(f"Measure {kind}: red on {where(loom, probe.plus)}")
    steps.append(f"black on {where(loom, probe.minus)}")
    return tuple(steps)


def where(loom: Topology, point: Point) -> str:
    """A point with the plug's or device's own label: CU.6 (control-unit plug, cavity 6)."""
    if not point.terminal:
        joint = loom.joints.get(point.owner)
        label = joint.label if joint is not None else None
        return f"{point} ({label})" if label else str(point)
    owner = loom.plugs.get(point.owner) or loom.devices.get(point.owner)
    if owner is None or not owner.label:
        return str(point)
    part = "cavity" if point.owner in loom.plugs else "pin"
    return f"{point} ({owner.label}, {part} {point.terminal})"


def _plugs(loom: Topology, probe: Probe, before: Probe | None) -> list[str]:
    now = probe.setting.unplugged
    was = before.setting.unplugged if before is not None else frozenset()
    off, on = sorted(now - was), sorted(was - now)
    steps = []
    if off:
        steps.append(f"Key off, take off plug {', '.join(named(loom, plug) for plug in off)}")
    if on:
        steps.append(f"Key off, put back plug {', '.join(named(loom, plug) for plug in on)}")
    return steps


def named(loom: Topology, plug: str) -> str:
    """A plug with its label: `CU (Control unit plug)`."""
    row = loom.plugs.get(plug)
    return f"{plug} ({row.label})" if row is not None and row.label else plug


def _states(settings: dict[str, Value], was: dict[str, Value]) -> list[str]:
    steps = []
    for name, value in settings.items():
        if was.get(name) == value or (not was and name not in ("key", "throttle")):
            continue
        if name in TEMPERATURE_KEYS:
            if isinstance(value, float) and value > _number(was.get(name)) + 20.0:
                steps.append(f"Warm the {name.removesuffix('_c')} to about {value:g} °C")
        else:
            steps.append(f"Set {spoken(name)} to {spoken(value)}")
    return steps


def _number(value: Value | None) -> float:
    return value if isinstance(value, float) else 20.0

"""The harm gate: readings that can hurt a person, the control unit, the engine or a part.

Each rule has a name, a reason and what to do instead; a rule either refuses a reading or lays a
caution on it. The rules are common practice in workshops with no single published source; the
precautions of period handbooks agree with them. The vehicle's own data, local codes and licensed
practice come first.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import attrs

from loomwright.loom import Point, State, Topology
from loomwright.loom.errors import Refused


@attrs.frozen
class Caution:
    """What a rule says of a reading: refuse it, or take care."""

    rule: str
    refuses: bool
    reason: str
    instead: str


@attrs.frozen
class Attempt:
    """A reading about to be taken, as the gate judges it."""

    loom: Topology
    quantity: Literal["ohm", "volt", "megohm", "feed"]
    points: tuple[Point, ...]
    state: State
    unplugged: frozenset[str]


Rule = Callable[[Attempt], Caution | None]


def control_plugs(loom: Topology) -> tuple[str, ...]:
    """Plugs that fit onto a device with control-unit inputs."""
    devices = {element.device for element in loom.job.elements if element.kind == "input"}
    return tuple(plug.plug for plug in loom.job.plugs if plug.mates_with in devices)


def ohms_with_supply(attempt: Attempt) -> Caution | None:
    """An ohmmeter on a powered circuit reads nonsense and can be killed by it."""
    if attempt.quantity not in ("ohm", "megohm") or not attempt.state.powered:
        return None
    return Caution(
        "ohms_with_supply",
        True,
        "a supply feeds the loom: the meter would read nonsense and may be damaged",
        "turn the key off, take the battery's minus lead off, then measure ohms",
    )


def ohms_with_control_unit(attempt: Attempt) -> Caution | None:
    """The meter's own current goes through the control unit's inputs."""
    on = [plug for plug in control_plugs(attempt.loom) if plug not in attempt.unplugged]
    if attempt.quantity != "ohm" or not on:
        return None
    return Caution(
        "ohms_with_control_unit",
        True,
        f"the control unit is still on plug {on[0]}: the meter's current goes through its "
        "inputs, which can kill them and gives parallel paths",
        f"turn the key off, take plug {on[0]} off, then measure",
    )


def megohm_with_electronics(attempt: Attempt) -> Caution | None:
    """An insulation tester puts out hundreds of volts."""
    fitted = {plug.mates_with for plug in attempt.loom.job.plugs} - {None}
    on = [
        plug.plug
        for plug in attempt.loom.job.plugs
        if plug.mates_with in fitted and plug.plug not in attempt.unplugged
    ]
    if attempt.quantity != "megohm" or not on:
        return None
    return Caution(
        "megohm_with_electronics",
        True,
        f"an insulation tester puts hundreds of volts on whatever is plugged in ({on[0]} is)",
        "unplug every device first, or use the ohmmeter's highest range",
    )


def battery_on_winding(attempt: Attempt) -> Caution | None:
    """Battery voltage straight on a low-resistance winding."""
    if attempt.quantity != "feed":
        return None
    owners = {point.owner for point in attempt.points}
    plugs = attempt.loom.plugs
    devices = owners | {plugs[owner].mates_with for owner in owners if owner in plugs}
    for element in attempt.loom.job.elements:
        low = element.kind == "winding" and element.ohm is not None and element.ohm < 5.0
        if low and element.device in devices:
            return Caution(
                "battery_on_winding",
                True,
                f"{element.device} has a winding of {element.ohm:g} Ω: battery voltage straight "
                "on it burns it, and an injector or start valve held open floods the engine",
                "feed it through its own series resistor, for less than a second, fuel pump off",
            )
    return None


def pulling_plug_with_key_on(attempt: Attempt) -> Caution | None:
    """Plugs come off and go on with the key off."""
    control = set(control_plugs(attempt.loom)) & attempt.unplugged
    if attempt.quantity != "volt" or not attempt.state.powered or not control:
        return None
    return Caution(
        "plug_with_key_off",
        False,
        "pulling or pushing the control unit's plug with the key on can kill the unit",
        "key off, plug off, then key on; the same way back",
    )


def fuel_with_key_on(attempt: Attempt) -> Caution | None:
    """The pump may run: fuel under pressure."""
    if not attempt.state.powered or attempt.quantity not in ("volt", "feed"):
        return None
    return Caution(
        "fuel_with_key_on",
        False,
        "with the key on the pump may run: fuel is under pressure",
        "no fuel joint open, extinguisher within reach, no lamp or flame near",
    )


def turning_engine(attempt: Attempt) -> Caution | None:
    """Belts and fans turn; a start valve may spray."""
    turning = {"crank", "engine"} & set(attempt.state.settings)
    cranking = attempt.state.settings["key"] == "start"
    if not cranking and not turning:
        return None
    return Caution(
        "turning_engine",
        False,
        "the engine turns: belts, fan and high ignition voltage; the start valve may be energised",
        "a second person at the key with agreed words, gear in neutral, sleeves and hair clear; "
        "keep the start valve unplugged beyond five seconds",
    )


def hot_engine(attempt: Attempt) -> Caution | None:
    """Burns."""
    celsius = attempt.state.settings.get("engine_c")
    if not isinstance(celsius, float) or celsius < 50.0:
        return None
    return Caution(
        "hot_engine",
        False,
        f"the engine is at {celsius:g} °C: hot metal, hot water, the electric fan may start",
        "gloves, radiator cap closed, hands away from the fan",
    )


def probing_receptacle(attempt: Attempt) -> Caution | None:
    """A fat probe spreads the terminal's spring."""
    for point in attempt.points:
        if point.owner in attempt.unplugged:
            return Caution(
                "probing_receptacle",
                False,
                f"a probe pushed into {point} from the front spreads its spring",
                "probe from the wire side, or with a blade that fits",
            )
    return None


RULES: tuple[Rule, ...] = (
    ohms_with_supply,
    ohms_with_control_unit,
    megohm_with_electronics,
    battery_on_winding,
    pulling_plug_with_key_on,
    fuel_with_key_on,
    turning_engine,
    hot_engine,
    probing_receptacle,
)


def cautions(attempt: Attempt) -> tuple[Caution, ...]:
    """What every rule says of an attempt, refusals first."""
    found = [said for said in (rule(attempt) for rule in RULES) if said is not None]
    return tuple(sorted(found, key=lambda caution: not caution.refuses))


def permit(attempt: Attempt) -> tuple[Caution, ...]:
    """The cautions of an attempt that may be made.

    Raises
    ------
    Refused
        with the first refusing rule's reason and the safe alternative.
    """
    said = cautions(attempt)
    if said and said[0].refuses:
        raise Refused(said[0].reason, instead=said[0].instead)
    return said

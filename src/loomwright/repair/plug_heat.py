"""How hot each plug gets after a hot stop, bare and with its boot, and how fast a blower warms it.

A plug is taken as a long cylinder: its terminals as one lump, its shell round them, and with the
boot on, still air and rubber round that. It warms from outside only; the current is too small.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import attrs
import numpy as np

from loomwright import standards
from loomwright.loom import Job, Plug, Zone
from loomwright.physics import air
from loomwright.physics.convection import radiation_coefficient
from loomwright.physics.heat import Around, Cylinder, Floats, Layer
from loomwright.physics.heat_course import time_course, time_to_reach
from loomwright.physics.quantities import possible
from loomwright.repair.condition import NO_BOOT
from loomwright.repair.heat_zones import HeatZones

_STEPS_UP, _STEPS_DOWN = 30, 90
_FALLS = 3.0  # so many time constants of cooling are followed
_GAP_C = 60.0  # the air in a boot; 10 K more or less change what it conducts by 3 %
_MINUTE_S = 60.0


@attrs.frozen(kw_only=True)
class ZoneCourse:
    """Air and plugs of one zone after a hot stop.

    Attributes
    ----------
    zone : its name
    running_c, soak_c : air while running, and at its highest after the stop [°C]
    minutes : minutes since the stop
    air_c, bare_c, shielded_c : air, a plug without and one with its boot at those times [°C]
    """

    zone: str
    running_c: float
    soak_c: float
    minutes: tuple[float, ...]
    air_c: tuple[float, ...]
    bare_c: tuple[float, ...]
    shielded_c: tuple[float, ...]


@attrs.frozen(kw_only=True)
class Soaked:
    """One plug after a hot stop.

    Attributes
    ----------
    peak_c : highest temperature of its terminals [°C]
    peak_at : minutes after the stop at which it has that
    above : minutes for which it is above its limit
    """

    peak_c: float
    peak_at: float
    above: float


@attrs.frozen(kw_only=True)
class PlugHeat:
    """How hot one plug gets.

    Attributes
    ----------
    plug : its name
    zone : its zone; None where the job tells none
    limit_c : what it and its wires are made for [°C]
    limit_of : the wire whose insulation says so; blank where the default had to
    has_boot : whether it has a boot; None where that was not written down
    bare, shielded : after a hot stop without and with a boot; None where no zone tells the air
    unknown : what is not known, and what to write down
    """

    plug: str
    zone: str | None
    limit_c: float
    limit_of: str
    has_boot: bool | None
    bare: Soaked | None
    shielded: Soaked | None
    unknown: tuple[str, ...]


@attrs.frozen(kw_only=True)
class BlowerTimes:
    """How long a hot-air blower takes to warm a plug, by the model.

    Attributes
    ----------
    start_c, target_c : from where to where [°C]
    air_c : the blown air [°C]
    bare_s, shielded_s : time without and with a sound boot [s]; infinite where it never gets there
    """

    start_c: float
    target_c: float
    air_c: float
    bare_s: float
    shielded_s: float

    @property
    def slower(self) -> float | None:
        """How many times slower with the boot; None where it never gets there."""
        return (
            self.shielded_s / self.bare_s if 0 < self.bare_s <= self.shielded_s < np.inf else None
        )


def plug_cylinder(value: Mapping[str, float], *, boot: bool) -> Cylinder:
    """A plug as a cylinder, of the defaults `plug_…` and `boot_…`.

    Raises
    ------
    OutOfRange : a figure of the workshop's own is not possible
    """
    shell = Layer(
        thickness_m=value["plug_shell_wall"] * 1e-3,
        conductivity_w_mk=value["plug_shell_conductivity"],
        density_kg_m3=value["plug_shell_density"],
        specific_heat_j_kgk=value["plug_shell_specific_heat"],
    )
    terminals = value["plug_terminal_mass"] * 1e-3 * value["plug_terminal_specific_heat"]
    length = possible("plug_core_length", value["plug_core_length"], "mm", above=0)
    return Cylinder(
        core_m=value["plug_core_diameter"] * 1e-3,
        core_j_mk=terminals / (float(length) * 1e-3),
        layers=(shell, *(_boot(value) if boot else ())),
        emissivity=value["plug_emissivity"],
    )


def _boot(value: Mapping[str, float]) -> tuple[Layer, Layer]:
    """The still air, which conducts and lets radiation through, and the rubber."""
    grey = float(possible("plug_emissivity", value["plug_emissivity"], "", at_least=0))
    both = grey / (2.0 - grey)  # two grey walls face to face, textbook
    gap = value["boot_gap"] * 1e-3
    still = Layer(
        thickness_m=gap,
        conductivity_w_mk=air.conductivity(_GAP_C)
        + gap * radiation_coefficient(_GAP_C, _GAP_C, emissivity=both),
        density_kg_m3=air.density(_GAP_C),
        specific_heat_j_kgk=air.specific_heat(_GAP_C),
    )
    rubber = Layer(
        thickness_m=value["boot_wall"] * 1e-3,
        conductivity_w_mk=value["boot_conductivity"],
        density_kg_m3=value["boot_density"],
        specific_heat_j_kgk=value["boot_specific_heat"],
    )
    return still, rubber


def blower_times(value: Mapping[str, float]) -> BlowerTimes:
    """Times in blown air by the defaults `blower_…`.

    Raises
    ------
    OutOfRange : a figure of the workshop's own is not possible
    """
    start, target = value["blower_start"], value["blower_target"]
    around = Around(air_c=value["blower_air"], speed_m_s=value["blower_speed"], walls_c=start)
    bare, shielded = (
        float(
            time_to_reach(plug_cylinder(value, boot=boot), around, target_c=target, start_c=start)
        )
        for boot in (False, True)
    )
    return BlowerTimes(
        start_c=start, target_c=target, air_c=value["blower_air"], bare_s=bare, shielded_s=shielded
    )


def zone_courses(job: Job, *, value: Mapping[str, float]) -> tuple[ZoneCourse, ...]:
    """Every zone of which both temperatures are known, hottest first.

    The air rises evenly from running to its highest in `soak_rise`, then falls towards the
    surroundings of the job with the time constant `soak_fall`; it stands still.

    Raises
    ------
    OutOfRange : a figure of the workshop's own is not possible
    """
    known = {str(each.zone): each for each in reversed(job.zones)}.values()
    zones = sorted((each for each in known if _tells(each)), key=_soak, reverse=True)
    if not zones:
        return ()
    running, soak = (np.array([each(zone) for zone in zones]) for each in (_running, _soak))
    minutes, around = _air(running, soak, job.about.ambient_c, value)
    bare, shielded = (
        time_course(
            plug_cylinder(value, boot=boot), Around(air_c=around),
            times_s=minutes * _MINUTE_S, start_c=running,
        ).core_c
        for boot in (False, True)
    )  # fmt: skip
    return tuple(
        ZoneCourse(
            zone=str(each.zone), running_c=float(running[n]), soak_c=float(soak[n]),
            minutes=(*minutes.tolist(),), air_c=(*around[n].tolist(),),
            bare_c=(*bare[n].tolist(),), shielded_c=(*shielded[n].tolist(),),
        )
        for n, each in enumerate(zones)
    )  # fmt: skip


def _air(
    running: Floats, soak: Floats, ambient_c: float, value: Mapping[str, float]
) -> tuple[Floats, Floats]:
    """Minutes since the stop, and the air of each zone at them, shape (zones, times)."""
    rise = float(possible("soak_rise", value["soak_rise"], "min", above=0))
    fall = float(possible("soak_fall", value["soak_fall"], "min", above=0))
    up = np.linspace(0, rise, _STEPS_UP + 1)
    down = np.linspace(0, _FALLS * fall, _STEPS_DOWN + 1)[1:]
    rising = running[:, None] + (soak - running)[:, None] * up / rise
    falling = ambient_c + (soak - ambient_c)[:, None] * np.exp(-down / fall)
    return np.concatenate([up, rise + down]), np.concatenate([rising, falling], axis=1)


def plug_heats(
    job: Job, courses: tuple[ZoneCourse, ...], *, value: Mapping[str, float]
) -> tuple[PlugHeat, ...]:
    """Every plug in the order of the sheet.

    Parameters
    ----------
    job : its plugs, their wires and devices
    courses : of its zones, by `zone_courses`
    value : defaults by name: `plug_limit`
    """
    zones = HeatZones(job)
    by_zone = {each.zone: each for each in courses}
    limits = _limits(job)
    return tuple(
        _plug_heat(plug, zones, by_zone, *limits.get(plug.plug, (value["plug_limit"], "")))
        for plug in {each.plug: each for each in reversed(job.plugs)}.values()
    )[::-1]


def _plug_heat(
    plug: Plug, zones: HeatZones, courses: Mapping[str, ZoneCourse], limit_c: float, limit_of: str
) -> PlugHeat:
    zone = zones.at(plug.plug).zone
    course = courses.get(str(zone.zone)) if zone else None
    boot = (plug.boot or "").strip().casefold()
    return PlugHeat(
        plug=plug.plug,
        zone=str(zone.zone) if zone else None,
        limit_c=limit_c,
        limit_of=limit_of,
        has_boot=boot != NO_BOOT if boot else None,
        bare=_soaked(course.minutes, course.bare_c, limit_c) if course else None,
        shielded=_soaked(course.minutes, course.shielded_c, limit_c) if course else None,
        unknown=(*_unknown(plug, zone, boot),),
    )


def _unknown(plug: Plug, zone: Zone | None, boot: str) -> Iterator[str]:
    if zone is None:
        yield (
            "no heat zone that tells how warm it runs: give its device, or a branch that ends at "
            "its place, a zone with running_c and soak_c"
        )
    elif not _tells(zone):
        yield f"zone {zone.zone} has no temperature after a hot stop: give soak_c"
    if not boot:
        yield f"not told whether it has a boot: write its form, or {NO_BOOT}"


def _soaked(minutes: tuple[float, ...], celsius: tuple[float, ...], limit_c: float) -> Soaked:
    hottest = int(np.argmax(celsius))
    over = np.array(celsius) - limit_c
    first, last = over[:-1], over[1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = np.maximum(first, last) / np.abs(first - last)
    share = np.where((first > 0) & (last > 0), 1.0, np.where((first > 0) | (last > 0), crossing, 0))
    return Soaked(
        peak_c=celsius[hottest],
        peak_at=minutes[hottest],
        above=float(np.diff(minutes) @ share),
    )


def _limits(job: Job) -> dict[str, tuple[float, str]]:
    """What each plug's least wire is made for, and that wire; those left out tell nothing."""
    found: dict[str, tuple[float, str]] = {}
    for wire in job.wires:
        class_c = standards.insulation(wire.insulation).class_c
        if class_c is None:
            continue
        for owner in (wire.from_point.owner, wire.to_point.owner):
            found[owner] = min(found.get(owner, (np.inf, "")), (class_c, str(wire.wire)))
    return found


def _tells(zone: Zone) -> bool:
    return zone.running_c is not None and zone.soak_c is not None


def _running(zone: Zone) -> float:
    return zone.running_c if zone.running_c is not None else -np.inf


def _soak(zone: Zone) -> float:
    return zone.soak_c if zone.soak_c is not None else -np.inf

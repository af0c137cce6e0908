"""How a cylinder warms and cools with time: its core as one lump, its layers in thin rings.

Each ring exchanges heat with its neighbours only, so no heat is lost or made; the steps are
implicit, so no step is too long to be stable.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import pi, sqrt

import attrs
import numpy as np

from loomwright.loom.errors import OutOfRange
from loomwright.physics.heat import Around, Cylinder, Floats, layers_resistance
from loomwright.physics.quantities import Number, Result, possible, result

_STAGE = 1.0 - sqrt(0.5)  # Alexander, SIAM J. Numer. Anal. 14 (1977) 1006: two stages, L-stable
_RINGS = 6
_FIRST, _LAST, _GROWTH = 2e-3, 40.0, 1.12  # first and last time in time constants, and growth


@attrs.frozen(kw_only=True)
class Course:
    """Temperatures and heats over time; shape (..., times), the cases in front.

    Attributes
    ----------
    times_s : times [s], shape (times,)
    core_c, surface_c : of the core and of the outermost surface [°C]
    stored_j_m : heat taken up since the start [J/m]
    lost_j_m : heat given to what is around since the start [J/m]
    """

    times_s: Floats
    core_c: Floats
    surface_c: Floats
    stored_j_m: Floats
    lost_j_m: Floats


def time_course(
    cylinder: Cylinder,
    around: Around,
    *,
    times_s: Number,
    start_c: Number,
    heat_w_m: Number = 0.0,
    rings: int = _RINGS,
) -> Course:
    """Temperatures of a cylinder that starts equally warm throughout.

    Parameters
    ----------
    cylinder : core and layers
    around : air, wind and walls; each one value, or shape (..., 1) or (..., times), straight
        between the times
    times_s : times from the start on, rising [s], shape (times,); a step goes from one to the next
    start_c : temperature at the first time [°C], a number or shape (...)
    heat_w_m : heat produced in the core [W/m], a number or shape (...)
    rings : parts of each layer

    Returns
    -------
    temperatures and heats at the times

    Raises
    ------
    OutOfRange : times that do not rise, negative heat, or something impossible around it

    Notes
    -----
    Rings of finite volume; diagonally implicit steps of second order.

    Examples
    --------
    A bare core of 10 J/(m·K) that gives 0.1 W/(m·K) cools as exp(−t / 100 s):

    >>> bare = Cylinder(core_m=0.1 / np.pi, core_j_mk=10.0)
    >>> found = time_course(bare, Around(air_c=0, film_w_m2k=1.0), times_s=np.arange(0, 101.0),
    ...                     start_c=100)
    >>> round(float(found.core_c[-1]), 2)  # 100 / e
    36.79
    """
    times = _rising(times_s)
    heat = possible("heat", heat_w_m, "W/m", at_least=0)
    start = np.asarray(start_c, np.float64)
    series, shapes = _series(around, len(times))
    cases = np.broadcast_shapes(start.shape, heat.shape, *shapes)
    row = _Row.of(cylinder, rings)
    surface = np.broadcast_to(start, cases).astype(np.float64)
    begun = state = np.repeat(surface[..., None], len(row.holds), axis=-1)
    lost = np.zeros(cases)
    told = [(state[..., 0], surface, lost, lost)]
    for number, step in enumerate(np.diff(times)):
        base, flows = state, []
        for share in (_STAGE, 1.0):
            there = _moment(series, number, share)
            state, surface, flow = row.stage(base, surface, there, step=_STAGE * step, heat=heat)
            flows.append(flow)
            base = base + (1.0 - _STAGE) / _STAGE * (state - base)
        lost = lost + step * ((1.0 - _STAGE) * flows[0] + _STAGE * flows[1])
        told.append((state[..., 0], surface, (state - begun) @ row.holds, lost))
    core, outside, stored, gone = (np.stack(each, axis=-1) for each in zip(*told, strict=True))
    return Course(times_s=times, core_c=core, surface_c=outside, stored_j_m=stored, lost_j_m=gone)


def time_to_reach(
    cylinder: Cylinder,
    around: Around,
    *,
    target_c: Number,
    start_c: Number,
    heat_w_m: Number = 0.0,
) -> Result:
    """Time until the core has a temperature, in air that stays as it is.

    Parameters
    ----------
    cylinder : core and layers
    around : air, wind and walls, each a number or shape (cases,)
    target_c, start_c : temperature wanted and at the start [°C], likewise
    heat_w_m : heat produced in the core [W/m], likewise

    Returns
    -------
    time [s]; infinite where it is never reached

    Raises
    ------
    OutOfRange : negative heat, or something impossible around it

    Examples
    --------
    Incropera, example 5.1: a time constant of 1 s, 25 °C into 200 °C, reaches 199 °C in 5.2 s

    >>> bead = Cylinder(core_m=1 / np.pi, core_j_mk=1.0)
    >>> hot = Around(air_c=200, film_w_m2k=1.0)
    >>> round(time_to_reach(bead, hot, target_c=199, start_c=25), 1)
    5.2
    """
    target, start = np.asarray(target_c, np.float64), np.asarray(start_c, np.float64)
    film, _ = around.given(cylinder, start)
    outward = layers_resistance(cylinder) + 1.0 / (pi * cylinder.outside_m * float(np.min(film)))
    slowest = cylinder.heat_capacity_j_mk * outward
    count = round(np.log(_LAST / _FIRST) / np.log(_GROWTH))
    times = np.concatenate([[0.0], slowest * np.geomspace(_FIRST, _LAST, count)])
    course = time_course(
        cylinder, _each_held(around), times_s=times, start_c=start, heat_w_m=heat_w_m
    )
    return result(_crossing(times, course.core_c, target))


@attrs.frozen
class _Row:
    """Core and rings as lumps in a row.

    Attributes
    ----------
    cylinder : what they are of
    holds : heat each takes per metre and kelvin [J/(m·K)], shape (lumps,)
    passes : heat flows out of each by the temperatures [W/(m·K)], shape (lumps, lumps)
    to_surface : resistance from the middle of the last one to the surface [K·m/W]
    """

    cylinder: Cylinder
    holds: Floats
    passes: Floats
    to_surface: float

    @classmethod
    def of(cls, cylinder: Cylinder, rings: int) -> _Row:
        """Every layer in so many rings."""
        inner = cylinder.core_m / 2
        holds, between, pending = [cylinder.core_j_mk], [], 0.0
        for layer in cylinder.layers:
            edges = inner + layer.thickness_m * np.arange(rings + 1) / rings
            per_m3 = layer.density_kg_m3 * layer.specific_heat_j_kgk
            conducts = 2 * pi * layer.conductivity_w_mk
            for low, high in pairwise(edges):
                middle = (low + high) / 2
                holds.append(pi * (high**2 - low**2) * per_m3)
                between.append(pending + np.log(middle / low) / conducts)
                pending = np.log(high / middle) / conducts
            inner = float(edges[-1])
        flows = 1.0 / np.array(between, dtype=np.float64)
        passes = np.diag(np.append(flows, 0.0)) + np.diag(np.insert(flows, 0, 0.0))
        passes -= np.diag(flows, 1) + np.diag(flows, -1)
        return cls(cylinder, np.array(holds), passes, float(pending))

    def stage(
        self, base: Floats, surface: Floats, around: Around, *, step: float, heat: Floats
    ) -> tuple[Floats, Floats, Floats]:
        """One implicit stage: all lumps, the surface, and the heat that leaves [W/m].

        Twice where what the surface gives depends on how warm it becomes.
        """
        girth = pi * self.cylinder.outside_m
        for _ in range(2 if around.film_w_m2k is None else 1):
            film, to = around.given(self.cylinder, surface)
            leaves = 1.0 / (self.to_surface + 1.0 / (girth * film))
            leaves, to = np.broadcast_to(leaves, surface.shape), np.broadcast_to(to, surface.shape)
            matrix = np.tile(np.diag(self.holds / step) + self.passes, (*surface.shape, 1, 1))
            matrix[..., -1, -1] += leaves
            right = self.holds / step * base
            right[..., 0] += heat
            right[..., -1] += leaves * to
            state = np.linalg.solve(matrix, right[..., None])[..., 0]
            flow = leaves * (state[..., -1] - to)
            surface = to + flow / (girth * film)
        return np.asarray(state), surface, flow


def _rising(times_s: Number) -> Floats:
    times = np.asarray(possible("time", times_s, "s"))
    if times.ndim != 1 or len(times) < 2 or (np.diff(times) <= 0).any():
        raise OutOfRange(
            "the times do not rise",
            where="heat course",
            expected="give two times or more, each after the one before",
        )
    return times


def _series(around: Around, count: int) -> tuple[Around, list[tuple[int, ...]]]:
    """What is around with its times along the last axis, and the shapes of the cases."""
    made: dict[str, Floats] = {}
    for name, value in _told(around):
        values = np.atleast_1d(np.asarray(value, np.float64))
        if values.shape[-1] not in (1, count):
            raise OutOfRange(
                f"{values.shape[-1]} values over time for {count} times",
                where=name,
                expected="give one value, or one for each time",
            )
        made[name] = np.broadcast_to(values, (*values.shape[:-1], count))
    return attrs.evolve(around, **made), [each.shape[:-1] for each in made.values()]


def _each_held(around: Around) -> Around:
    """Cases of what is around, each held all the time."""
    held = {name: np.asarray(value, np.float64)[..., None] for name, value in _told(around)}
    return attrs.evolve(around, **held)


def _moment(series: Around, number: int, share: float) -> Around:
    """What is around at a share of the step that begins at time `number`."""
    there = {}
    for name, values in _told(series):
        both = np.asarray(values)[..., number : number + 2]
        there[name] = both[..., 0] + share * (both[..., 1] - both[..., 0])
    return attrs.evolve(series, **there)


def _told(around: Around) -> Iterator[tuple[str, Number]]:
    for field in attrs.fields(Around):
        value = getattr(around, field.name)
        if value is not None:
            yield field.name, value


def _crossing(times: Floats, core: Floats, target: Floats) -> Floats:
    """When each course first meets its target, straight between the times; shape (cases,)."""
    left = target[..., None] - core
    met = np.sign(left) != np.sign(left[..., :1])
    met[..., 0] = left[..., 0] == 0
    after = np.argmax(met, axis=-1)[..., None]
    before = np.maximum(after - 1, 0)
    late, early = (np.take_along_axis(left, each, axis=-1)[..., 0] for each in (after, before))
    change = np.where(early == late, 1.0, early - late)
    when = times[before[..., 0]] + (times[after] - times[before])[..., 0] * early / change
    return np.where(met.any(axis=-1), when, np.inf)

"""The readings a person could take next, and the minutes each costs.

Only settings the harm gate permits are laid out. Minutes count what is still to be done: a plug
already off costs nothing again, a state already set neither.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from functools import cached_property

import attrs

from loomwright.diagnosis.freeing import Freed
from loomwright.diagnosis.harm import control_plugs
from loomwright.diagnosis.model import Model, Probe, Setting
from loomwright.loom import CASE_PIN, TEMPERATURE_KEYS, Point, State
from loomwright.loom.state import Value

HOT_ENGINE_C = 80.0
_MOST_PAIRS_AT_ONCE = 40
_STATE_SHARED = 4
"""Readings taken before a state is changed again; few, or the key would go on and off for each."""


@attrs.frozen
class Candidate:
    """A reading that could be taken.

    Attributes
    ----------
    probe : quantity, points, setting
    minutes : what it costs from where things stand
    once : the part of it that is not paid again: to open a plug or to reach a joint
    sharing : how many readings can make use of that part, about: two cavities each
    to_set : the part that sets key, throttle or temperature, paid again when it is set back
    """

    probe: Probe
    minutes: float
    once: float = 0.0
    sharing: int = 1
    to_set: float = 0.0

    def shared_minutes(self, readings: float) -> float:
        """Minutes when what more readings can use is shared by so many, as far as it can be."""
        alone = self.minutes - self.once - self.to_set
        once = self.once / max(1.0, min(readings, self.sharing))
        return alone + once + self.to_set / max(1.0, min(readings, _STATE_SHARED))


@attrs.frozen(kw_only=True)
class _Reaching:
    """Minutes to open a setting's plugs and to set its state; cavities that are then in reach."""

    once: float
    cavities: int
    to_set: float


@attrs.frozen(kw_only=True)
class Situation:
    """Where things stand: what is off or has been reached, and the state last set.

    Attributes
    ----------
    state : the last reading's state, temperatures included
    opened : plugs that are off or have been off
    touched : plugs that have been probed from the wire side
    meter : the meter in hand
    """

    state: State
    opened: frozenset[str] = frozenset()
    touched: frozenset[str] = frozenset()
    meter: str | None = None


@attrs.define(slots=False, eq=False)
class Admissible:
    """All readings of one loom that the harm gate permits.

    Parameters
    ----------
    model : the loom
    """

    model: Model

    @cached_property
    def control(self) -> tuple[str, ...]:
        return control_plugs(self.model.network.topology)

    @property
    def minutes_of(self) -> dict[str, float]:
        """Named minutes, from the defaults or the job's own figures."""
        return self.model.values

    @cached_property
    def access(self) -> dict[str, float]:
        """Minutes to open each plug, by its lock and where it sits."""
        loom, minutes = self.model.network.topology, self.minutes_of
        soak = {zone.zone: zone.soak_c for zone in self.model.job.zones}
        found: dict[str, float] = {}
        for plug in self.model.job.plugs:
            device = loom.devices.get(plug.mates_with or "")
            hot = soak.get(device.zone) if device and device.zone else None
            if plug.plug in self.control:
                kind = "control_unit"
            elif plug.lock in ("moulded", "staked"):
                kind = "moulded"
            elif hot is not None:
                kind = next(
                    name
                    for limit, name in (
                        (70, "cabin"),
                        (95, "wing"),
                        (125, "engine"),
                        (9e9, "exhaust"),
                    )
                    if hot < limit
                )
            else:
                kind = "engine" if device and device.temperature == "engine" else "wing"
            found[plug.plug] = minutes[f"access_minutes_{kind}"]
        return found

    @cached_property
    def earth_point(self) -> Point | None:
        """Where black goes for "to earth": the battery's minus joint, or any earth joint."""
        joints = sorted(
            (joint for joint in self.model.job.joints if joint.kind in ("battery_minus", "earth")),
            key=lambda joint: joint.kind != "battery_minus",
        )
        return Point(joints[0].joint) if joints else None

    @cached_property
    def supply_point(self) -> Point | None:
        """The battery's plus joint."""
        found = [joint for joint in self.model.job.joints if joint.kind == "battery_plus"]
        return Point(found[0].joint) if found else None

    @cached_property
    def hidden_joints(self) -> frozenset[str]:
        """Joints that have to be reached first; the battery's posts and the usual earth do not."""
        usual = {point.owner for point in (self.earth_point, self.supply_point) if point}
        return frozenset(str(joint.joint) for joint in self.model.job.joints) - usual

    @cached_property
    def other_states(self) -> tuple[tuple[str, Value], ...]:
        """Settings that open or close some contact: throttle=open, crank=one, and so on."""
        found: dict[tuple[str, Value], None] = {}
        for element in self.model.job.elements:
            for name, sign, value in element.closed_when.clauses if element.closed_when else ():
                if name != "key" and name not in TEMPERATURE_KEYS and sign == "=":
                    found[(name, value)] = None
        return tuple(found)

    @cached_property
    def wired(self) -> dict[str, list[Point]]:
        """Cavities with a wire, by plug."""
        node_of = self.model.network.node_of
        return {
            plug.plug: [
                Point(plug.plug, name)
                for name in plug.face.cavities
                if Point(plug.plug, name) in node_of
            ]
            for plug in self.model.job.plugs
        }

    @cached_property
    def inline(self) -> dict[Point, tuple[str, ...]]:
        """Plugs that join the loom to itself, by the points whose circuits go through them."""
        model = self.model
        loom, node_of = model.network.topology, model.network.node_of
        setting = Setting.of(State(), self.control)
        island, earth = model.solved(setting).island, model.network.earth
        through: dict[int, list[str]] = {}
        for plug in model.job.plugs:
            if plug.mates_with not in loom.plugs:
                continue
            for point in self.wired[plug.plug]:
                number = int(island[node_of[point]])
                if number != island[earth] and plug.plug not in through.setdefault(number, []):
                    through[number].append(plug.plug)
        return {
            point: tuple(through[int(island[node])])
            for point, node in node_of.items()
            if int(island[node]) in through
        }

    def candidates(
        self, now: Situation, plugs: Iterable[str], freed: Iterable[Freed] = ()
    ) -> list[Candidate]:
        """Readings from here; beyond the control plug only at the given plugs.

        Parameters
        ----------
        now : where things stand
        plugs : plugs worth probing or opening, most suspect first
        freed : nets worth standing alone
        """
        near = [plug for plug in plugs if plug not in self.control]
        probes = [*self._dead(now, near), *self._opened(now, near), *self._live(now, near)]
        for each in freed:
            probes += self._freed(now, each)
        known: dict[Setting, _Reaching] = {}
        return [self.candidate(probe, now, known) for probe in dict.fromkeys(probes)]

    def candidate(
        self, probe: Probe, now: Situation, known: dict[Setting, _Reaching] | None = None
    ) -> Candidate:
        """A reading with what it costs from where things stand; `known` keeps settings' costs."""
        known = {} if known is None else known
        setting = probe.setting
        if setting not in known:
            known[setting] = self._reaching(setting, now)
        reaching, minutes = known[setting], self.minutes_of
        once, cavities = reaching.once, reaching.cavities
        for point in (probe.plus, probe.minus):
            owner = point.owner
            if owner in now.touched:
                continue
            if not point.terminal and owner in self.hidden_joints:
                once += minutes["access_minutes_joint"]
            if owner in self.access and owner not in now.opened | setting.unplugged:
                once += minutes["back_probe_access_share"] * self.access[owner]
                cavities += len(self.wired[owner])
        cost = minutes[f"minutes_per_{probe.quantity}_reading"] + reaching.to_set
        return Candidate(probe, cost + once, once, cavities // 2, reaching.to_set)

    def _reaching(self, setting: Setting, now: Situation) -> _Reaching:
        """What it takes to bring a setting about."""
        minutes = self.minutes_of
        off = sorted(setting.unplugged - now.opened)
        settings, wanted = now.state.settings, dict(setting.state)
        warmer = _celsius(wanted, "engine_c") - _celsius(settings, "engine_c")
        to_set = minutes["warm_engine_minutes"] if warmer > 20.0 else 0.0
        changed = {
            name
            for name, value in wanted.items()
            if name not in TEMPERATURE_KEYS and settings.get(name) != value
        }
        if changed == {"key"} and wanted["key"] in ("on", "off"):
            to_set += minutes["turn_key_minutes"]
        elif changed:
            to_set += minutes["second_person_minutes"] / 2
        return _Reaching(
            once=sum(self.access.get(plug, 0.0) for plug in off),
            cavities=2 + sum(len(self.wired.get(plug, ())) for plug in off),
            to_set=to_set,
        )

    def _dead_setting(
        self, now: Situation, also: Iterable[str] = (), held: Iterable[tuple[str, Value]] = ()
    ) -> Setting:
        state = now.state.changed(**{**dict(self._rest(now)), "key": "off", **dict(held)})
        return Setting.of(state, (*self.control, *also))

    def _rest(self, now: Situation) -> Iterator[tuple[str, Value]]:
        # A contact held by hand for one reading is let go for the next.
        for name, _ in self.other_states:
            if name in now.state.settings:
                yield name, "shut" if name == "throttle" else "none"

    def _dead(self, now: Situation, near: list[str]) -> Iterator[Probe]:
        """Ohms at the control plug, in every state of the contacts, and from there to plugs."""
        rest = self._dead_setting(now)
        control = [point for plug in self.control for point in self.wired[plug]]
        yield from self._among(control, rest, now)
        for name, value in self.other_states:
            setting = self._dead_setting(now, held=[(name, value)])
            if setting != rest:
                yield from self._to_rails(control, setting, now)
                yield from self._linked(control, setting, now)
        if _celsius(now.state.settings, "engine_c") < HOT_ENGINE_C - 30.0:
            hot = self._dead_setting(now, held=[("engine_c", HOT_ENGINE_C)])
            yield from self._linked(control, hot, now)
        yield from self._to_joints(control, rest, now)
        for plug in near:
            points = self.wired[plug]
            yield from self._to_rails(points, rest, now)
            yield from self._across(points, rest, now)
            yield from self._along(points, control, rest, now)

    def _opened(self, now: Situation, near: list[str]) -> Iterator[Probe]:
        """Ohms with one more plug off: at its cavities and at the pins it leaves bare."""
        control = [point for plug in self.control for point in self.wired[plug]]
        loom = self.model.network.topology
        for plug in near:
            setting = self._dead_setting(now, (plug,))
            points = self.wired[plug]
            yield from self._to_rails(points, setting, now)
            yield from self._across(points, setting, now)
            yield from self._along(points, control, setting, now)
            device = loom.plugs[plug].mates_with or ""
            pins = [Point(device, pin) for pin in loom.pins.get(device, ())]
            pins = [pin for pin in pins if pin in self.model.network.node_of]
            yield from self._across(pins, setting, now)
            for held in self._states_of(device):
                yield from self._across(pins, self._dead_setting(now, (plug,), [held]), now)
            if Point(device, CASE_PIN) in self.model.network.node_of:
                yield from self._to_rails(pins, setting, now)

    def _freed(self, now: Situation, freed: Freed) -> Iterator[Probe]:
        """Ohms between nets that stand alone and to the rails; volts on them with the key on."""
        dead = self._dead_setting(now, freed.plugs)
        points = list(freed.points)
        yield from self._to_rails(points, dead, now)
        yield from self._across(points, dead, now)
        if self.supply_point is None or self.earth_point is None:
            return
        live = Setting.of(self._live_state(now), (*self.control, *freed.plugs))
        for point in points:
            yield Probe("volt", point, self.earth_point, live, now.meter)

    def _states_of(self, device: str) -> list[tuple[str, Value]]:
        """Settings that open or close a contact of one device."""
        return [
            (name, value)
            for element in self.model.network.topology.elements_of.get(device, ())
            for name, sign, value in (element.closed_when.clauses if element.closed_when else ())
            if sign == "=" and (name, value) in self.other_states
        ]

    def _to_joints(self, points: list[Point], setting: Setting, now: Situation) -> Iterator[Probe]:
        """Along wires that end at a joint, and from earth joints to the usual earth."""
        loom = self.model.network.topology
        joints: dict[Point, None] = {}
        for point in points:
            for wire in loom.wires_at[point]:
                far = wire.to_point if wire.from_point == point else wire.from_point
                if not far.terminal and far != self.earth_point:
                    joints[far] = None
                    yield Probe("ohm", point, far, setting, now.meter)
        for joint in joints:
            if self.earth_point is not None and loom.joints[joint.owner].kind == "earth":
                yield Probe("ohm", joint, self.earth_point, setting, now.meter)

    def _live(self, now: Situation, near: list[str]) -> Iterator[Probe]:
        """Volts with the key on, control plug off; and back-probed with it on."""
        if self.supply_point is None or self.earth_point is None:
            return
        state = self._live_state(now)
        control = [point for plug in self.control for point in self.wired[plug]]
        off, on = Setting.of(state, self.control), Setting.of(state, ())
        for setting in (off, on):
            for point in control:
                yield Probe("volt", point, self.earth_point, setting, now.meter)
            for plug in near:
                for point in self.wired[plug]:
                    yield Probe("volt", point, self.earth_point, setting, now.meter)
                    yield Probe("volt", self.supply_point, point, setting, now.meter)

    def _live_state(self, now: Situation) -> State:
        return now.state.changed(**{**dict(self._rest(now)), "key": "on"})

    def _among(self, points: list[Point], setting: Setting, now: Situation) -> Iterator[Probe]:
        yield from self._to_rails(points, setting, now)
        if len(points) <= _MOST_PAIRS_AT_ONCE:
            for i, one in enumerate(points):
                for other in points[i + 1 :]:
                    yield Probe("ohm", one, other, setting, now.meter)
        else:
            yield from self._linked(points, setting, now)

    def _to_rails(self, points: list[Point], setting: Setting, now: Situation) -> Iterator[Probe]:
        for point in points:
            for rail in (self.earth_point, self.supply_point):
                if rail is not None:
                    yield Probe("ohm", point, rail, setting, now.meter)

    def _linked(self, points: list[Point], setting: Setting, now: Situation) -> Iterator[Probe]:
        """Pairs that something connects in the sound loom, and neighbours in a plug."""
        island, node_of = self.model.solved(setting).island, self.model.network.node_of
        metal = island[self.model.network.earth]
        by_island: dict[int, list[Point]] = {}
        for point in points:
            by_island.setdefault(int(island[node_of[point]]), []).append(point)
        for number, members in by_island.items():
            if number == metal or len(members) > 12:
                pairs = itertools.pairwise(members)
            else:
                pairs = ((a, b) for i, a in enumerate(members) for b in members[i + 1 :])  # type: ignore[assignment]
            for one, other in pairs:
                yield Probe("ohm", one, other, setting, now.meter)
        here = set(points)
        for plug in self.control:
            for a, b in self.model.network.topology.plugs[plug].face.neighbours:
                if Point(plug, a) in here and Point(plug, b) in here:
                    yield Probe("ohm", Point(plug, a), Point(plug, b), setting, now.meter)

    def _across(self, points: list[Point], setting: Setting, now: Situation) -> Iterator[Probe]:
        for i, one in enumerate(points[:8]):
            for other in points[i + 1 : 8]:
                yield Probe("ohm", one, other, setting, now.meter)

    def _along(
        self, points: list[Point], control: list[Point], setting: Setting, now: Situation
    ) -> Iterator[Probe]:
        """From a plug's cavity along its wire to the control plug, or to where the wire ends."""
        loom, node_of = self.model.network.topology, self.model.network.node_of
        island = self.model.solved(setting).island
        nets = self.model.nets
        for point in points:
            same = [c for c in control if nets[node_of[c]] == nets[node_of[point]]]
            linked = [c for c in control if island[node_of[c]] == island[node_of[point]]]
            for other in dict.fromkeys((*same[:2], *linked[:2])):
                yield Probe("ohm", point, other, setting, now.meter)
            for wire in loom.wires_at[point]:
                far = wire.to_point if wire.from_point == point else wire.from_point
                yield Probe("ohm", point, far, setting, now.meter)


def _celsius(settings: object, name: str) -> float:
    value = settings.get(name)  # type: ignore[attr-defined]
    return float(value) if isinstance(value, float) else 20.0

"""Random whole jobs of a wanted number of wires, all invented, the same for the same seed.

The mix of parts is that of an analog injection loom in general: one control unit, sensors and
valves round it, injectors in groups behind series resistors, relays, plugs between loom parts,
earth and supply splices. Counts, values and lengths are invented (common practice, no published
source); no pin number is taken from any real diagram.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import attrs
import numpy as np

from loomwright.loom import (
    About,
    Condition,
    CurvePoint,
    Device,
    Element,
    Face,
    Job,
    Joint,
    Plug,
    Point,
    Wire,
)
from reference.looms_parts import COLOURS, SECTIONS, meter_rows, ntc_rows, rounded

SIZES = (12, 45, 60, 120, 250, 500)
"""Numbers of wires that the benchmarks use."""

CONTROL_PLUG = "CU"
"""The control unit's plug; every other plug is T1, T2 … or a pair J1A and J1B."""

CONTROL_UNIT = "UNIT"


def make_job(wires: int, seed: int = 0) -> Job:
    """A valid random job with exactly that many wires.

    Parameters
    ----------
    wires : number of wires, at least 12
    seed : seed of every draw

    Raises
    ------
    ValueError
        when fewer than 12 wires are asked for.
    """
    if wires < 12:
        raise ValueError(f"a loom of {wires} wires is too small; ask for 12 or more")
    maker = _Maker(wires, seed)
    maker.supply_and_earth()
    maker.units()
    maker.bodies()
    maker.inline()
    return maker.job()


Ends = tuple[Point, Point, str]


class _Maker:
    """Collects the rows of each table; one method per kind of circuit."""

    def __init__(self, wires: int, seed: int) -> None:
        self.wanted = wires
        self.seed = seed
        self.rng = np.random.default_rng([wires, seed])
        self.through = round(0.15 * wires) if wires >= 40 else 0
        self.ends: list[Ends] = []
        self.plugs: list[Plug] = []
        self.joints: list[Joint] = []
        self.devices: list[Device] = []
        self.elements: list[Element] = []
        self.curves: list[CurvePoint] = []
        self.count: dict[str, int] = {}
        self.pins = 0

    # Names, wires, devices

    def name(self, stem: str) -> str:
        self.count[stem] = self.count.get(stem, 0) + 1
        return f"{stem}{self.count[stem]}"

    def joint(self, kind: str, stem: str) -> Point:
        name = self.name(stem) if kind != "battery_plus" and kind != "battery_minus" else stem
        self.joints.append(Joint(joint=name, kind=kind, place="engine bay", label=kind))
        return Point(name)

    def wire(self, one: Point, other: Point, use: str = "signal") -> None:
        self.ends.append((one, other, use))

    def element(self, device: str, pins: tuple[str, str], kind: str, **values: object) -> None:
        name = f"{device}_{self.name('e_' + device).removeprefix('e_' + device)}"
        self.elements.append(
            Element(
                element=name,
                device=device,
                from_pin=pins[0],
                to_pin=pins[1],
                kind=kind,
                **values,
            )
        )

    def device(self, stem: str, pins: str, *, warmed_by: str = "ambient") -> tuple[str, str]:
        """A device and its plug of one row; gives both names."""
        device, plug = self.name(stem), self.name("T")
        self.devices.append(
            Device(device=device, label=stem.lower(), place="engine bay", temperature=warmed_by)
        )
        face = Face.parse(pins)
        self.plugs.append(
            Plug(plug=plug, face=face, mates_with=device, place="engine bay", label=stem.lower())
        )
        return device, plug

    def pin(self) -> Point:
        """A cavity of the control unit's plug; numbered later, once all are known."""
        self.pins += 1
        return Point(CONTROL_PLUG, f"?{self.pins}")

    def inside(self, pin: Point, to: Point, kind: str, **values: object) -> None:
        self.element(CONTROL_UNIT, (pin.terminal, to.terminal), kind, **values)

    def signal(self, *, pull_up: bool, load: float | None = None) -> Point:
        """An input of the control unit, measured against its own earth pin."""
        pin = self.pin()
        values: dict[str, object] = {"ohm": load}
        if pull_up:
            values |= {
                "pull_up_ohm": self.between(1000, 4700),
                "pull_up_v": float(self.rng.choice([5.0, 8.0, 10.0])),
            }
        self.inside(pin, self.reference, "input", **values)
        return pin

    def driver(self) -> Point:
        """An output of the control unit at rest: only its leak to earth shows."""
        return self.signal(pull_up=False, load=self.between(2.2e4, 1.5e5))

    def between(self, low: float, high: float) -> float:
        return rounded(low * (high / low) ** self.rng.random())

    # Circuits

    def supply_and_earth(self) -> None:
        """Battery, main relay, supply splice, earth joints, the control unit's own supply."""
        self.devices.append(
            Device(device=CONTROL_UNIT, label="control unit", place="cabin", temperature="ambient")
        )
        self.plus = self.joint("battery_plus", "BPLUS")
        self.joint("battery_minus", "BMINUS")
        self.earths = [self.joint("earth", "E") for _ in range(2 + self.wanted // 100)]
        self.reference, second = self.pin(), self.pin()
        self.wire(self.reference, self.earths[0], "earth")
        self.wire(second, self.earths[1], "earth")
        self.inside(second, self.reference, "link", ohm=0.02)
        self.supply = self.joint("splice", "SP")
        self.fed = 0
        self.relay(self.supply, self.earths[0], steered=False)
        feed = self.pin()
        self.wire(self.supply, feed, "power")
        self.inside(feed, self.reference, "resistor", ohm=self.between(40, 90), tolerance_pct=10.0)
        self.returned = 0
        self.sensor_earth: Point | None = None

    def relay(self, load: Point, earth: Point, *, steered: bool) -> None:
        """A relay from battery to load, 4 wires; terminal numbers are those of DIN 72552."""
        device, plug = self.device("RELAY", "30 87 / 85 86")
        self.element(
            device, ("86", "85"), "winding", ohm=self.between(60, 110), tolerance_pct=10.0,
            inductance_mh=300.0,
        )  # fmt: skip
        closed = Condition.parse("key=on")
        self.element(device, ("30", "87"), "contact", ohm=0.05, closed_when=closed)
        self.wire(self.plus, Point(plug, "30"), "power")
        self.wire(Point(plug, "87"), load, "power")
        self.wire(self.plus if not steered else self.source(), Point(plug, "86"))
        self.wire(Point(plug, "85"), self.driver() if steered else earth)

    def source(self) -> Point:
        """The supply splice in use; a new one, with its feeding wire, after six takers."""
        self.fed += 1
        if self.fed > 6 and self.room(3):
            splice = self.joint("splice", "SP")
            self.wire(self.supply, splice, "power")
            self.supply, self.fed = splice, 1
        return self.supply

    def earth(self) -> Point:
        return self.earths[int(self.rng.integers(len(self.earths)))]

    def returning(self) -> Point:
        """Where a sensor's earth wire goes: a splice whose one wire goes to the control unit."""
        self.returned += 1
        if not self.room(5):
            return self.earth()
        if self.sensor_earth is None or self.returned > 7:
            self.sensor_earth = self.joint("splice", "SE")
            pin = self.pin()
            self.wire(self.sensor_earth, pin, "earth")
            self.inside(pin, self.reference, "link", ohm=0.02)
            self.returned = 1
        return self.sensor_earth

    def room(self, more: int) -> bool:
        return len(self.ends) + more <= self.wanted - self.through

    def units(self) -> None:
        """Circuits in a weighted random order until the wanted number of wires is near."""
        must: list[Callable[[], None]] = [
            self.thermistor, self.injectors, self.throttle, self.flow_sensor,
        ]  # fmt: skip
        weights = {
            self.thermistor: 5,
            self.injectors: 1,
            self.flow_sensor: 2,
            self.throttle: 1,
            self.valve: 5,
            self.pump: 1,
            self.switch: 2,
        }
        units = list(weights)
        chance = np.array([weights[unit] for unit in units], dtype=float)
        while True:
            # No circuit needs more than 10 wires with its new splices, or it looks for itself.
            if not self.room(10):
                break
            unit = (
                must.pop(0) if must else units[self.rng.choice(len(units), p=chance / chance.sum())]
            )
            unit()
        while self.room(2):
            (self.thermistor if self.rng.random() < 0.5 else self.valve)()

    def thermistor(self) -> None:
        engine = self.rng.random() < 0.6
        device, plug = self.device("SENS", "1 2", warmed_by="engine" if engine else "air")
        curve = self.name("NTC")
        cold = self.between(1500, 4000)
        beta = float(self.rng.uniform(3000, 3900))
        self.curves += ntc_rows(curve, cold_ohm=cold, beta_k=beta)
        self.element(device, ("1", "2"), "thermistor", tolerance_pct=5.0, curve=curve)
        self.wire(self.signal(pull_up=True), Point(plug, "1"))
        self.wire(Point(plug, "2"), self.returning())

    def injectors(self) -> None:
        """A group on one resistor pack; as many as there is room for, four at most."""
        count = next((n for n in (4, 3, 2) if self.room(3 * n + 4)), 1)
        if count == 1:
            self.valve("INJ", (2.0, 3.0))
            return
        device, pack = self.device("PACK", " ".join(str(n) for n in range(count + 1)))
        self.wire(self.source(), Point(pack, "0"), "power")
        for n in range(1, count + 1):
            ohm = self.between(5.5, 6.5)
            self.element(device, ("0", str(n)), "resistor", ohm=ohm, tolerance_pct=5.0)
            injector, plug = self.device("INJ", "1 2", warmed_by="engine")
            self.element(
                injector, ("1", "2"), "winding", ohm=self.between(2.0, 3.0), tolerance_pct=8.0,
                inductance_mh=3.0,
            )  # fmt: skip
            self.wire(Point(pack, str(n)), Point(plug, "1"))
            self.wire(Point(plug, "2"), self.driver())

    def flow_sensor(self) -> None:
        """Four pins and a chain of three resistors, one more across the ends."""
        device, plug = self.device("FLOW", "1 2 3 4", warmed_by="air")
        for pins, low, high in (("12", 90, 220), ("23", 150, 400), ("34", 100, 300)):
            ohm = self.between(low, high)
            self.element(device, (pins[0], pins[1]), "resistor", ohm=ohm, tolerance_pct=5.0)
        across = self.between(400, 900)
        self.element(device, ("1", "4"), "resistor", ohm=across, tolerance_pct=5.0)
        self.wire(self.source(), Point(plug, "1"))
        for pin in "23":
            self.wire(Point(plug, pin), self.signal(pull_up=False, load=self.between(4.7e4, 2e5)))
        self.wire(Point(plug, "4"), self.returning())

    def throttle(self) -> None:
        device, plug = self.device("THROTTLE", "1 2 3")
        for pins, when in (("12", "throttle=shut"), ("32", "throttle=open")):
            closed = Condition.parse(when)
            self.element(device, (pins[0], pins[1]), "contact", ohm=0.1, closed_when=closed)
        self.wire(self.signal(pull_up=True), Point(plug, "1"))
        self.wire(self.signal(pull_up=True), Point(plug, "3"))
        self.wire(Point(plug, "2"), self.returning())

    def valve(self, stem: str = "VALVE", ohm: tuple[float, float] = (15.0, 60.0)) -> None:
        device, plug = self.device(stem, "1 2", warmed_by="engine")
        self.element(
            device, ("1", "2"), "winding", ohm=self.between(*ohm), tolerance_pct=8.0,
            inductance_mh=20.0,
        )  # fmt: skip
        self.wire(self.source(), Point(plug, "1"))
        self.wire(Point(plug, "2"), self.driver())

    def pump(self) -> None:
        """A relay of its own and a motor, 6 wires."""
        device, plug = self.device("PUMP", "1 2")
        ohm = self.between(0.8, 2.0)
        self.element(device, ("1", "2"), "winding", ohm=ohm, tolerance_pct=15.0, inductance_mh=1.0)
        self.relay(Point(plug, "1"), self.earth(), steered=True)
        self.wire(Point(plug, "2"), self.earth(), "earth")

    def switch(self) -> None:
        """A contact to a chosen earth, closed below some engine temperature."""
        device, plug = self.device("SWITCH", "1 2", warmed_by="engine")
        closed = Condition.parse(f"engine_c<{self.rng.integers(25, 45)}")
        self.element(device, ("1", "2"), "contact", ohm=0.1, closed_when=closed)
        self.wire(self.signal(pull_up=True), Point(plug, "1"))
        self.wire(Point(plug, "2"), self.earth(), "earth")

    def bodies(self) -> None:
        """One-wire senders earthed by their body, to reach the exact number of wires."""
        while self.room(1):
            device, plug = self.device("SENDER", "1", warmed_by="engine")
            ohm = self.between(200, 900)
            self.element(device, ("1", "case"), "resistor", ohm=ohm, tolerance_pct=10.0)
            self.wire(self.signal(pull_up=True), Point(plug, "1"))

    def inline(self) -> None:
        """Plug pairs in the run of some wires, six wires to a pair."""
        chosen = self.rng.permutation(len(self.ends))[: self.through]
        for start in range(0, len(chosen), 6):
            group = chosen[start : start + 6]
            stem = self.name("J")
            near, far = f"{stem}A", f"{stem}B"
            count = max(2, len(group) + len(group) % 2)
            numbers = [str(n + 1) for n in range(count)]
            text = " ".join(numbers[: count // 2]) + " / " + " ".join(numbers[count // 2 :])
            face = Face.parse(text)
            other = face.mirrored
            self.plugs += [
                Plug(plug=near, face=face, mates_with=far, place="bulkhead"),
                Plug(plug=far, face=other, mates_with=near, place="bulkhead"),
            ]
            for number, index in zip(numbers, group, strict=False):
                one, end, use = self.ends[index]
                self.ends[index] = (one, Point(near, number), use)
                self.ends.append((Point(far, number), end, use))

    # The finished job

    def job(self) -> Job:
        size = max(4, math.ceil(self.pins * 1.12))
        rows = 2 if size <= 60 else 4 if size <= 130 else 6
        width = math.ceil(size / rows)
        cavities = [str(n + 1) for n in range(rows * width)]
        numbers = self.rng.permutation(len(cavities))[: self.pins]
        new = {f"?{n + 1}": cavities[number] for n, number in enumerate(numbers)}
        text = " / ".join(
            " ".join(cavities[row * width : (row + 1) * width]) for row in range(rows)
        )
        unit_plug = Plug(
            plug=CONTROL_PLUG,
            face=Face.parse(text),
            mates_with=CONTROL_UNIT,
            place="cabin",
            label="control unit plug",
        )
        return Job(
            about=About(
                title=f"Invented loom of {self.wanted} wires, seed {self.seed}", supply_v=12.5
            ),
            plugs=(unit_plug, *self.plugs),
            joints=tuple(joint for joint in self.joints if self.used(joint)),
            wires=tuple(self.numbered(new)),
            devices=tuple(self.devices),
            elements=tuple(_renamed(element, new) for element in self.elements),
            curves=tuple(self.curves),
            meters=tuple(meter_rows()),
        )

    def used(self, joint: Joint) -> bool:
        """Whether a wire ends there; the battery's minus post is bolted to the body without one."""
        ends = {end.owner for one, other, _ in self.ends for end in (one, other)}
        return joint.joint in ends or joint.kind == "battery_minus"

    def numbered(self, new: dict[str, str]) -> list[Wire]:
        made: list[Wire] = []
        for n, (one, other, use) in enumerate(self.ends):
            section, strands, strand_mm = SECTIONS[use][self.rng.integers(len(SECTIONS[use]))]
            one, other = (Point(p.owner, new.get(p.terminal, p.terminal)) for p in (one, other))
            made.append(
                Wire(
                    wire=f"W{n + 1}",
                    from_point=one,
                    to_point=other,
                    colour=self.colour(use),
                    section_mm2=section,
                    strands=strands,
                    strand_mm=strand_mm,
                    length_mm=float(self.rng.integers(25, 250) * 10),
                )
            )
        return made

    def colour(self, use: str) -> str:
        if use == "earth":
            return "BN"
        base = "RD" if use == "power" else COLOURS[self.rng.integers(len(COLOURS))]
        tracer = COLOURS[self.rng.integers(len(COLOURS))]
        return base if tracer == base or self.rng.random() < 0.3 else f"{base}/{tracer}"


def _renamed(element: Element, new: dict[str, str]) -> Element:
    return attrs.evolve(
        element,
        from_pin=new.get(element.from_pin, element.from_pin),
        to_pin=new.get(element.to_pin, element.to_pin),
    )

"""Random faults with magnitudes off any grid, and the names that a right answer must contain.

How often each kind really occurs is not known: the weights are assumed, for comparing methods.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property

import attrs
import numpy as np

from loomwright.circuit.assumptions import Assumptions
from loomwright.circuit.configuration import Configuration, configure
from loomwright.circuit.network import Edge, Network
from loomwright.loom import Job, Point, State
from reference.dense import Solved
from reference.faults import Drift, Fault, Series, Shunt, Swap, edited, short_to_earth

KINDS: Mapping[str, float] = {
    "open": 0.27,
    "high": 0.25,
    "earth": 0.11,
    "supply": 0.07,
    "neighbour": 0.08,
    "drift_low": 0.06,
    "drift_high": 0.06,
    "stuck_open": 0.03,
    "stuck_closed": 0.03,
    "swap": 0.04,
    "leak": 0.06,
    "unit": 0.02,
}
"""Weight of each kind of fault; assumed."""

_TRIES = 400
_STATES = ("", "throttle=open", "key=on", "engine_c=10")


@attrs.frozen
class Mix:
    """Chances of no, one and two faults, and the weight of each kind."""

    sound: float = 0.03
    single: float = 0.72
    double: float = 0.25
    kinds: Mapping[str, float] = KINDS

    @classmethod
    def only(cls, *kinds: str, parts: int = 1) -> Mix:
        """Just these kinds, equally often, always one fault or always two."""
        weights = dict.fromkeys(kinds, 1.0)
        return cls(0.0, float(parts == 1), float(parts == 2), weights)


@attrs.frozen
class Part:
    """One thing wrong.

    Attributes
    ----------
    kind : one of `KINDS`
    faults : how it stands in the circuit
    items : names and points that a right answer may give for it
    size : ohms, or the factor of a drift; 0 for a swap
    """

    kind: str
    faults: tuple[Fault, ...]
    items: frozenset[str]
    size: float


@attrs.frozen
class Draw:
    """All that is wrong with one loom; empty when it is sound."""

    parts: tuple[Part, ...] = ()

    @property
    def faults(self) -> tuple[Fault, ...]:
        """All faults of all parts."""
        return tuple(fault for part in self.parts for fault in part.faults)

    @property
    def items(self) -> frozenset[str]:
        """Everything truly at fault, by name and point."""
        return frozenset().union(*(part.items for part in self.parts))


def draw_faults(
    job: Job, rng: np.random.Generator, mix: Mix | None = None, *, assume: Assumptions | None = None
) -> Draw:
    """Faults of one loom, none that a meter at the fault itself could not tell from sound.

    For many draws on one job keep a `Drawer`, which prepares the job once.
    """
    return Drawer(job, assume=assume).draw(rng, mix or Mix())


class Drawer:
    """Draws faults for one job."""

    def __init__(self, job: Job, *, assume: Assumptions | None = None) -> None:
        self.network = Network.of(job)
        self.assume = assume or Assumptions.shipped()
        elements = job.elements
        self.units = {element.device for element in elements if element.kind == "input"}
        """Devices with electronics inside: what is in them is out of reach."""

    def draw(self, rng: np.random.Generator, mix: Mix) -> Draw:
        """No, one or two parts, as the mix says."""
        chance = np.array([mix.sound, mix.single, mix.double])
        count = int(rng.choice(3, p=chance / chance.sum()))
        kinds = {k: w for k, w in mix.kinds.items() if count == 1 or k != "swap"}
        parts: list[Part] = []
        while len(parts) < count:
            part = self.part(rng, kinds)
            if not any(part.items & other.items for other in parts):
                parts.append(part)
        return Draw(tuple(parts))

    def part(self, rng: np.random.Generator, kinds: Mapping[str, float]) -> Part:
        """One fault of one of the kinds that can be seen.

        Raises
        ------
        RuntimeError
            when the loom has no place for such a fault.
        """
        names, weights = list(kinds), np.array(list(kinds.values()))
        make: dict[str, Callable[[np.random.Generator], Part | None]] = {
            "open": self.open,
            "high": self.high,
            "earth": self.earth,
            "supply": self.supply,
            "neighbour": self.neighbour,
            "drift_low": lambda r: self.drift(r, "drift_low", (0.3, 0.92)),
            "drift_high": lambda r: self.drift(r, "drift_high", (1.08, 3.0)),
            "stuck_open": self.stuck_open,
            "stuck_closed": self.stuck_closed,
            "swap": self.swap,
            "leak": self.leak,
            "unit": self.unit,
        }
        for _ in range(20):
            kind = names[rng.choice(len(names), p=weights / weights.sum())]
            for _ in range(_TRIES):
                part = make[kind](rng)
                if part is not None and self.seen(part):
                    return part
        raise RuntimeError(f"this loom has no place for a fault of kind {', '.join(names)}")

    # Kinds

    def open(self, rng: np.random.Generator) -> Part:
        return self.series(rng, "open", math.inf)

    def high(self, rng: np.random.Generator) -> Part:
        return self.series(rng, "high", _log_uniform(rng, 1.0, 1e5))

    def series(self, rng: np.random.Generator, kind: str, ohm: float) -> Part:
        groups = [group for group in self.in_series if group]
        chance = np.array([len(group) for group in groups], dtype=float)
        edge = _pick(rng, groups[rng.choice(len(groups), p=chance / chance.sum())])
        return Part(kind, (Series(edge, ohm),), self.names(edge), ohm)

    def earth(self, rng: np.random.Generator) -> Part:
        return self.to_earth(rng, "earth", (0.1, 1e4))

    def leak(self, rng: np.random.Generator) -> Part:
        """Damp or cracked insulation."""
        return self.to_earth(rng, "leak", (1e4, 5e5))

    def to_earth(self, rng: np.random.Generator, kind: str, ohms: tuple[float, float]) -> Part:
        edge, ohm = _pick(rng, self.of_kind("wire")), _log_uniform(rng, *ohms)
        fault = short_to_earth(self.network, self.end(rng, edge), ohm)
        return Part(kind, (fault,), self.names(edge), ohm)

    def supply(self, rng: np.random.Generator) -> Part | None:
        if self.network.supply is None:
            return None
        edge = _pick(rng, self.of_kind("wire"))
        ohm = _log_uniform(rng, 0.1, 1e4)
        fault = Shunt(self.end(rng, edge), self.network.supply, ohm)
        return Part("supply", (fault,), self.names(edge), ohm)

    def neighbour(self, rng: np.random.Generator) -> Part | None:
        if not self.beside:
            return None
        one, other = self.beside[rng.integers(len(self.beside))]
        ohm = _log_uniform(rng, 0.1, 1e4)
        fault = Shunt(self.network.node_of[one], self.network.node_of[other], ohm)
        return Part("neighbour", (fault,), self.cavities(one, other), ohm)

    def drift(
        self, rng: np.random.Generator, kind: str, factors: tuple[float, float]
    ) -> Part | None:
        edges = self.elements("resistor", "winding", "thermistor")
        if not edges:
            return None
        edge, factor = _pick(rng, edges), float(rng.uniform(*factors))
        return Part(kind, (Drift(edge, factor),), self.names(edge), factor)

    def stuck_open(self, rng: np.random.Generator) -> Part | None:
        edges = self.elements("contact")
        if not edges:
            return None
        edge = _pick(rng, edges)
        return Part("stuck_open", (Series(edge),), self.names(edge), math.inf)

    def stuck_closed(self, rng: np.random.Generator) -> Part | None:
        edges = self.elements("contact")
        if not edges:
            return None
        number = _pick(rng, edges)
        edge, ohm = self.network.edges[number], _log_uniform(rng, 0.03, 0.5)
        return Part("stuck_closed", (Shunt(edge.tail, edge.head, ohm),), self.names(number), ohm)

    def swap(self, rng: np.random.Generator) -> Part | None:
        if not self.beside:
            return None
        one, other = self.beside[rng.integers(len(self.beside))]
        fault = Swap(self.network.node_of[one], self.network.node_of[other])
        return Part("swap", (fault,), self.cavities(one, other), 0.0)

    def unit(self, rng: np.random.Generator) -> Part | None:
        """An input inside a control unit, broken or aged: rarely to blame, but not never."""
        edges = [n for n in self.of_kind("element") if self._is_input(n)]
        if not edges:
            return None
        edge = _pick(rng, edges)
        factor = math.inf if rng.random() < 0.5 else float(rng.uniform(1.08, 3.0))
        fault = Series(edge) if math.isinf(factor) else Drift(edge, factor)
        return Part("unit", (fault,), self.names(edge), factor)

    def _is_input(self, number: int) -> bool:
        element = self.network.edges[number].element
        return element is not None and element.kind == "input"

    # Places

    @cached_property
    def in_series(self) -> tuple[Sequence[int], ...]:
        """Where something may break: wires, contacts, joints and bodies, parts of devices."""
        devices = self.elements("resistor", "winding", "thermistor", "link")
        return (
            self.of_kind("wire"),
            self.of_kind("contact"),
            [*self.of_kind("earth"), *self.of_kind("case")],
            devices,
        )

    def of_kind(self, kind: str) -> list[int]:
        return [n for n, edge in enumerate(self.network.edges) if edge.kind == kind]

    def elements(self, *kinds: str) -> list[int]:
        """Elements of those kinds outside the control unit."""
        found: list[int] = []
        for number, edge in enumerate(self.network.edges):
            element = edge.element
            if edge.kind != "element" or element is None or element.kind not in kinds:
                continue
            if element.device not in self.units:
                found.append(number)
        return found

    @cached_property
    def beside(self) -> list[tuple[Point, Point]]:
        """Neighbouring cavities that both hold a wire."""
        pairs = [
            (Point(plug.plug, one), Point(plug.plug, other))
            for plug in self.network.job.plugs
            for one, other in plug.face.neighbours
        ]
        wired = self.network.topology.wires_at
        return [pair for pair in pairs if pair[0] in wired and pair[1] in wired]

    def end(self, rng: np.random.Generator, number: int) -> int:
        edge = self.network.edges[number]
        return edge.tail if rng.random() < 0.5 else edge.head

    # Names

    def names(self, number: int) -> frozenset[str]:
        edge: Edge = self.network.edges[number]
        own = {edge.element.element} if edge.element is not None else set()
        terminals = {str(point) for point in edge.at if point.terminal}
        return frozenset({*edge.items, *terminals, *own})

    def cavities(self, *cavities: Point) -> frozenset[str]:
        wires = self.network.topology.wires_at
        found = {str(cavity) for cavity in cavities} | {cavities[0].owner}
        return frozenset(
            found | {wire.wire for cavity in cavities for wire in wires.get(cavity, ())}
        )

    # Whether it shows at all

    @cached_property
    def control_plugs(self) -> frozenset[str]:
        plugs = self.network.job.plugs
        return frozenset(plug.plug for plug in plugs if plug.mates_with in self.units)

    @cached_property
    def sound(self) -> list[tuple[Configuration, Solved]]:
        """The sound loom in each state, all plugs on, and at rest with the control unit off."""
        settings = [(text, frozenset[str]()) for text in _STATES] + [("", self.control_plugs)]
        found: list[tuple[Configuration, Solved]] = []
        for text, off in settings:
            state = State.parse(text)
            configuration = configure(self.network, state, off, assume=self.assume)
            branches = edited(self.network, configuration, dead=True)
            found.append((configuration, Solved(len(self.network.points), branches)))
        return found

    def seen(self, part: Part) -> bool:
        """Whether the resistance across the fault itself tells it from sound, in some state."""
        stuck = part.kind.startswith("stuck")
        cases = self.sound if stuck else [self.sound[0], self.sound[-1]]
        (fault,) = part.faults
        if isinstance(fault, Swap):
            return any(self._swap_seen(fault, *case) for case in cases)
        return any(told_apart(*self._across(fault, *case)) for case in cases)

    def _across(
        self, fault: Fault, configuration: Configuration, solved: Solved
    ) -> tuple[float, float]:
        """Resistance between the two ends of the fault, sound and faulty."""
        if isinstance(fault, Shunt):
            sound = solved.ohm(fault.a, fault.b)
            return sound, 1 / (1 / max(sound, 1e-9) + 1 / fault.ohm)
        if isinstance(fault, Swap):
            raise TypeError("a swap has no two ends")
        edge, own = self.network.edges[fault.edge], float(configuration.ohm[fault.edge])
        sound = solved.ohm(edge.tail, edge.head)
        if not configuration.present[fault.edge]:
            return sound, sound
        faulty = own * fault.factor if isinstance(fault, Drift) else own + fault.ohm
        around = 1 / sound - 1 / own
        beside = around if around > 1e-6 / own else 0.0
        total = beside + 1 / faulty
        return sound, 1 / total if total > 0 else math.inf

    def _swap_seen(self, fault: Swap, configuration: Configuration, solved: Solved) -> bool:
        network = self.network
        nodes = [n for n, point in enumerate(network.points) if point.owner in self.control_plugs]
        nodes += [node for node in (network.earth, network.supply) if node is not None]
        branches = edited(network, configuration, [fault], dead=True)
        faulty = Solved(len(network.points), branches)
        pairs = ((a, b) for n, a in enumerate(nodes) for b in nodes[:n])
        return any(told_apart(solved.ohm(a, b), faulty.ohm(a, b)) for a, b in pairs)


def told_apart(sound: float, faulty: float, *, limit_ohm: float = math.inf) -> bool:
    """Whether two ohm readings differ by more than 0.4 ohm + 5 %, or in being over-range."""
    if sound >= limit_ohm or faulty >= limit_ohm:
        return (sound >= limit_ohm) != (faulty >= limit_ohm)
    return abs(faulty - sound) > 0.4 + 0.05 * min(sound, faulty)


def _log_uniform(rng: np.random.Generator, low: float, high: float) -> float:
    return float(low * (high / low) ** rng.random())


def _pick(rng: np.random.Generator, choices: Sequence[int]) -> int:
    return choices[int(rng.integers(len(choices)))]

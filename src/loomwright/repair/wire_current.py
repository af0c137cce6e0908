"""The current each wire of a sound loom carries, in the state that asks most of it.

The supply is that of a running engine, a motor counts with its winding alone, as if it did not
turn, and every output of the control unit that drives a winding is on at once. All three are on the
safe side. What warms a wire is the current that pulses, averaged by its square.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit import Assumptions, Network, Solved, configure, solve_arrays
from loomwright.circuit.configuration import Configuration, Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.harm import control_plugs
from loomwright.loom import Job, Point, State
from loomwright.loom.state import Value

Flags = NDArray[np.bool_]
SHARE_LEAST = 0.15
"""A wire feeds a part when it brings at least this share of its current."""
_KEYS = ("on", "run", "start")
_RAIL_MOST_OHM, _RAIL_MOST_V = 1.0, 1.0  # a cavity that is nearer to a post is a supply or an earth
_LOADS = {"winding", "resistor"}


@attrs.frozen(kw_only=True)
class WireCurrent:
    """What one wire carries.

    Attributes
    ----------
    wire : its name
    current_a : highest current in any state [A]; None where it is not known
    state : that state, as the job writes states; blank where nothing flows
    lasting_a : steady current that warms as much as what flows with the key on [A]
    starting_a : the same while the starter turns [A]
    feeds : devices that get their current through it, the most first
    unknown : why the current is not known; blank where it is
    """

    wire: str
    current_a: float | None
    state: str
    lasting_a: float | None
    starting_a: float | None
    feeds: tuple[str, ...]
    unknown: str


def wire_currents(job: Job, *, value: Mapping[str, float]) -> tuple[WireCurrent, ...]:
    """Every wire, in the order of the sheet.

    Parameters
    ----------
    job : the loom, taken as sound
    value : defaults by name: `current_running_supply`, `current_load_least` and the circuit's own
    """
    return tuple(_Loaded(job, value).currents())


@attrs.frozen(eq=False)
class _InState:
    """The loom solved in one state.

    Attributes
    ----------
    state : key and what else closes a contact
    solved : with the control unit's outputs on
    peak_a, warming_a : current of each edge [A]: highest, and the steady one that warms as much
    """

    state: State
    solved: Solved
    peak_a: Floats
    warming_a: Floats

    @property
    def starting(self) -> bool:
        """Whether it lasts only while the starter turns."""
        return self.state.settings["key"] == "start"


class _Loaded:
    """A loom with its control unit's outputs on."""

    def __init__(self, job: Job, value: Mapping[str, float]) -> None:
        about = attrs.evolve(job.about, supply_v=value["current_running_supply"])
        self.job = attrs.evolve(job, about=about)
        self.network = Network.of(self.job)
        self.assume = Assumptions.of(value)
        self.least_a, self.pulsed = value["current_load_least"], value["current_pulse_share"]
        edges = self.network.edges
        self.edge_of = {edge.wire.wire: n for n, edge in enumerate(edges) if edge.wire is not None}
        self.tails = np.array([edge.tail for edge in edges], dtype=np.int64)
        self.heads = np.array([edge.head for edge in edges], dtype=np.int64)

    def currents(self) -> Iterator[WireCurrent]:
        found = [self.in_state(state) for state in _states(self.job)]
        peak = np.array([each.peak_a for each in found])
        worst = np.argmax(peak > 0.999 * peak.max(axis=0), axis=0)  # of equals the first
        feeds = {n: self.feeds(each) for n, each in enumerate(found) if n in worst}
        lasting = np.max([each.warming_a for each in found if not each.starting], axis=0)
        starting = np.max([each.warming_a for each in found if each.starting], axis=0)
        for wire in self.job.wires:
            edge = self.edge_of.get(wire.wire)
            if edge is None or self.dead_end[edge]:
                yield _unknown(str(wire.wire))
                continue
            current, at = float(peak[worst[edge], edge]), int(worst[edge])
            yield WireCurrent(
                wire=str(wire.wire),
                current_a=current,
                state=str(found[at].state) if current else "",
                lasting_a=float(lasting[edge]),
                starting_a=float(starting[edge]),
                feeds=feeds[at].get(edge, ()) if current else (),
                unknown="",
            )

    def in_state(self, state: State) -> _InState:
        """The loom in a state, outputs on and off, relays as their coils pull them."""
        plain = configure(self.network, state, assume=self.assume)
        pulled = self._pulled(self.solved(plain, outputs=True))
        on, off = (self.solved(plain, outputs=each, also=pulled) for each in (True, False))
        high, low = (np.abs(each.loop_current[: len(self.tails)]) for each in (on, off))
        warming = np.sqrt(self.pulsed * high**2 + (1.0 - self.pulsed) * low**2)
        return _InState(state, on, np.maximum(high, low), np.maximum(warming, low))

    def _pulled(self, solved: Solved) -> Flags:
        """Contacts of relays whose coil has its pull-in current, shape (edges,)."""
        amps = np.abs(solved.loop_current)
        edges = self.network.edges
        pulling = {
            edge.element.device
            for n, edge in enumerate(edges)
            if edge.element is not None and edge.element.kind == "winding"
            and edge.element.pull_in_a is not None and amps[n] >= edge.element.pull_in_a
        }  # fmt: skip
        return np.array([
            edge.element is not None and edge.element.kind == "contact"
            and edge.element.device in pulling
            for edge in edges
        ], dtype=bool)  # fmt: skip

    def solved(self, plain: Configuration, *, outputs: bool, also: Flags | bool = False) -> Solved:
        """The loom in one configuration, with the outputs on or off and further edges closed."""
        ways = self.outputs
        one, other = (np.array([way[end] for way in ways], dtype=np.int64) for end in (0, 1))
        closed = attrs.evolve(
            plain,
            ohm=np.append(plain.ohm, np.full(len(ways), self.assume.closed_contact_ohm)),
            emf=np.append(plain.emf, np.zeros(len(ways))),
            present=np.append(plain.present | also, np.full(len(ways), outputs)),
        )
        return self._solve(closed, np.append(self.tails, one), np.append(self.heads, other))

    def _solve(self, configuration: Configuration, tails: Ints, heads: Ints) -> Solved:
        return solve_arrays(len(self.network.points), tails, heads, configuration)

    @cached_property
    def dead_end(self) -> Flags:
        """Edges through which no current can come back, whatever is closed, shape (edges,)."""
        plain = configure(self.network, State.of({"key": "on"}), assume=self.assume)
        closed = self.solved(plain, outputs=True, also=True)
        return np.asarray(closed.series_class < 0)

    @cached_property
    def outputs(self) -> tuple[tuple[int, int], ...]:
        """Cavity of the control unit and the rail it is switched to, for each that drives coils."""
        plain = configure(self.network, State.of({"key": "on"}), assume=self.assume)
        solved = self._solve(plain, self.tails, self.heads)
        rails = self._rails(solved)
        found = []
        for node in self._switched():
            ways = [(self._driven(solved, node, rail), rail) for rail in rails]
            best = max(ways, default=(0.0, 0))
            if best[0] >= self.least_a:
                found.append((node, best[1]))
        return tuple(found)

    def _cavities(self) -> Iterator[tuple[int, set[str]]]:
        """Wired cavities of the control unit, with the kinds of elements at their pin."""
        loom = self.network.topology
        for name in control_plugs(loom):
            plug = loom.plugs[name]
            for cavity in plug.face.cavities:
                node = self.network.node_of.get(Point(name, cavity))
                if node is not None:
                    elements = loom.elements_of[plug.mates_with or ""]
                    yield node, {e.kind for e in elements if cavity in (e.from_pin, e.to_pin)}

    def _switched(self) -> Iterator[int]:
        """Cavities that could be outputs: no input and no plain conductor at their pin."""
        return (node for node, kinds in self._cavities() if not kinds & {"input", "link"})

    def _rails(self, solved: Solved) -> list[int]:
        """The control unit's own earth and supply cavity; engine metal and the post without."""
        found = []
        for post in (self.network.earth, self.network.supply):
            if post is None:
                continue
            # Through the battery each post is near the other: the voltage tells them apart.
            ways = [
                (_between(solved, node, post), node)
                for node, _ in self._cavities()
                if abs(solved.potential[node] - solved.potential[post]) < _RAIL_MOST_V
            ]
            ohm, node = min(ways, default=(np.inf, post))
            found.append(node if ohm < _RAIL_MOST_OHM else post)
        return found

    def _driven(self, solved: Solved, node: int, rail: int) -> float:
        """Current [A] when a cavity is joined to a rail; 0 where no coil takes part of it."""
        if node == rail or solved.island[node] != solved.island[rail]:
            return 0.0
        coils = [
            n for n, edge in enumerate(self.network.edges)
            if edge.element is not None and edge.element.kind == "winding"
            and solved.edge_island[n] == solved.island[node]
        ]  # fmt: skip
        at, ends = np.array(coils, dtype=np.int64), (np.array([node]), np.array([rail]))
        shares = np.abs(solved.c(ends[1][:, None], at[None]) - solved.c(ends[0][:, None], at[None]))
        if shares.sum() < SHARE_LEAST:  # many coils in parallel take little each
            return 0.0
        volts = abs(float(solved.potential[node] - solved.potential[rail]))
        return volts / (_between(solved, node, rail) + self.assume.closed_contact_ohm)

    def feeds(self, found: _InState) -> dict[int, tuple[str, ...]]:
        """Devices by the wire's edge, by how much of their current the wire brings."""
        solved, amps = found.solved, found.peak_a
        loads = [
            n for n, edge in enumerate(self.network.edges)
            if edge.element is not None and edge.kind == "element"
            and edge.element.kind in _LOADS and amps[n] >= self.least_a
        ]  # fmt: skip
        if not loads:
            return {}
        load, wire = np.array(loads), np.array([*self.edge_of.values()], dtype=np.int64)
        own = solved.k(load, load)
        share: Floats = np.abs(solved.k(load[:, None], wire[None, :])) / own[:, None]
        brought = np.where(share >= SHARE_LEAST, share * amps[load][:, None], 0.0)
        owner = [str(self.network.edges[n].items[0]) for n in loads]
        return {
            int(edge): tuple(dict.fromkeys(owner[n] for n in np.argsort(-column, kind="stable")
                                           if column[n] > 0.0))
            for edge, column in zip(wire, brought.T, strict=True)
        }  # fmt: skip


def _states(job: Job) -> list[State]:
    """Key positions, with what else closes a contact taken through its values side by side."""
    words: dict[str, list[Value]] = {"key": list(_KEYS), "engine_c": [job.about.ambient_c]}
    for element in job.elements:
        for name, sign, value in element.closed_when.clauses if element.closed_when else ():
            known = words.setdefault(name, [])
            if sign in "<>":
                wanted: list[Value] = [float(value) - 1.0, float(value) + 1.0]
            else:
                wanted = [value] if sign == "=" and value != "off" else []
            known += [each for each in wanted if each not in known]
    keys = words.pop("key")
    others = {name: values for name, values in words.items() if values}
    turns = max(len(values) for values in others.values())
    return [
        State.of({"key": key, **{name: vs[n % len(vs)] for name, vs in others.items()}})
        for key in keys
        for n in range(turns)
    ]


def _between(solved: Solved, a: int, b: int) -> float:
    """Resistance between two nodes [ohm], infinite where nothing joins them."""
    if solved.island[a] != solved.island[b]:
        return float("inf")
    one, two = np.array([a]), np.array([b])
    return float((solved.z(one, one) + solved.z(two, two) - 2 * solved.z(one, two))[0])


def _unknown(wire: str) -> WireCurrent:
    why = (
        "an end of it leads to nothing that the job tells of: give the elements of the device there"
    )
    return WireCurrent(wire=wire, current_a=None, state="", lasting_a=None, starting_a=None,
                       feeds=(), unknown=why)  # fmt: skip

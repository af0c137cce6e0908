"""One loom made ready for diagnosis: its faults in cells of magnitude, its settings solved."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property
from typing import TypeVar

import attrs
import numpy as np

from loomwright.circuit import (
    Assumptions,
    Bench,
    Network,
    Ports,
    Scenarios,
    Solved,
    configure,
    solve,
    solve_arrays,
)
from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.faults import Fault, all_faults, nets_of, ports_of
from loomwright.diagnosis.priors import Weights, own_values
from loomwright.loom import Job, Point, Reading, State
from loomwright.loom.state import Value

Key = TypeVar("Key")
Solution = TypeVar("Solution")
NONE = -1
_MOST_NODES = 250
_MOST_SOLVED, _MOST_TURNED = 45_000_000, 4_000_000  # numbers of 8 bytes kept


@attrs.frozen
class Setting:
    """A state and what is off: what must be the same for two readings to share a solution."""

    state: tuple[tuple[str, Value], ...]
    unplugged: frozenset[str]

    @classmethod
    def of(cls, state: State, unplugged: Iterable[str]) -> Setting:
        """Order and spelling do not matter, what is assumed at rest is filled in."""
        return cls(tuple(sorted(state.settings.items())), frozenset(unplugged))

    @property
    def text(self) -> str:
        """The setting in one line, the same for equal settings."""
        return f"{self.as_state} less {' '.join(sorted(self.unplugged))}"

    @property
    def as_state(self) -> State:
        """The state again."""
        return State.of(self.state)


@attrs.frozen
class Probe:
    """One reading that can be taken: quantity, where the probes go, and the setting."""

    quantity: str
    plus: Point
    minus: Point
    setting: Setting
    meter: str | None = None

    @classmethod
    def of(cls, reading: Reading) -> Probe:
        """The probe of a reading in a job."""
        setting = Setting.of(reading.state, reading.unplugged)
        return cls(reading.quantity, reading.plus, reading.minus, setting, reading.meter)


@attrs.frozen(eq=False)
class Hypotheses:
    """Fault sets of at most two with their cells of magnitude; arrays of one length.

    Attributes
    ----------
    fault1, fault2 : fault numbers, -1 for none; a series fault comes before a shunt
    magnitude1, magnitude2 : cell centre [ohm or factor], 0 for an open
    width1, width2 : width of the cell in ln(magnitude)
    log_prior : natural logarithm of the prior probability
    """

    fault1: Ints
    magnitude1: Floats
    width1: Floats
    fault2: Ints
    magnitude2: Floats
    width2: Floats
    log_prior: Floats

    def __len__(self) -> int:
        return len(self.fault1)

    def __getitem__(self, which: object) -> Hypotheses:
        return Hypotheses(*(column[which] for column in attrs.astuple(self, recurse=False)))

    @classmethod
    def joined(cls, parts: Iterable[Hypotheses]) -> Hypotheses:
        """Several sets end to end."""
        columns = zip(*(attrs.astuple(part, recurse=False) for part in parts), strict=True)
        return cls(*(np.concatenate(column) for column in columns))


@attrs.define(slots=False, eq=False)
class Model:
    """A job's loom, its faults and its solved configurations.

    Parameters
    ----------
    job : the job
    values : the number of every default; by default as shipped, with the job's own in place
    weights : prior weights; by default from the shipped tables and the job's survey
    assume : what to take where the job is silent
    """

    job: Job
    values: dict[str, float] = attrs.field(
        default=attrs.Factory(lambda self: own_values(self.job), takes_self=True)
    )
    assume: Assumptions = attrs.field(
        default=attrs.Factory(lambda self: Assumptions.of(self.values), takes_self=True)
    )
    weights: Weights = attrs.field(
        default=attrs.Factory(lambda self: Weights(self.job), takes_self=True)
    )
    _solved: dict[Setting, Solved] = attrs.field(factory=dict, init=False)
    _turned: dict[tuple[int, Setting], tuple[Solved, Ints]] = attrs.field(factory=dict, init=False)

    @cached_property
    def network(self) -> Network:
        return Network.of(self.job)

    @cached_property
    def faults(self) -> tuple[Fault, ...]:
        return all_faults(self.network, self.weights)

    @cached_property
    def ports(self) -> Ports:
        return ports_of(self.faults)

    @cached_property
    def nets(self) -> list[int]:
        """Net of each node: what wires alone join."""
        return nets_of(self.network)

    @cached_property
    def weight(self) -> Floats:
        """Prior probability of each fault, given that there is exactly one, shape (faults,)."""
        raw = np.array([fault.weight for fault in self.faults])
        return raw / raw.sum() if len(raw) else raw

    @cached_property
    def is_swap(self) -> np.ndarray:
        return np.array([fault.swap is not None for fault in self.faults], dtype=bool)

    @cached_property
    def is_factor(self) -> np.ndarray:
        return np.array([fault.size == "factor" for fault in self.faults], dtype=bool)

    @cached_property
    def singles(self) -> Hypotheses:
        """Sound first, then every cell of every single fault."""
        fault, magnitude, width, log_prior = (
            [NONE],
            [0.0],
            [0.0],
            [np.log(self.weights.totals.sound)],
        )
        for number, each in enumerate(self.faults):
            cells = each.magnitudes()
            share = np.log(self.weights.totals.one * self.weight[number] / len(cells))
            fault += [number] * len(cells)
            magnitude += cells.tolist()
            width += [each.cell_width()] * len(cells)
            log_prior += [share] * len(cells)
        count = len(fault)
        return Hypotheses(
            np.array(fault), np.array(magnitude), np.array(width),
            np.full(count, NONE), np.zeros(count), np.zeros(count), np.array(log_prior),
        )  # fmt: skip

    @cached_property
    def cell_count(self) -> Ints:
        """How many cells each fault has among `singles`, shape (faults,)."""
        return np.bincount(self.singles.fault1[1:], minlength=len(self.faults))

    @cached_property
    def first_cell(self) -> Ints:
        """Place in `singles` of each fault's first cell, shape (faults,)."""
        return np.concatenate([[1], 1 + np.cumsum(self.cell_count)])[:-1].astype(np.int64)

    def cell_at(self, fault: Ints, share: float) -> Ints:
        """Place in `singles` of the cell so far along each fault's range, 0 first and 1 last."""
        steps = (share * (self.cell_count[fault] - 1)).astype(np.int64)
        return np.asarray(self.first_cell[fault] + steps)

    def solved(self, setting: Setting) -> Solved:
        """The configuration of a setting, solved once."""
        if setting not in self._solved:
            _make_room(self._solved, lambda solved: solved.size, most=_MOST_SOLVED)
            configuration = configure(
                self.network, setting.as_state, setting.unplugged, assume=self.assume
            )
            self._solved[setting] = solve(self.network, configuration)
        return self._solved[setting]

    def nodes(self, probe: Probe) -> tuple[int, int] | None:
        """The nodes of red and black, None when one touches nothing."""
        volts = probe.quantity == "volt"
        found = [self.network.node(point, volts=volts) for point in (probe.plus, probe.minus)]
        return None if found[0] is None or found[1] is None else (found[0], found[1])

    def bench(self, probes: list[Probe], ports: Ports | None = None) -> Bench:
        """Probe pairs of one setting against fault ports (all of them by default)."""
        pairs = [self.nodes(probe) or (0, 0) for probe in probes]
        tests = Ports.shunt(np.array([a for a, _ in pairs]), np.array([b for _, b in pairs]))
        solved = self.solved(probes[0].setting)
        return Bench.of(solved, tests, self.ports if ports is None else ports)

    def sizes(self, solved: Solved, fault: Ints, magnitude: Floats) -> Floats:
        """Magnitudes as the ports take them: 1/ohm in series (0 an open), ohm in parallel."""
        edge = self.ports.edge[np.maximum(fault, 0)]
        series = edge >= 0
        ohm = solved.configuration.ohm[np.maximum(edge, 0)]
        factor = self.is_factor[np.maximum(fault, 0)]
        added = np.where(factor, ohm * (magnitude - 1.0), magnitude)
        inverse = np.where(added != 0.0, 1.0 / np.where(added == 0.0, 1.0, added), 0.0)
        return np.where(series, inverse, magnitude)

    def scenarios(self, solved: Solved, h: Hypotheses) -> Scenarios:
        """Hypotheses as the solver takes them in one configuration."""
        port1 = h.fault1
        if self.is_swap.any():  # no port: swapped cavities are solved as a loom of their own
            port1 = np.where(self.is_swap[np.maximum(port1, 0)], NONE, port1)
        return Scenarios(
            port1,
            self.sizes(solved, h.fault1, h.magnitude1),
            h.fault2,
            self.sizes(solved, h.fault2, h.magnitude2),
        )

    def swapped(
        self, fault: int, setting: Setting, tests: Ports
    ) -> tuple[Solved, Ports, np.ndarray] | None:
        """A solution of the loom with two wires in each other's cavity.

        With the plug off it is the same loom with the two cavities' nodes exchanged. With it on,
        only the islands that the cavities and what they mate with belong to are solved anew.

        Returns
        -------
        the solution, the probe pairs in its node numbers, and which of them the swap can move;
        None when it can move none, or when the islands are too large to solve anew for each swap
        """
        cavities = self.faults[fault].swap
        if cavities is None:
            return None
        base = self.solved(setting)
        one, other = (self.network.node_of[cavity] for cavity in cavities)
        if cavities[0].owner in setting.unplugged:
            turn = np.arange(len(self.network.points))
            turn[[one, other]] = other, one
            moved = Ports.shunt(turn[tests.a], turn[tests.b])
            reached = (moved.a != tests.a) | (moved.b != tests.b)
            return (base, moved, reached) if reached.any() else None
        touched = {int(base.island[node]) for node in self._swap_ends(fault)}
        islands = list(touched)
        reached = np.isin(base.island[tests.a], islands) | np.isin(base.island[tests.b], islands)
        if not reached.any() or np.isin(base.island, islands).sum() > _MOST_NODES:
            return None
        key = (fault, setting)
        if key not in self._turned:
            _make_room(self._turned, lambda turned: turned[0].size, most=_MOST_TURNED)
            self._turned[key] = self._solve_swapped(base, touched, one=one, other=other)
        solved, place = self._turned[key]
        return solved, Ports.shunt(place[tests.a], place[tests.b]), reached

    def _swap_ends(self, fault: int) -> set[int]:
        found = set()
        for cavity in self.faults[fault].swap or ():
            found.add(self.network.node_of[cavity])
            across = self.network.topology.across(cavity)
            if across is not None and across in self.network.node_of:
                found.add(self.network.node_of[across])
        return found

    def _solve_swapped(
        self, base: Solved, touched: set[int], *, one: int, other: int
    ) -> tuple[Solved, Ints]:
        nodes = np.flatnonzero(np.isin(base.island, list(touched)))
        # Probes beyond these islands share a node of their own, which nothing reaches.
        place = np.full(len(self.network.points), len(nodes))
        place[nodes] = np.arange(len(nodes))
        turn = {one: other, other: one}
        numbers = np.flatnonzero(np.isin(base.edge_island, list(touched)))
        tails, heads = [], []
        for number in numbers:
            edge = self.network.edges[number]
            ends = (edge.tail, edge.head)
            if edge.wire is not None:
                ends = (turn.get(ends[0], ends[0]), turn.get(ends[1], ends[1]))
            tails.append(place[ends[0]])
            heads.append(place[ends[1]])
        whole = base.configuration
        part = attrs.evolve(
            whole, ohm=whole.ohm[numbers], emf=whole.emf[numbers], present=whole.present[numbers]
        )
        solved = solve_arrays(
            len(nodes) + 1, np.array(tails, np.int64), np.array(heads, np.int64), part
        )
        return solved, place


def _make_room(store: dict[Key, Solution], size: Callable[[Solution], int], *, most: int) -> None:
    """Let the oldest solutions go until there is room for more."""
    total = sum(size(each) for each in store.values())
    while store and total > most:
        total -= size(store.pop(next(iter(store))))

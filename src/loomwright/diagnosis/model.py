"""One loom made ready for diagnosis: its faults in cells of magnitude, its settings solved."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from weakref import WeakKeyDictionary

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
)
from loomwright.circuit.configuration import Floats
from loomwright.circuit.ports import PortValues
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.complaint import complaint_factor
from loomwright.diagnosis.faults import Fault, all_faults, nets_of, ports_of
from loomwright.diagnosis.kept import Kept
from loomwright.diagnosis.priors import Weights, own_values
from loomwright.diagnosis.swaps import Swaps
from loomwright.loom import Job, Point, Reading, State
from loomwright.loom.state import Value

NONE = -1
_MOST_SOLVED = 12_000_000  # numbers of 8 bytes kept


@attrs.frozen(cache_hash=True)
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


@attrs.frozen(cache_hash=True)
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
    _solved: Kept[Setting, Solved] = attrs.field(
        factory=lambda: Kept(_MOST_SOLVED, lambda solved: solved.size), init=False
    )

    _own: WeakKeyDictionary[Solved, PortValues] = attrs.field(factory=WeakKeyDictionary, init=False)

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
        """Prior probability of each fault, given that there is exactly one, shape (faults,).

        The complaint is in it.
        """
        raw = np.array([fault.weight for fault in self.faults]) * complaint_factor(self)
        return raw / raw.sum() if len(raw) else raw

    @cached_property
    def swaps(self) -> Swaps:
        """Readings with two wires in each other's cavity."""
        return Swaps(self.network, self.faults)

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
        return self._solved.get(setting, lambda: self._solve(setting))

    def _solve(self, setting: Setting) -> Solved:
        configuration = configure(
            self.network, setting.as_state, setting.unplugged, assume=self.assume
        )
        return solve(self.network, configuration)

    def nodes(self, probe: Probe) -> tuple[int, int] | None:
        """The nodes of red and black, None when one touches nothing."""
        volts = probe.quantity == "volt"
        found = [self.network.node(point, volts=volts) for point in (probe.plus, probe.minus)]
        return None if found[0] is None or found[1] is None else (found[0], found[1])

    def bench(self, probes: list[Probe], faults: Ints | None = None) -> Bench:
        """Probe pairs of one setting against the ports of some faults (of all by default)."""
        pairs = [self.nodes(probe) or (0, 0) for probe in probes]
        tests = Ports.shunt(np.array([a for a, _ in pairs]), np.array([b for _, b in pairs]))
        solved = self.solved(probes[0].setting)
        own = self._own.get(solved)
        if own is None:
            own = self._own[solved] = PortValues.of(solved, self.ports)
        if faults is None:
            return Bench.of(solved, tests, self.ports, own=own)
        return Bench.of(solved, tests, self.ports[faults], own=own[faults])

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

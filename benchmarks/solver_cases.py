"""Readings of random looms under one or two faults, plain ones and ones made to hurt a solver."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cached_property

import attrs
import numpy as np

from loomwright.circuit import (
    NO_FAULT,
    Assumptions,
    Bench,
    Configuration,
    Edge,
    Network,
    Ports,
    Scenarios,
    Solved,
    configure,
    solve,
)
from loomwright.loom import Job, State
from reference.faults import Drift, Fault, Series, Shunt, edited
from reference.spice import Circuit

KINDS = (
    "one series",
    "one shunt",
    "series + series",
    "series + shunt",
    "shunt + shunt",
    "two opens, a cut pair",
    "cut but for megohms",
    "doubled wire beside megohms",
    "two shunts, one floating island",
    "stretched loom",
    "volts",
)

STRETCH_INPUT, STRETCH_WIRE = 50.0, 0.1
NEARLY = 1e-3
"""K12² within this share of K11 K22 counts as a cut but for something large."""

Random = np.random.Generator


@attrs.frozen(eq=False)
class Setting:
    """One configuration of the loom and its solution."""

    name: str
    configuration: Configuration
    solved: Solved


@attrs.frozen(eq=False)
class Case:
    """One reading under one or two faults.

    Attributes
    ----------
    kind : one of `KINDS`
    label : loom, setting, leads and faults, enough to make it again
    quantity : ohm or volt
    ours : what the closed forms say [ohm or V]
    """

    kind: str
    label: str
    quantity: str
    network: Network
    configuration: Configuration
    faults: tuple[Fault, ...]
    plus: int
    minus: int
    ours: float

    def circuit(self) -> Circuit:
        """The same reading for a reference solver."""
        branches = edited(
            self.network, self.configuration, self.faults, dead=self.quantity == "ohm"
        )
        nodes = len(self.network.points)
        return Circuit(nodes, branches, self.plus, self.minus, self.quantity)  # type: ignore[arg-type]


class LoomCases:
    """Cases of one loom.

    Parameters
    ----------
    job : the loom
    wires, seed : of the loom, for the labels; the seed also draws the cases
    """

    def __init__(self, job: Job, wires: int, seed: int) -> None:
        self.name = f"{wires} wires seed {seed}"
        self.rng = np.random.default_rng([wires, seed, 11])
        self.assume = Assumptions.shipped()
        self.network = Network.of(job)
        units = [str(plug.plug) for plug in job.plugs if plug.mates_with == "UNIT"]
        others = [str(plug.plug) for plug in job.plugs if plug.plug not in units]
        loose = [str(self.rng.choice(others)) for _ in range(2)] if others else []
        self.dead = [
            self.setting("", units),
            self.setting("throttle=open", [*units, *loose[:1]]),
            self.setting("", []),
            self.setting("engine_c=10", loose[1:]),
        ]
        self.live = [self.setting("key=on", []), self.setting("key=on", units)]

    def setting(self, text: str, unplugged: list[str]) -> Setting:
        configuration = configure(self.network, State.parse(text), unplugged, assume=self.assume)
        name = f"{text or 'rest'}, off {' '.join(unplugged) or 'none'}"
        return Setting(name, configuration, solve(self.network, configuration))

    @cached_property
    def stretched(self) -> Setting:
        """All plugs on, inputs in the megohms, wires down to tenths of a milliohm."""
        return self.stretch(self.dead[2])

    def stretch(self, setting: Setting) -> Setting:
        """The same with larger inputs and thicker wires."""
        factor = np.ones(len(self.network.edges))
        for number, edge in enumerate(self.network.edges):
            if edge.kind == "wire":
                factor[number] = STRETCH_WIRE
            elif edge.element is not None and edge.element.kind == "input":
                factor[number] = STRETCH_INPUT
        whole = setting.configuration
        configuration = attrs.evolve(whole, ohm=whole.ohm * factor)
        solved = solve(self.network, configuration)
        return Setting(f"stretched, {setting.name}", configuration, solved)

    def cases(self, each: int) -> list[Case]:
        """So many cases of each kind; a kind the loom has no place for is left out."""
        make: dict[str, Callable[[], Case | None]] = {
            "one series": lambda: self.plain("one series", "s"),
            "one shunt": lambda: self.plain("one shunt", "p"),
            "series + series": lambda: self.plain("series + series", "ss"),
            "series + shunt": lambda: self.plain("series + shunt", "sp"),
            "shunt + shunt": lambda: self.plain("shunt + shunt", "pp"),
            "two opens, a cut pair": self.cut_pair,
            "cut but for megohms": self.nearly_cut,
            "doubled wire beside megohms": self.doubled,
            "two shunts, one floating island": self.onto_island,
            "stretched loom": self.on_stretched,
            "volts": self.volts,
        }
        made = (make[kind]() for kind in KINDS for _ in range(each))
        return [case for case in made if case is not None]

    # Kinds

    def plain(self, kind: str, code: str) -> Case:
        setting = self.dead[self.rng.integers(len(self.dead))]
        return self.case(kind, setting, self.random_faults(setting, code))

    def on_stretched(self) -> Case:
        code = str(self.rng.choice(["s", "p", "ss", "sp", "pp"]))
        return self.case("stretched loom", self.stretched, self.random_faults(self.stretched, code))

    def volts(self) -> Case:
        setting = self.live[self.rng.integers(len(self.live))]
        code = str(self.rng.choice(["s", "p", "ss", "sp", "pp"]))
        return self.case("volts", setting, self.random_faults(setting, code), quantity="volt")

    def cut_pair(self) -> Case | None:
        """Two edges that lie in exactly the same loops: both open, or one open and one worn."""
        setting = self.dead[2]
        classes = setting.solved.series_class
        groups = [np.flatnonzero(classes == number) for number in np.unique(classes[classes >= 0])]
        groups = [group for group in groups if len(group) > 1]
        if not groups:
            return None
        group = groups[self.rng.integers(len(groups))]
        one, two = (int(edge) for edge in self.rng.choice(group, 2, replace=False))
        second = math.inf if self.rng.random() < 0.6 else self.log_uniform(1.0, 1e5)
        return self.case("two opens, a cut pair", setting, (Series(one), Series(two, second)))

    def nearly_cut(self) -> Case | None:
        """Two opens (or nearly) whose only other path is something very large."""
        setting = self.dead[2] if self.rng.random() < 0.5 else self.stretched
        pairs = self.nearly_cut_pairs(setting)
        if not len(pairs):
            return None
        # The closest to a true cut half of the time.
        most = min(len(pairs), 20) if self.rng.random() < 0.5 else len(pairs)
        one, two = (int(edge) for edge in pairs[self.rng.integers(most)])
        ohm = [math.inf if self.rng.random() < 0.6 else self.log_uniform(1e3, 1e6) for _ in "12"]
        edge = self.network.edges[one]
        leads = (edge.tail, edge.head) if self.rng.random() < 0.5 else None
        faults = (Series(one, ohm[0]), Series(two, ohm[1]))
        return self.case("cut but for megohms", setting, faults, leads=leads)

    def nearly_cut_pairs(self, setting: Setting) -> np.ndarray:
        """Pairs of edges, closest to a cut first, shape (pairs, 2)."""
        solved = setting.solved
        edges = np.flatnonzero(solved.series_class >= 0)
        k = solved.k(edges[:, None], edges[None, :])
        own = np.diagonal(k)
        left = 1.0 - k**2 / (own[:, None] * own[None, :])
        classes = solved.series_class[edges]
        near = (left < NEARLY) & (classes[:, None] < classes[None, :])
        one, two = np.nonzero(near)
        order = np.argsort(left[one, two], kind="stable")
        return np.column_stack([edges[one[order]], edges[two[order]]])

    def doubled(self) -> Case | None:
        """Two wires side by side across a megohm input, one open, the other open or worn.

        Stands for a doubled earth or supply wire whose only way round is electronics: the two are
        a cut but for 1e-9 of their conductance. The control unit's plug is off.
        """
        whole, edges = self.stretch(self.dead[0]).configuration, self.network.edges
        inputs = [n for n in np.flatnonzero(whole.present) if edges[n].kind == "element"]
        inputs = [n for n in inputs if edges[n].element.kind == "input" and whole.ohm[n] > 1e6]  # type: ignore[union-attr]
        if not inputs:
            return None
        beside = edges[inputs[self.rng.integers(len(inputs))]]
        extra = Edge(beside.tail, beside.head, "wire", ("doubled",), beside.at)
        network = attrs.evolve(self.network, edges=(*edges, extra, extra))
        configuration = attrs.evolve(
            whole,
            ohm=np.append(whole.ohm, [self.log_uniform(1e-3, 0.1) for _ in "12"]),
            emf=np.append(whole.emf, [0.0, 0.0]),
            present=np.append(whole.present, [True, True]),
        )
        doubled = " and ".join(f"{ohm:.4g}" for ohm in configuration.ohm[-2:])
        setting = Setting(
            f"stretched, doubled {doubled} ohm", configuration, solve(network, configuration)
        )
        one = len(edges)
        second = math.inf if self.rng.random() < 0.6 else self.log_uniform(1e3, 1e6)
        faults = (Series(one), Series(one + 1, second))
        leads = (beside.tail, beside.head)
        kind = "doubled wire beside megohms"
        return self.case(kind, setting, faults, leads=leads, network=network)

    def onto_island(self) -> Case | None:
        """Two shunts from one floating island to one or two other parts."""
        setting = self.dead[self.rng.choice([0, 1])]
        island = setting.solved.island
        counts = np.bincount(island)
        floating = np.flatnonzero((counts > 1) & (np.arange(len(counts)) != island[0]))
        if not len(floating):
            return None
        here = np.flatnonzero(island == self.rng.choice(floating))
        there = np.flatnonzero(island == island[0])
        if len(floating) > 1 and self.rng.random() < 0.5:
            there = np.flatnonzero(island != island[here[0]])
        pick = self.rng.choice
        faults = tuple(
            Shunt(int(pick(here)), int(pick(there)), self.log_uniform(0.1, 1e4)) for _ in "12"
        )
        leads = (int(pick(here)), int(pick(there if self.rng.random() < 0.7 else here)))
        return self.case("two shunts, one floating island", setting, faults, leads=leads)

    # Parts of a case

    def random_faults(self, setting: Setting, code: str) -> tuple[Fault, ...]:
        """One fault a letter: s in series, p in parallel; never two on one edge."""
        faults: list[Fault] = []
        carrying = np.flatnonzero(setting.configuration.present)
        edges = self.rng.choice(carrying, len(code), replace=False)
        for letter, edge in zip(code, edges, strict=True):
            faults.append(self.series(int(edge)) if letter == "s" else self.shunt())
        return tuple(faults)

    def series(self, edge: int) -> Fault:
        draw = self.rng.random()
        if draw < 0.5:
            return Series(edge)
        if draw < 0.85:
            return Series(edge, self.log_uniform(0.1, 1e5))
        return Drift(edge, float(self.rng.uniform(0.3, 3.0)))

    def shunt(self) -> Fault:
        a, b = self.rng.choice(len(self.network.points), 2, replace=False)
        if self.rng.random() < 0.5:
            b = self.network.earth if a != self.network.earth else b
        return Shunt(int(a), int(b), self.log_uniform(0.1, 1e4))

    def log_uniform(self, low: float, high: float) -> float:
        return float(low * (high / low) ** self.rng.random())

    def leads(self, setting: Setting, faults: tuple[Fault, ...]) -> tuple[int, int]:
        """One lead near a fault, the other in the same part or, now and then, anywhere."""
        ends: list[int] = []
        for fault in faults:
            if isinstance(fault, Shunt):
                ends += [fault.a, fault.b]
            elif isinstance(fault, Series | Drift):
                edge = self.network.edges[fault.edge]
                ends += [edge.tail, edge.head]
        plus = int(self.rng.choice(ends))
        island = setting.solved.island
        others = np.flatnonzero(island == island[plus])
        if len(others) < 2 or self.rng.random() < 0.25:
            others = np.arange(len(island))
        minus = int(self.rng.choice(others))
        return (
            (plus, minus)
            if plus != minus
            else (plus, int(ends[-1] if plus == ends[0] else ends[0]))
        )

    def case(
        self,
        kind: str,
        setting: Setting,
        faults: tuple[Fault, ...],
        *,
        quantity: str = "ohm",
        leads: tuple[int, int] | None = None,
        network: Network | None = None,
    ) -> Case:
        plus, minus = leads or self.leads(setting, faults)
        ours = read(setting, faults, plus=plus, minus=minus, quantity=quantity, assume=self.assume)
        label = f"{self.name}; {setting.name}; {quantity} {plus}-{minus}; {faults}"
        return Case(
            kind,
            label,
            quantity,
            network or self.network,
            setting.configuration,
            faults,
            plus,
            minus,
            ours,
        )


def read(
    setting: Setting,
    faults: tuple[Fault, ...],
    *,
    plus: int,
    minus: int,
    quantity: str,
    assume: Assumptions,
) -> float:
    """The package's own reading [ohm or V] of one pair of nodes."""
    ports, scenarios = as_scenarios(setting.configuration, faults)
    tests = Ports.shunt(np.array([plus]), np.array([minus]))
    out = Bench.of(setting.solved, tests, ports).read(np.zeros(1, np.int64), scenarios)
    ohm, volt = float(out.ohm[0]), float(out.volt[0])
    if quantity == "ohm":
        return ohm
    meter = assume.voltmeter_ohm
    return 0.0 if math.isinf(ohm) else volt * meter / (meter + ohm)


def as_scenarios(
    configuration: Configuration, faults: tuple[Fault, ...]
) -> tuple[Ports, Scenarios]:
    """Faults as ports and one scenario; a series fault comes first."""
    ordered = sorted(faults, key=lambda fault: isinstance(fault, Shunt))
    rows: list[tuple[int, int, int, float]] = []
    for fault in ordered:
        if isinstance(fault, Shunt):
            rows.append((-1, fault.a, fault.b, fault.ohm))
        elif isinstance(fault, Series):
            rows.append((fault.edge, 0, 0, 1.0 / fault.ohm))
        elif isinstance(fault, Drift):
            added = float(configuration.ohm[fault.edge]) * (fault.factor - 1.0)
            rows.append((fault.edge, 0, 0, 1.0 / added))
        else:
            raise TypeError(f"{fault}: no port; give a series fault, a drift or a shunt")
    edge, a, b, size = zip(*rows, strict=True)
    ports = Ports(*(np.array(column, np.int64) for column in (edge, a, b)))
    two = len(rows) > 1
    second = np.array([1 if two else NO_FAULT]), np.array([size[1] if two else 0.0])
    return ports, Scenarios(np.array([0]), np.array(size[:1]), *second)

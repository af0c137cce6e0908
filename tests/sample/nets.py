"""Plain small networks for the solver: branches, faults and one pair of probes."""

from __future__ import annotations

import math
from collections.abc import Sequence

import attrs
import numpy as np
from hypothesis import strategies as st

from loomwright.circuit import (
    NO_FAULT,
    Bench,
    Configuration,
    Outcome,
    Ports,
    Scenarios,
    Solved,
    solve_arrays,
)
from loomwright.loom import State
from reference.dense import Branch
from reference.faults import Fault, Series, Shunt


@attrs.frozen
class Net:
    """Branches `(tail, head, ohm, emf)` between numbered nodes."""

    nodes: int
    branches: tuple[Branch, ...]

    def solved(self) -> Solved:
        """The net in the package's loop form."""
        count = len(self.branches)
        tails, heads, ohm, emf = zip(*self.branches, strict=True)
        configuration = Configuration(
            state=State(),
            unplugged=frozenset(),
            ohm=np.array(ohm),
            emf=np.array(emf),
            present=np.ones(count, bool),
            spread=np.zeros(count),
            per_kelvin=np.zeros(count),
            temperature=("",) * count,
            temperatures={},
        )
        return solve_arrays(self.nodes, np.array(tails), np.array(heads), configuration)

    def edited(self, faults: Sequence[Fault]) -> list[Branch]:
        """The branches with the faults in place, for a reference."""
        extra = {fault.edge: fault.ohm for fault in faults if isinstance(fault, Series)}
        kept = [
            (tail, head, ohm + extra.get(number, 0.0), emf)
            for number, (tail, head, ohm, emf) in enumerate(self.branches)
            if math.isfinite(extra.get(number, 0.0))
        ]
        return kept + [(f.a, f.b, f.ohm, 0.0) for f in faults if isinstance(f, Shunt)]

    def read(
        self, faults: Sequence[Fault], pair: tuple[int, int]
    ) -> tuple[Bench, Scenarios, Outcome]:
        """The bench with its probes on a pair, the faults as a scenario, and what is read."""
        faults = sorted(faults, key=lambda fault: isinstance(fault, Shunt))
        rows = [(0, 0, 0, 0.0)] * (not faults) + [
            (f.edge, 0, 0, 1 / f.ohm) if isinstance(f, Series) else (-1, f.a, f.b, f.ohm)  # type: ignore[union-attr]
            for f in faults
        ]
        edge, a, b, size = (np.array(column) for column in zip(*rows, strict=True))
        ports = Ports(edge, a, b)
        number = [*range(len(faults)), NO_FAULT, NO_FAULT]
        sizes = [*map(float, size), 0.0, 0.0]
        one, two = slice(0, 1), slice(1, 2)
        scenario = Scenarios(
            np.array(number[one]), np.array(sizes[one]), np.array(number[two]), np.array(sizes[two])
        )
        test = Ports.shunt(np.array(pair[:1]), np.array(pair[1:]))
        bench = Bench.of(self.solved(), test, ports)
        return bench, scenario, bench.read(np.zeros(1, np.int64), scenario)

    def ohm(self, faults: Sequence[Fault], pair: tuple[int, int]) -> float:
        """What an ohmmeter reads."""
        return float(self.read(faults, pair)[2].ohm[0])


OHMS = (0.01, 0.5, 2.0, 70.0, 2500.0, 1e6)


@st.composite
def nets(draw: st.DrawFn, *, sources: bool = False) -> Net:
    """Any net of two to seven nodes, islands and loops as they come."""
    nodes = draw(st.integers(2, 7))
    ends = draw(st.lists(pairs(nodes), min_size=1, max_size=11))
    emfs = st.sampled_from((0.0, 0.0, 5.0, 12.0)) if sources else st.just(0.0)
    return Net(nodes, tuple((a, b, draw(st.sampled_from(OHMS)), draw(emfs)) for a, b in ends))


def pairs(nodes: int) -> st.SearchStrategy[tuple[int, int]]:
    """Two different nodes."""
    return st.tuples(st.integers(0, nodes - 1), st.integers(1, nodes - 1)).map(
        lambda pair: (pair[0], (pair[0] + pair[1]) % nodes)
    )


@st.composite
def troubles(draw: st.DrawFn, net: Net, most: int = 2) -> list[Fault]:
    """No to two faults of a net, never two in one branch."""
    edges = st.integers(0, len(net.branches) - 1)
    series = st.builds(Series, edges, st.sampled_from((0.3, 40.0, 1e5, math.inf)))
    shunt = st.tuples(pairs(net.nodes), st.sampled_from((0.1, 30.0, 1e5))).map(
        lambda drawn: Shunt(*drawn[0], drawn[1])
    )
    return draw(
        st.lists(
            st.one_of(series, shunt),
            max_size=most,
            unique_by=lambda fault: fault.edge if isinstance(fault, Series) else -id(fault),
        )
    )

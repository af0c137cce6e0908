"""The same readings with 50 decimal digits, by eliminating one node after another.

Kirchhoff's current law over conductances and source currents, solved by Gauss elimination on
sparse rows; the node with the fewest neighbours goes first. Taking a node away this way is the
star-mesh transformation: every remaining pair of its neighbours gets `g_i g_j / sum(g)`. All
terms are positive, so opens and shorts next to each other cancel nothing.

Source: star-mesh transformation, A. Rosen, J. IEE 62 (1924) 916; from memory, checked in the tests
by the Y-delta case and against `dense` and ngspice.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from mpmath import mp, mpf

from reference.dense import METER_OHM, Branch, parts

DIGITS = 50


def ohm(nodes: int, branches: Iterable[Branch], a: int, b: int) -> mpf:
    """Resistance [ohm] between two nodes, all sources dead; infinite where nothing leads over."""
    branches = list(branches)
    part = parts(nodes, branches)
    with mp.workdps(DIGITS):
        if a == b:
            return mpf(0)
        if part[a] != part[b]:
            return mp.inf
        mesh = _Mesh(branches, dead=True)
        mesh.keep_only(a, b)
        return 1 / mesh.rows[a][b]


def volt(
    nodes: int, branches: Iterable[Branch], a: int, b: int, *, meter_ohm: float = METER_OHM
) -> mpf:
    """Voltage [V] that a meter of that resistance shows, plus lead on a, minus lead on b."""
    branches = list(branches)
    part = parts(nodes, branches)
    with mp.workdps(DIGITS):
        if a == b or part[a] != part[b]:
            return mpf(0)
        mesh = _Mesh([*branches, (a, b, meter_ohm, 0.0)], dead=False)
        mesh.keep_only(a, b)
        return mesh.driven[a] / mesh.rows[a][b]


class _Mesh:
    """Conductances between nodes and currents driven into them."""

    def __init__(self, branches: Iterable[Branch], *, dead: bool) -> None:
        self.rows: dict[int, dict[int, mpf]] = {}
        self.driven: dict[int, mpf] = {}
        for tail, head, ohms, emf in branches:
            if not 0 < ohms < math.inf:
                raise ValueError(f"branch {tail} to {head}: {ohms} ohm; give a resistance above 0")
            if tail == head:
                continue
            conductance = 1 / mpf(ohms)
            self.join(tail, head, conductance)
            if not dead:
                self.drive(tail, -conductance * mpf(emf))
                self.drive(head, conductance * mpf(emf))

    def join(self, one: int, other: int, conductance: mpf) -> None:
        for at, to in ((one, other), (other, one)):
            row = self.rows.setdefault(at, {})
            row[to] = row.get(to, mpf(0)) + conductance

    def drive(self, node: int, current: mpf) -> None:
        self.driven[node] = self.driven.get(node, mpf(0)) + current

    def keep_only(self, a: int, b: int) -> None:
        """Eliminate every node but two; parts that hang off neither simply vanish."""
        self.driven.setdefault(a, mpf(0))
        left = self.rows.keys() - {a, b}
        while left:
            node = min(left, key=lambda each: (len(self.rows[each]), each))
            left.discard(node)
            self.eliminate(node)

    def eliminate(self, node: int) -> None:
        spokes = list(self.rows.pop(node).items())
        total = sum((g for _, g in spokes), mpf(0))
        current = self.driven.pop(node, mpf(0))
        for n, (one, g_one) in enumerate(spokes):
            del self.rows[one][node]
            self.drive(one, current * g_one / total)
            for other, g_other in spokes[n + 1 :]:
                self.join(one, other, g_one * g_other / total)

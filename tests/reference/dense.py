"""Resistance and voltage by the plain node-voltage method: one full matrix, numpy's solver.

A branch is `(tail, head, ohm, emf)`: a resistor in series with an ideal source that lifts the
voltage from tail to head, so `V_tail - V_head = ohm * i - emf` with i counted tail to head.
Parts that hang together by no branch are found first, so "no path" is never guessed from a number.

Source of the method: Kirchhoff's current law at every node but one, Ohm's law in every branch
(any textbook of linear networks).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

Branch = tuple[int, int, float, float]
METER_OHM = 10e6


def parts(nodes: int, branches: Iterable[Branch]) -> list[int]:
    """For each node the lowest node that any chain of branches leads to."""
    neighbours: list[list[int]] = [[] for _ in range(nodes)]
    for tail, head, _, _ in branches:
        neighbours[tail].append(head)
        neighbours[head].append(tail)
    part = [-1] * nodes
    for start in range(nodes):
        if part[start] >= 0:
            continue
        part[start] = start
        waiting = [start]
        while waiting:
            for other in neighbours[waiting.pop()]:
                if part[other] < 0:
                    part[other] = start
                    waiting.append(other)
    return part


def ohm(nodes: int, branches: Sequence[Branch], a: int, b: int) -> float:
    """Resistance [ohm] between two nodes, all sources dead; infinite where nothing leads over.

    Examples
    --------
    >>> ohm(3, [(0, 1, 2.0, 0.0), (1, 2, 3.0, 0.0)], 0, 2)
    5.0
    """
    if a == b:
        return 0.0
    part = parts(nodes, branches)
    if part[a] != part[b]:
        return math.inf
    inner = [node for node in range(nodes) if part[node] == part[a] and node != b]
    matrix, _ = _equations(branches, inner)
    injected = np.zeros(len(inner))
    injected[inner.index(a)] = 1.0
    return float(np.linalg.solve(matrix, injected)[inner.index(a)])


def volt(
    nodes: int, branches: Sequence[Branch], a: int, b: int, *, meter_ohm: float = METER_OHM
) -> float:
    """Voltage [V] that a meter of that resistance shows, plus lead on a, minus lead on b.

    With no path between the leads the meter carries no current and shows 0 V.
    """
    part = parts(nodes, branches)
    if a == b or part[a] != part[b]:
        return 0.0
    inner = [node for node in range(nodes) if part[node] == part[a] and node != b]
    matrix, driven = _equations([*branches, (a, b, meter_ohm, 0.0)], inner)
    return float(np.linalg.solve(matrix, driven)[inner.index(a)])


def _equations(
    branches: Iterable[Branch], inner: Sequence[int]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Conductance matrix [S] and source currents [A] over some nodes; all others stand at 0 V.

    Raises
    ------
    ValueError
        when a branch has no positive finite resistance.
    """
    place = {node: n for n, node in enumerate(inner)}
    matrix = np.zeros((len(inner), len(inner)))
    driven = np.zeros(len(inner))
    for tail, head, ohms, emf in branches:
        if not 0 < ohms < math.inf:
            raise ValueError(f"branch {tail} to {head}: {ohms} ohm; give a resistance above 0")
        at, to = place.get(tail), place.get(head)
        if tail == head:
            continue
        for node, sign in ((at, -1.0), (to, 1.0)):
            if node is not None:
                matrix[node, node] += 1 / ohms
                driven[node] += sign * emf / ohms
        if at is not None and to is not None:
            matrix[at, to] -= 1 / ohms
            matrix[to, at] -= 1 / ohms
    return matrix, driven


class Solved:
    """One list of branches, factorised once: any pair of nodes costs a look-up.

    Each connected part stands with its lowest node at 0 V, and the inverse Z of its conductance
    matrix gives `R_ab = Z_aa + Z_bb - 2 Z_ab`. A meter across a and b is a load on the two-pole
    (Thévenin): `V = V_open * R_meter / (R_meter + R_ab)`.
    """

    def __init__(self, nodes: int, branches: Sequence[Branch]) -> None:
        self.part = parts(nodes, branches)
        inner = [node for node in range(nodes) if self.part[node] != node]
        matrix, driven = _equations(branches, inner)
        self.inverse = np.zeros((nodes, nodes))
        if inner:
            solved = np.linalg.inv(matrix)
            self.inverse[np.ix_(inner, inner)] = (solved + solved.T) / 2
        self.volts = np.zeros(nodes)
        self.volts[inner] = self.inverse[np.ix_(inner, inner)] @ driven

    def ohm(self, a: int, b: int) -> float:
        """As `dense.ohm`."""
        if self.part[a] != self.part[b]:
            return math.inf
        z = self.inverse
        return float(z[a, a] + z[b, b] - 2 * z[a, b])

    def volt(self, a: int, b: int, *, meter_ohm: float = METER_OHM) -> float:
        """As `dense.volt`."""
        if self.part[a] != self.part[b]:
            return 0.0
        share = meter_ohm / (meter_ohm + self.ohm(a, b))
        return float(self.volts[a] - self.volts[b]) * share

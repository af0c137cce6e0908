"""Two faults against the readings: where they could act together, and the best a pair could do.

A reading that only one of the two can move says of the pair what it says of that one; so the sum
of such terms, with the best possible term where both act, bounds a pair's likelihood.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.model import Model
from loomwright.diagnosis.taken import Taken

Mask = NDArray[np.bool_]
_SLACK = 2.0  # shared causes can help a pair a little more than the bound's lone variances
_STRANGE = 4.0  # nats; an over-range reading where a value belongs scores 5.8


@attrs.define(slots=False, eq=False)
class Pairing:
    """Seen faults against faults that could act with them, reading by reading."""

    model: Model
    taken: Sequence[Taken]
    first: Ints
    second: Ints

    @cached_property
    def acting(self) -> list[Mask]:
        """Per reading whether the two could act on it together, (first, second)."""
        return [_acting(self.model, each, self.first, self.second) for each in self.taken]

    @cached_property
    def together(self) -> Mask:
        joined: Mask = np.logical_or.reduce(self.acting)
        return joined

    def bounds(self, sound: Floats, best: Floats) -> Floats:
        """Upper bound on the log-likelihood of each pair, shape (first, second).

        Parameters
        ----------
        sound : log-likelihood of the sound loom by each reading, shape (readings,)
        best : what the best cell of each fault adds to it, shape (readings, faults)
        """
        seen = np.stack([each.seen for each in self.taken])
        one, two = seen[:, self.first], seen[:, self.second]
        gain1 = np.where(one, best[:, self.first], 0.0)
        gain2 = np.where(two, best[:, self.second], 0.0)
        bound: Floats = np.full((len(self.first), len(self.second)), sound.sum() + _SLACK)
        for r, (each, acting) in enumerate(zip(self.taken, self.acting, strict=True)):
            # Moved by one of the two alone: its best cell for this reading.
            gain = np.stack([gain1[r], ~one[r]]).T @ np.stack([~two[r], gain2[r]])
            # By both: the best of all.
            np.copyto(gain, max(_peak(each) - float(sound[r]), 0.0), where=acting)
            bound += gain
        return bound


def within_reach(model: Model, taken: Sequence[Taken], first: Ints) -> Mask:
    """Faults both of whose ends lie where some reading or a seen shunt reaches, (faults,)."""
    found = np.zeros(len(model.faults), bool)
    shunts = first[~model.ports.is_series[first]]
    for each in taken:
        end1, end2 = _ends(model, each)
        island, tests = each.predictor.solved.island, each.predictor.bench.tests
        reach = np.concatenate([island[tests.a], island[tests.b], end1[shunts], end2[shunts]])
        found |= np.isin(end1, reach) & np.isin(end2, reach)
    return found


def _ends(model: Model, taken: Taken) -> tuple[Ints, Ints]:
    """Islands at both ends of every fault's port; both those of its edge for a series fault."""
    solved, ports = taken.predictor.solved, model.ports
    inside = solved.edge_island[np.maximum(ports.edge, 0)]
    series = ports.is_series
    return (
        np.where(series, inside, solved.island[ports.a]),
        np.where(series, inside, solved.island[ports.b]),
    )


def _acting(model: Model, taken: Taken, first: Ints, second: Ints) -> Mask:
    """Whether two faults could act on one reading together, shape (first, second)."""
    solved, tests = taken.predictor.solved, taken.predictor.bench.tests
    end1, end2 = _ends(model, taken)
    series = model.ports.is_series
    red, black = solved.island[tests.a[0]], solved.island[tests.b[0]]
    here = [(end == red) | (end == black) for end in (end1, end2)]
    reach1, reach2 = (np.where(series[first], -2, end[first])[:, None] for end in (end1, end2))
    near = [
        at[second][None, :] | (end[second] == reach1) | (end[second] == reach2)
        for at, end in zip(here, (end1, end2), strict=True)
    ]
    touching = (here[0][first] | here[1][first])[:, None]
    found = near[0] & near[1] & touching & (end1[second] >= 0)[None, :]
    # Two series faults answer each other only inside a loop.
    looped = solved.series_class[np.maximum(model.ports.edge, 0)] >= 0
    separate = series[first][:, None] & series[second][None, :]
    separate &= ~(looped[first][:, None] & looped[second][None, :])
    both_seen = taken.seen[first][:, None] & taken.seen[second][None, :]
    acting: Mask = np.where(separate, both_seen, found)
    return acting


def best_gains(model: Model, terms: Floats) -> Floats:
    """Per reading and fault the largest gain over the sound loom in any cell.

    Parameters
    ----------
    terms : log-likelihood of each single hypothesis by each reading, shape (singles, readings)
    """
    excess = terms - terms[0]
    order = np.argsort(model.singles.fault1[1:], kind="stable") + 1
    starts = np.searchsorted(model.singles.fault1[order], np.arange(len(model.faults)))
    return np.maximum.reduceat(excess[order], starts, axis=0).T


def strange(taken: Taken) -> bool:
    """Whether a reading is far from what the sound loom gives."""
    return _peak(taken) - float(taken.alone[0]) > _STRANGE


def _peak(taken: Taken) -> float:
    """The best any explanation can do for one reading."""
    if taken.observed.over:
        return 0.0
    return float(-0.5 * np.log(2 * np.pi * taken.typical * 0.25))


def log_pair_prior(model: Model, first: Ints, second: Ints) -> Floats:
    totals, w = model.weights.totals, model.weight
    kappa = 2.0 * totals.two / (1.0 - (w**2).sum())
    return np.asarray(np.log(kappa * w[first][:, None] * w[second][None, :]))


def same_edge(model: Model, first: Ints, second: Ints) -> Mask:
    """Two faults of one edge, or of one node pair, are one trouble, not two."""
    edge = model.ports.edge
    same_edge = (edge[first][:, None] == edge[second]) & (edge[second] >= 0)[None, :]
    low, high = (end(model.ports.a, model.ports.b) for end in (np.minimum, np.maximum))
    same_pair = (low[first][:, None] == low[second]) & (high[first][:, None] == high[second])
    shunts = (edge[first] < 0)[:, None] & (edge[second] < 0)[None, :]
    found: Mask = same_edge | (same_pair & shunts)
    return found

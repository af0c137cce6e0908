"""Which pairs of faults the readings leave a chance, and their cells of magnitude.

All pairs are many (tens of thousands for a small loom), but a reading that only one of the two can
move says of the pair what it says of that one. So the product of such terms, with the best
possible term where both act, bounds a pair's likelihood; the few pairs the bound leaves in reach
of the best explanation are solved in full.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.likelihood import Slips, alone
from loomwright.diagnosis.model import NONE, Hypotheses, Model
from loomwright.diagnosis.prediction import Prediction

if TYPE_CHECKING:
    from loomwright.diagnosis.posterior import Taken

Mask = NDArray[np.bool_]
REACH = 12.0  # nats below the best explanation at which a pair is let go
MOST_PAIRS = 300
MOST_CELLS = 900
_CELLS_EACH = 8
_SLACK = 2.0  # shared causes can help a pair a little more than the bound's lone variances
_SEEN = 0.03
_STRANGE = 6.0  # nats


@attrs.frozen(eq=False)
class Screened:
    """Pairs worth solving.

    Attributes
    ----------
    hypotheses : their cells, log-prior included
    companion : per seen fault the hidden ones that the readings could show beside it; what is
        False here is summed in closed form, shape (faults, faults)
    log_discarded : log of the bound on all that was let go
    """

    hypotheses: Hypotheses
    companion: Mask
    log_discarded: float


def screen(
    model: Model, taken: Sequence[Taken], *, seen: Mask, slips: Slips, best: float
) -> Screened:
    """Bound all pairs and lay out cells for those within reach of the best explanation.

    Parameters
    ----------
    model : the loom and its faults
    taken : the readings
    seen : faults that some reading shows on their own, shape (faults,)
    slips : how often a reading is wrong
    best : log-weight of the best explanation so far
    """
    faults = len(model.faults)
    companion = np.zeros((faults, faults), bool)
    seen_numbers = np.flatnonzero(seen)
    if not len(seen_numbers) or not any(_strange(each) for each in taken):
        # Readings that all fit a sound loom cannot call for two faults at once.
        return Screened(_no_hypotheses(), companion, -np.inf)
    acting = [_acting_together(model, each, seen_numbers) for each in taken]
    terms = np.column_stack([each.alone for each in taken])
    bound = _bounds(model, taken, acting=acting, terms=terms, seen_numbers=seen_numbers)
    bound += _log_pair_prior(model, seen_numbers)
    together = np.logical_or.reduce(acting)
    hidden = ~seen
    eligible = np.where(hidden[None, :], together, seen[None, :])
    eligible &= ~(seen[None, :] & (np.arange(faults)[None, :] <= seen_numbers[:, None]))
    eligible &= ~_same_edge(model, seen_numbers) & ~model.is_swap[None, :]
    eligible &= ~model.is_swap[seen_numbers][:, None]
    companion[seen_numbers] = together & hidden[None, :]
    chance = eligible & (bound > best - REACH)
    lost = bound[eligible & ~chance]
    one, two = _strongest(np.where(chance, bound, -np.inf), MOST_PAIRS)
    first = seen_numbers[one]
    shown = _shown(model, taken, first=first, second=two, terms=terms, hidden=hidden)
    companion[first[~shown], two[~shown]] = False
    cells = _cells(model, taken, first=first[shown], second=two[shown], terms=terms)
    log_lost = float(np.logaddexp.reduce(lost)) if len(lost) else -np.inf
    return Screened(_heavy(taken, cells, slips, best), companion, log_lost)


def _typical_variance(predicted: Prediction) -> float:
    """Variance of a reading in range: the sound loom's where it is, else the usual one."""
    row = predicted.rows(~predicted.over)
    if not predicted.over[0]:
        return float(predicted.variance[0])
    return float(np.median(row.variance)) if len(row.z) else 1e-3


def _acting_together(model: Model, taken: Taken, seen_numbers: Ints) -> Mask:
    """Whether a seen fault and any other could act on one reading together, (seen, faults)."""
    solved, ports = taken.predictor.solved, model.ports
    tests = taken.predictor.bench.tests
    series = ports.is_series
    edge_island = solved.edge_island[np.maximum(ports.edge, 0)]
    end1 = np.where(series, edge_island, solved.island[ports.a])
    end2 = np.where(series, edge_island, solved.island[ports.b])
    here = np.isin(np.stack([end1, end2]), [solved.island[tests.a[0]], solved.island[tests.b[0]]])
    s = seen_numbers
    reach1 = np.where(series[s], -2, end1[s])[:, None]
    reach2 = np.where(series[s], -2, end2[s])[:, None]
    near1 = here[0][None, :] | (end1[None, :] == reach1) | (end1[None, :] == reach2)
    near2 = here[1][None, :] | (end2[None, :] == reach1) | (end2[None, :] == reach2)
    touching = (here[0][s] | here[1][s])[:, None]
    found = near1 & near2 & touching & (end1 >= 0)[None, :]
    # Two series faults answer each other only inside a loop.
    looped = solved.series_class[np.maximum(ports.edge, 0)] >= 0
    both_series = series[s][:, None] & series[None, :]
    separate = both_series & ~(looped[s][:, None] & looped[None, :])
    return np.where(separate, taken.seen[s][:, None] & taken.seen[None, :], found)


def _bounds(
    model: Model, taken: Sequence[Taken], *, acting: list[Mask], terms: Floats, seen_numbers: Ints
) -> Floats:
    """Upper bound on the log-likelihood of each pair, shape (seen, faults)."""
    faults = len(model.faults)
    alone_seen = np.stack([each.seen for each in taken])  # (readings, faults)
    sound = terms[0]
    peak = np.array([_peak(each) for each in taken])
    gain = np.maximum(peak - sound, 0.0)
    bound = np.full((len(seen_numbers), faults), sound.sum())
    for r in range(len(taken)):
        bound += acting[r] * gain[r]
    # Readings that only one of the two moves, each at that one's best cell for it.
    best = _best_terms(model, terms - sound[None, :])  # (readings, faults)
    for r in range(len(taken)):
        lone = alone_seen[r]
        first, second = lone[seen_numbers][:, None], lone[None, :]
        free = ~acting[r]
        bound += (free & first & ~second) * best[r, seen_numbers][:, None]
        bound += (free & second & ~first) * best[r][None, :]
    return bound + _SLACK


def _best_terms(model: Model, excess: Floats) -> Floats:
    """Per reading and fault the largest gain over the sound loom in any cell."""
    order = np.argsort(model.singles.fault1[1:], kind="stable") + 1
    starts = np.searchsorted(model.singles.fault1[order], np.arange(len(model.faults)))
    return np.maximum.reduceat(excess[order], starts, axis=0).T


def _strange(taken: Taken) -> bool:
    """Whether a reading is far from what the sound loom gives."""
    return _peak(taken) - float(taken.alone[0]) > _STRANGE


def _peak(taken: Taken) -> float:
    """The best any explanation can do for one reading."""
    if taken.observed.over:
        return 0.0
    return float(-0.5 * np.log(2 * np.pi * _typical_variance(taken.predicted) * 0.25))


def _log_pair_prior(model: Model, seen_numbers: Ints) -> Floats:
    totals, w = model.weights.totals, model.weight
    kappa = 2.0 * totals.two / (1.0 - (w**2).sum())
    return np.asarray(np.log(kappa * w[seen_numbers][:, None] * w[None, :]))


def _same_edge(model: Model, seen_numbers: Ints) -> Mask:
    """Two faults of one edge, or of one node pair, are one trouble, not two."""
    ports = model.ports
    edge = ports.edge
    same_edge = (edge[seen_numbers][:, None] == edge[None, :]) & (edge >= 0)[None, :]
    low, high = np.minimum(ports.a, ports.b), np.maximum(ports.a, ports.b)
    same_pair = (low[seen_numbers][:, None] == low) & (high[seen_numbers][:, None] == high)
    shunt = edge < 0
    found: Mask = same_edge | (same_pair & shunt[seen_numbers][:, None] & shunt[None, :])
    return found


def _strongest(bound: Floats, most: int) -> tuple[Ints, Ints]:
    flat = bound.ravel()
    count = int(min(most, np.isfinite(flat).sum()))
    chosen = np.argpartition(-flat, count - 1)[:count] if count else np.zeros(0, np.int64)
    return np.unravel_index(chosen, bound.shape)  # type: ignore[return-value]


def _shown(
    model: Model, taken: Sequence[Taken], *, first: Ints, second: Ints, terms: Floats, hidden: Mask
) -> Mask:
    """Whether a hidden second fault moves any reading beside the first at its best cell."""
    shown = ~hidden[second]
    rows = np.flatnonzero(~shown)
    if not len(rows):
        return shown
    best_cell = _best_cells(model, terms)
    singles = model.singles
    cell = best_cell[first[rows]]
    base = singles[cell]
    for end in (0, -1):
        size = np.array([model.faults[number].magnitudes()[end] for number in second[rows]])
        pair = _paired(model, base, second[rows], size, np.zeros(len(rows)))
        for each in taken:
            z1, over1 = each.predictor.light(base)
            z2, over2 = each.predictor.light(pair)
            sigma = np.sqrt(_typical_variance(each.predicted))
            moved = (over1 != over2) | (~over1 & ~over2 & (np.abs(z2 - z1) > _SEEN * sigma))
            shown[rows] |= moved
    return shown


def _best_cells(model: Model, terms: Floats) -> Ints:
    """Number of the single hypothesis that fits best for each fault."""
    total = terms.sum(axis=1)
    found = np.zeros(len(model.faults), np.int64)
    order = np.argsort(total, kind="stable")
    found[model.singles.fault1[order[model.singles.fault1[order] != NONE]]] = order[
        model.singles.fault1[order] != NONE
    ]
    return found


def _cells(
    model: Model, taken: Sequence[Taken], *, first: Ints, second: Ints, terms: Floats
) -> Hypotheses:
    """Cells of both magnitudes for each pair, those left out that a lone reading forbids."""
    singles = model.singles
    by_fault: dict[int, Ints] = {}
    for number in set(first.tolist()) | set(second.tolist()):
        by_fault[number] = np.flatnonzero(singles.fault1 == number)
    alone_seen = np.stack([each.seen for each in taken]) if taken else np.zeros((0, 0), bool)
    log_prior = _log_pair_prior(model, np.arange(len(model.faults)))
    parts = []
    for one, two in zip(first.tolist(), second.tolist(), strict=True):
        only_one = alone_seen[:, one] & ~alone_seen[:, two]
        only_two = alone_seen[:, two] & ~alone_seen[:, one]
        a, wide_a = _thinned(by_fault[one], terms[:, only_one])
        b, wide_b = _thinned(by_fault[two], terms[:, only_two])
        grid_a, grid_b = np.repeat(a, len(b)), np.tile(b, len(a))
        base = attrs.evolve(singles[grid_a], width1=singles.width1[grid_a] * wide_a)
        pair = _paired(
            model, base, singles.fault1[grid_b], singles.magnitude1[grid_b],
            singles.width1[grid_b] * wide_b,
        )  # fmt: skip
        share = len(by_fault[one]) * len(by_fault[two]) / (wide_a * wide_b)
        parts.append(
            attrs.evolve(pair, log_prior=np.full(len(pair), log_prior[one, two] - np.log(share)))
        )
    return Hypotheses.joined(parts) if parts else _no_hypotheses()


def _thinned(cells: Ints, terms: Floats) -> tuple[Ints, float]:
    """Cells that the lone readings allow; every second or third of them, widened, if many."""
    if terms.shape[1]:
        fit = terms[cells].sum(axis=1)
        kept = cells[fit > fit.max() - 8.0]
    else:
        kept = cells
    stride = -(-len(kept) // _CELLS_EACH)
    return kept[stride // 2 :: stride], float(stride)


def _paired(
    model: Model, base: Hypotheses, second: Ints, magnitude: Floats, width: Floats
) -> Hypotheses:
    """Add a second fault; a series fault is put before a shunt."""
    series = model.ports.is_series
    turn = ~series[base.fault1] & series[second]

    def pick(one: np.ndarray, two: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.where(turn, two, one), np.where(turn, one, two)

    fault1, fault2 = pick(base.fault1, second)
    magnitude1, magnitude2 = pick(base.magnitude1, magnitude)
    width1, width2 = pick(base.width1, width)
    return Hypotheses(fault1, magnitude1, width1, fault2, magnitude2, width2, base.log_prior)


def _heavy(taken: Sequence[Taken], cells: Hypotheses, slips: Slips, best: float) -> Hypotheses:
    """The cells that come near the best explanation when each reading is judged by itself."""
    if not len(cells):
        return cells
    total = cells.log_prior.copy()
    for each in taken:
        z, over = each.predictor.light(cells)
        variance = _typical_variance(each.predicted) * 2.0
        quick = Prediction(
            z, over, np.full(len(z), variance), np.zeros((len(z), 0)), (),
            np.zeros(len(z)), np.zeros(len(z)),
        )  # fmt: skip
        total += alone(each.observed, quick, slips)
    near = np.flatnonzero(total > max(best, total.max()) - REACH)
    return cells[near[np.argsort(-total[near], kind="stable")][:MOST_CELLS]]


def _no_hypotheses() -> Hypotheses:
    ints, floats = np.zeros(0, np.int64), np.zeros(0)
    return Hypotheses(ints, floats, floats, ints, floats, floats, floats)

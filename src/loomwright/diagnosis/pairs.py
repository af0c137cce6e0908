"""Which pairs of faults the readings leave a chance, and their cells of magnitude.

All pairs are many (tens of thousands for a small loom), but a reading that only one of the two can
move says of the pair what it says of that one. So the product of such terms, with the best
possible term where both act, bounds a pair's likelihood; the few pairs the bound leaves in reach
of the best explanation are solved in full.
"""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import numpy as np

from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.likelihood import Slips, alone
from loomwright.diagnosis.model import NONE, Hypotheses, Model
from loomwright.diagnosis.pairing import (
    Mask,
    Pairing,
    log_pair_prior,
    same_edge,
    strange,
    typical_variance,
    within_reach,
)
from loomwright.diagnosis.prediction import Prediction
from loomwright.diagnosis.taken import SEEN, Taken

REACH = 12.0  # nats below the best explanation at which a pair is let go
MOST_PAIRS = 300
MOST_CELLS = 900
_CELLS_EACH = 8
_LEADERS = 8
_AT_ONCE, _MOST_AT_ONCE = 10_000, 1_000_000  # cells; pairs
_TRIED = (0.1, 0.37, 0.63, 0.9)  # places in the range of a second magnitude


@attrs.frozen(eq=False)
class Companion:
    """Hidden faults that the readings could show beside a seen one.

    Attributes
    ----------
    faults : number of all faults
    first, second : numbers of the seen and of the hidden faults
    beside : whether they act together, shape (first, second)
    """

    faults: int
    first: Ints
    second: Ints
    beside: Mask

    def weight_beside(self, weight: Floats) -> Floats:
        """Per seen fault the weight of its companions, shape (faults,)."""
        found = np.zeros(self.faults)
        found[self.first] = self.beside @ weight[self.second]
        return found

    def mass_beside(self, mass: Floats) -> Floats:
        """Per hidden fault the mass of the seen ones it is a companion of, shape (faults,)."""
        found = np.zeros(self.faults)
        found[self.second] = mass[self.first] @ self.beside
        return found


@attrs.frozen(eq=False)
class Screened:
    """Pairs worth solving.

    Attributes
    ----------
    hypotheses : their cells, log-prior included
    companion : pairs with a hidden second fault that are not summed in closed form
    log_discarded : log of the bound on all that was let go
    """

    hypotheses: Hypotheses
    companion: Companion
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
    first = np.flatnonzero(seen & ~model.is_swap)
    if not len(first) or not any(strange(each) for each in taken):
        # Readings that all fit a sound loom cannot call for two faults at once.
        none = Companion(len(seen), first[:0], first[:0], np.zeros((0, 0), bool))
        return Screened(_no_hypotheses(), none, -np.inf)
    second = np.flatnonzero((seen | within_reach(model, taken, first)) & ~model.is_swap)
    pairing = Pairing(model, taken, first, second)
    terms = np.column_stack([each.alone for each in taken])
    height = max(1, _MOST_AT_ONCE // max(len(second), 1))
    blocks = [
        _bounded(model, taken, first[start : start + height], second,
                 seen=seen, terms=terms, least=best - REACH)
        for start in range(0, len(first), height)
    ]  # fmt: skip
    chance = np.concatenate([block.chance for block in blocks])
    together = np.concatenate([block.together for block in blocks])
    rows = np.concatenate([n * height + block.rows for n, block in enumerate(blocks)])
    columns = np.concatenate([block.columns for block in blocks])
    bound = np.concatenate([block.bound for block in blocks])
    kept = _largest(bound, MOST_PAIRS)
    rows, columns = rows[kept], columns[kept]
    if len(rows) == MOST_PAIRS:
        # Too many in reach of the bound: those beside the best single faults by their own merit.
        more = _beside_the_best(pairing, terms, chance, slips)
        joined = np.unique(np.stack([[*rows, *more[0]], [*columns, *more[1]]]), axis=1)
        rows, columns = joined[0], joined[1]
    one, two = first[rows], second[columns]
    shown = _shown(model, taken, first=one, second=two, terms=terms, seen=seen)
    beside = together & ~seen[second][None, :]
    beside[rows[~shown], columns[~shown]] = False
    cells = _cells(model, taken, first=one[shown], second=two[shown], terms=terms)
    log_lost = float(np.logaddexp.reduce([block.log_lost for block in blocks]))
    companion = Companion(len(seen), first, second, beside)
    return Screened(_heavy(taken, cells, slips, best), companion, log_lost)


@attrs.frozen(eq=False)
class _Bounded:
    """Some of the seen faults against all others.

    Attributes
    ----------
    chance : pairs that the bound leaves in reach, shape (first, second)
    together : whether the two act together, shape (first, second)
    rows, columns, bound : the pairs in reach with the largest bounds, and these
    log_lost : log of the sum of all other bounds
    """

    chance: Mask
    together: Mask
    rows: Ints
    columns: Ints
    bound: Floats
    log_lost: float


def _bounded(
    model: Model,
    taken: Sequence[Taken],
    first: Ints,
    second: Ints,
    *,
    seen: Mask,
    terms: Floats,
    least: float,
) -> _Bounded:
    """Bound some pairs; in blocks, since a large loom has ten million of them."""
    pairing = Pairing(model, taken, first, second)
    bound = pairing.bounds(terms) + log_pair_prior(model, first, second)
    hidden = ~seen[second]
    eligible = np.where(hidden[None, :], pairing.together, second[None, :] > first[:, None])
    eligible &= ~same_edge(model, first, second)
    chance = eligible & (bound > least)
    lost = bound[eligible & ~chance]
    log_lost = float(np.logaddexp.reduce(lost)) if len(lost) else -np.inf
    rows, columns = np.nonzero(chance)
    kept = _largest(bound[rows, columns], MOST_PAIRS)
    rows, columns = rows[kept], columns[kept]
    return _Bounded(chance, pairing.together, rows, columns, bound[rows, columns], log_lost)


def _largest(values: Floats, most: int) -> Ints:
    """Places of the largest values, at most so many."""
    if len(values) <= most:
        return np.arange(len(values))
    return np.asarray(np.argpartition(-values, most - 1)[:most])


def _beside_the_best(
    pairing: Pairing, terms: Floats, chance: Mask, slips: Slips
) -> tuple[Ints, Ints]:
    """Pairs of a single fault that fits well, at its best cell, with any other, by what they fit.

    Returns
    -------
    rows and columns of `chance`
    """
    model, singles = pairing.model, pairing.model.singles
    best_cell = _best_cells(model, terms)
    merit = terms.sum(axis=1)[best_cell[pairing.first]]
    leaders = np.argsort(-merit, kind="stable")[:_LEADERS]
    wanted = np.zeros_like(chance)
    wanted[leaders] = True
    seen_twice = np.isin(pairing.second, pairing.first[leaders])
    wanted[:, seen_twice] = True
    rows, columns = np.nonzero(wanted & chance)
    leads = np.isin(rows, leaders)
    lead = np.where(leads, pairing.first[rows], pairing.second[columns])
    other = np.where(leads, pairing.second[columns], pairing.first[rows])
    size = np.concatenate([singles.magnitude1[model.cell_at(other, at)] for at in _TRIED])
    lead, other = np.tile(lead, len(_TRIED)), np.tile(other, len(_TRIED))
    width = singles.width1[best_cell[other]] * 4.0
    pair = _paired(model, singles[best_cell[lead]], other, size, width)
    score = _quick(pairing.taken, pair, slips).reshape(len(_TRIED), -1).max(axis=0)
    chosen = np.argsort(-score, kind="stable")[:MOST_PAIRS]
    return rows[chosen], columns[chosen]


def _shown(
    model: Model, taken: Sequence[Taken], *, first: Ints, second: Ints, terms: Floats, seen: Mask
) -> Mask:
    """Whether a hidden second fault moves any reading beside the first at its best cell."""
    shown = seen[second].copy()
    rows = np.flatnonzero(~shown)
    if not len(rows):
        return shown
    best_cell = _best_cells(model, terms)
    singles = model.singles
    cell = best_cell[first[rows]]
    base = singles[cell]
    for end in (0.0, 1.0):
        size = singles.magnitude1[model.cell_at(second[rows], end)]
        pair = _paired(model, base, second[rows], size, np.zeros(len(rows)))
        for each in taken:
            z1, over1 = each.predictor.light(base)
            z2, over2 = each.predictor.light(pair)
            sigma = np.sqrt(typical_variance(each.predicted))
            moved = (over1 != over2) | (~over1 & ~over2 & (np.abs(z2 - z1) > SEEN * sigma))
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
    singles, w = model.singles, model.weight
    alone_seen = np.stack([each.seen for each in taken])
    known: dict[tuple[int, bytes], tuple[Ints, float]] = {}

    def cells(fault: int, lone: Mask) -> tuple[Ints, float]:
        key = (fault, lone.tobytes())
        if key not in known:
            start = model.first_cell[fault]
            own = np.arange(start, start + model.cell_count[fault])
            known[key] = _thinned(own, terms[:, lone])
        return known[key]

    grids_a, grids_b, wide, share = [], [], [], []
    for one, two in zip(first.tolist(), second.tolist(), strict=True):
        a, wide_a = cells(one, alone_seen[:, one] & ~alone_seen[:, two])
        b, wide_b = cells(two, alone_seen[:, two] & ~alone_seen[:, one])
        grids_a.append(np.repeat(a, len(b)))
        grids_b.append(np.tile(b, len(a)))
        wide.append((wide_a, wide_b))
        share.append(model.cell_count[one] * model.cell_count[two] / (wide_a * wide_b))
    if not grids_a:
        return _no_hypotheses()
    counts = np.array([len(grid) for grid in grids_a])
    of_a, of_b = np.concatenate(grids_a), np.concatenate(grids_b)
    wide_a, wide_b = np.repeat(np.array(wide), counts, axis=0).T
    kappa = 2.0 * model.weights.totals.two / (1.0 - (w**2).sum())
    log_prior = np.repeat(np.log(kappa * w[first] * w[second] / np.array(share)), counts)
    base = attrs.evolve(singles[of_a], width1=singles.width1[of_a] * wide_a, log_prior=log_prior)
    return _paired(
        model, base, singles.fault1[of_b], singles.magnitude1[of_b],
        singles.width1[of_b] * wide_b,
    )  # fmt: skip


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
    total = _quick(taken, cells, slips)
    near = np.flatnonzero(total > max(best, total.max()) - REACH)
    return cells[near[np.argsort(-total[near], kind="stable")][:MOST_CELLS]]


def _quick(taken: Sequence[Taken], cells: Hypotheses, slips: Slips) -> Floats:
    """Log of prior times likelihood with each reading judged by itself, shape (cells,)."""
    if len(cells) > _AT_ONCE:  # a large loom has a hundred thousand
        starts = range(0, len(cells), _AT_ONCE)
        parts = [_quick(taken, cells[at : at + _AT_ONCE], slips) for at in starts]
        return np.concatenate(parts)
    total = cells.log_prior.copy()
    half = 0.5 * np.maximum(cells.width1, cells.width2)
    none = np.zeros(len(cells))
    for each in taken:
        z, over = each.predictor.light(cells)
        # z moves by at most 1 - exp(-change) when a magnitude moves by one in its logarithm.
        change = np.abs(z - each.predicted.z[0])
        variance = typical_variance(each.predicted) * 2.0 + (half * -np.expm1(-change)) ** 2
        quick = Prediction(z, over, variance, np.zeros((len(z), 0), np.float32), (), none, none)
        total += alone(each.observed, quick, slips)
    return total


def _no_hypotheses() -> Hypotheses:
    ints, floats = np.zeros(0, np.int64), np.zeros(0)
    return Hypotheses(ints, floats, floats, ints, floats, floats, floats)

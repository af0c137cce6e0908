"""Which pairs of faults the readings leave a chance, and their cells of magnitude.

All pairs are many (tens of thousands for a small loom), but a reading that only one of the two can
move says of the pair what it says of that one. So the product of such terms, with the best
possible term where both act, bounds a pair's likelihood; the few pairs the bound leaves in reach
of the best explanation are solved in full.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs
import numpy as np

from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.likelihood import Slips, alone
from loomwright.diagnosis.model import NONE, Hypotheses, Model
from loomwright.diagnosis.pairing import (
    Mask,
    Pairing,
    best_gains,
    log_pair_prior,
    same_edge,
    strange,
    within_reach,
)
from loomwright.diagnosis.prediction import Prediction
from loomwright.diagnosis.taken import SEEN, Taken

REACH = 12.0  # nats below the best explanation at which a pair is let go
MOST_PAIRS = 300
MOST_CELLS = 900
_CELLS_EACH = 8
_LEADERS = 8
_AT_ONCE, _ROW_PAIRS, _BLOCK_PAIRS = 10_000, 250_000, 1_000_000  # cells; pairs; pairs
_TRIED = (0.1, 0.37, 0.63, 0.9)  # places in the range of a second magnitude


@attrs.frozen(eq=False)
class Companion:
    """Hidden faults that the readings could show beside a seen one.

    Its table is multiplied in parts: a product turns it into numbers of eight bytes.

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
        for part in _slices(len(self.first), len(self.second), _ROW_PAIRS):
            found[self.first[part]] = self.beside[part] @ weight[self.second]
        return found

    def mass_beside(self, mass: Floats) -> Floats:
        """Per hidden fault the mass of the seen ones it is a companion of, shape (faults,)."""
        found = np.zeros(self.faults)
        for part in _slices(len(self.first), len(self.second), _ROW_PAIRS):
            found[self.second] += mass[self.first[part]] @ self.beside[part]
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
    terms = np.column_stack([each.alone for each in taken])
    pairs = _Pairs(model, taken, first, second, seen=seen, terms=terms)
    blocks = [
        pairs.bounded(block, best - REACH).largest()
        for block in _slices(len(first), len(second), _BLOCK_PAIRS)
    ]
    found = _Bounded.joined(blocks).largest()
    rows, columns = found.rows, found.columns
    if len(rows) == MOST_PAIRS:
        # Too many in reach of the bound: those beside the best single faults by their own merit.
        more = pairs.beside_the_best(found, slips)
        joined = np.unique(np.stack([[*rows, *more[0]], [*columns, *more[1]]]), axis=1)
        rows, columns = joined[0], joined[1]
    one, two = first[rows], second[columns]
    shown = _shown(model, taken, first=one, second=two, terms=terms, seen=seen)
    pairs.part(rows[~shown], columns[~shown])
    cells = _cells(model, taken, first=one[shown], second=two[shown], terms=terms)
    companion = Companion(len(seen), first, second[pairs.hidden], pairs.beside)
    return Screened(_heavy(taken, cells, slips, best), companion, found.log_lost)


@attrs.frozen(eq=False)
class _Bounded:
    """What is kept of some pairs, of which there may be ten million.

    Attributes
    ----------
    rows, columns, bound : pairs in reach of the best explanation, and their bounds
    led_rows, led_columns : those of the pairs in reach that have a leader
    log_lost : log of the sum of all other bounds
    """

    rows: Ints
    columns: Ints
    bound: Floats
    led_rows: Ints
    led_columns: Ints
    log_lost: float

    @classmethod
    def joined(cls, parts: Sequence[_Bounded]) -> _Bounded:
        """Several end to end."""
        return cls(
            rows=np.concatenate([part.rows for part in parts]),
            columns=np.concatenate([part.columns for part in parts]),
            bound=np.concatenate([part.bound for part in parts]),
            led_rows=np.concatenate([part.led_rows for part in parts]),
            led_columns=np.concatenate([part.led_columns for part in parts]),
            log_lost=float(np.logaddexp.reduce([part.log_lost for part in parts])),
        )

    def largest(self) -> _Bounded:
        """Only the pairs with the largest bounds."""
        if len(self.bound) <= MOST_PAIRS:
            return self
        kept = np.argpartition(-self.bound, MOST_PAIRS - 1)[:MOST_PAIRS]
        return attrs.evolve(
            self, rows=self.rows[kept], columns=self.columns[kept], bound=self.bound[kept]
        )


class _Pairs:
    """Seen faults against others, bounded some rows at a time.

    Parameters
    ----------
    first, second : numbers of the seen faults and of those that could act with them
    terms : log-likelihood of each single hypothesis by each reading, shape (singles, readings)

    Attributes
    ----------
    hidden : places in `second` of the faults that no reading shows on their own
    beside : whether these act together with a seen one, shape (first, hidden); false until bounded
    """

    def __init__(
        self,
        model: Model,
        taken: Sequence[Taken],
        first: Ints,
        second: Ints,
        *,
        seen: Mask,
        terms: Floats,
    ) -> None:
        self.model, self.taken, self.first, self.second = model, taken, first, second
        self._hides = ~seen[second]
        self.hidden = np.flatnonzero(self._hides)
        self.beside = np.zeros((len(first), len(self.hidden)), bool)
        self._sound, self._gains = terms[0], best_gains(model, terms)
        self._best_cell = _best_cells(model, terms)
        # Single faults that fit well: pairs with one of them are tried by their own merit.
        merit = terms.sum(axis=1)[self._best_cell[first]]
        leaders = np.argsort(-merit, kind="stable")[:_LEADERS]
        self._leads = np.isin(np.arange(len(first)), leaders)
        self._leads_too = np.isin(second, first[leaders])

    def bounded(self, block: slice, least: float) -> _Bounded:
        """Bound the pairs of some first faults; those below the least are let go."""
        height = len(self.first[block])
        return _Bounded.joined([
            self._rows(slice(block.start + part.start, block.start + part.stop), least)
            for part in _slices(height, len(self.second), _ROW_PAIRS)
        ])  # fmt: skip

    def _rows(self, part: slice, least: float) -> _Bounded:
        model, first, second = self.model, self.first[part], self.second
        pairing = Pairing(model, self.taken, first, second)
        self.beside[part] = pairing.together[:, self.hidden]
        bound = pairing.bounds(self._sound, self._gains)
        bound += log_pair_prior(model, first, second)
        chance = np.where(self._hides, pairing.together, second > first[:, None])
        chance &= ~same_edge(model, first, second)
        far = chance & (bound <= least)
        lost = bound[far]
        chance &= ~far
        rows, columns = np.nonzero(chance)
        led = np.nonzero(chance & (self._leads[part, None] | self._leads_too))
        return _Bounded(
            part.start + rows, columns, bound[rows, columns], part.start + led[0], led[1],
            float(np.logaddexp.reduce(lost)) if len(lost) else -np.inf,
        )  # fmt: skip

    def part(self, rows: Ints, columns: Ints) -> None:
        """Let it be known that these do not act together after all."""
        place = np.searchsorted(self.hidden, columns)
        self.beside[rows, place] = False

    def beside_the_best(self, found: _Bounded, slips: Slips) -> tuple[Ints, Ints]:
        """Pairs of a leader at its best cell with any other fault, by what they fit.

        Returns
        -------
        rows and columns of the pairs
        """
        model, singles = self.model, self.model.singles
        rows, columns = found.led_rows, found.led_columns
        leads = self._leads[rows]
        lead = np.where(leads, self.first[rows], self.second[columns])
        other = np.where(leads, self.second[columns], self.first[rows])
        size = np.concatenate([singles.magnitude1[model.cell_at(other, at)] for at in _TRIED])
        lead, other = np.tile(lead, len(_TRIED)), np.tile(other, len(_TRIED))
        width = singles.width1[self._best_cell[other]] * 4.0
        pair = _paired(model, singles[self._best_cell[lead]], other, size, width)
        score = _quick(self.taken, pair, slips).reshape(len(_TRIED), -1).max(axis=0)
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
            sigma = np.sqrt(each.typical)
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
        variance = each.typical * 2.0 + (half * -np.expm1(-change)) ** 2
        quick = Prediction(z, over, variance, np.zeros((len(z), 0), np.float32), (), none, none)
        total += alone(each.observed, quick, slips)
    return total


def _slices(count: int, width: int, most: int) -> Iterator[slice]:
    """Rows of a table in parts of so many entries."""
    height = max(1, most // max(width, 1))
    for start in range(0, count, height):
        yield slice(start, min(start + height, count))


def _no_hypotheses() -> Hypotheses:
    ints, floats = np.zeros(0, np.int64), np.zeros(0)
    return Hypotheses(ints, floats, floats, ints, floats, floats, floats)

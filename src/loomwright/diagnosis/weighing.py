"""The posterior over sound, every single fault, every pair, and "something not modelled".

Exact where it can be: singles in all cells, refined where the weight lies; pairs in which no
reading can show the second fault share the likelihood of the first and are summed in closed form;
pairs that readings can show are bounded first and integrated where the bound leaves them a chance.
"""

from __future__ import annotations

from functools import cached_property

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.likelihood import Slips, fit, over_range_terms
from loomwright.diagnosis.model import NONE, Hypotheses, Model, Probe
from loomwright.diagnosis.pairs import Companion, screen
from loomwright.diagnosis.places import Place, places_of
from loomwright.diagnosis.posterior import Posterior
from loomwright.diagnosis.prediction import Prediction
from loomwright.diagnosis.scale import Z_RANGE
from loomwright.diagnosis.taken import Taken

_REFINE = 1e-3  # share of the posterior above which a cell is split
_SPLIT = 4
_NEAR = 16.0  # nats
_WIDE = 0.2  # in ln(magnitude)
_MOST_SPLIT = 60
_AT_ONCE = 2000  # hypotheses


@attrs.define(slots=False, eq=False)
class Diagnosis:
    """Readings of one loom and what follows from them; readings may be added one by one.

    Parameters
    ----------
    model : the loom and its faults
    slips : how often a reading is wrong for reasons outside the loom
    """

    model: Model
    slips: Slips = attrs.field(
        default=attrs.Factory(lambda self: Slips.of(self.model.values), takes_self=True)
    )
    taken: list[Taken] = attrs.field(factory=list, init=False)
    places: tuple[Place, ...] = attrs.field(init=False)
    place_of: NDArray[np.int64] = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        self.places, self.place_of = places_of(self.model.network, self.model.faults)

    def add(self, probe: Probe, value: float) -> None:
        """Take a reading [ohm or V, infinite for over-range] into account."""
        self.taken.append(Taken.of(self.model, probe, value=value, slips=self.slips))

    def sharing(self, place: int) -> NDArray[np.bool_]:
        """Faults that put an item of a place at fault, shape (faults,).

        Its own, and other faults in series at its terminals: one can be badly crimped, or sit
        badly on its pin. Shorts name every wire they could lie at, and a splice is named by
        every wire that meets there, so neither counts.
        """
        faults = self.model.faults
        found = np.zeros(len(faults), bool)
        for own in self.places[place].faults:
            found[own] = True
            if faults[own].edge >= 0:
                for item in faults[own].items:
                    found[self._at_terminal.get(item, [])] = True
        return found

    @cached_property
    def _at_terminal(self) -> dict[str, list[int]]:
        """Faults in series at each terminal, by the terminal's name."""
        found: dict[str, list[int]] = {}
        for number, fault in enumerate(self.model.faults):
            for point in fault.at if fault.edge >= 0 else ():
                if point.terminal and str(point) in fault.items:
                    found.setdefault(str(point), []).append(number)
        return found

    def posterior(self) -> Posterior:
        """What is believed now."""
        return _Weighing(self).posterior()


class _Weighing:
    """One pass from readings to posterior."""

    def __init__(self, diagnosis: Diagnosis) -> None:
        self.diagnosis, self.model = diagnosis, diagnosis.model
        self.taken = diagnosis.taken
        self.observed = [each.observed for each in self.taken]
        self.singles = self.model.singles
        faults = len(self.model.faults)
        self.seen = np.zeros(faults, bool)
        for each in self.taken:
            self.seen |= each.seen

    def fit(self, h: Hypotheses, predicted: list[Prediction]) -> tuple[Floats, Floats]:
        """Log of prior times likelihood, and the same without each reading."""
        if not predicted:
            return h.log_prior, np.zeros((len(h), 0))
        found = fit(self.observed, predicted, self.diagnosis.slips)
        return h.log_prior + found.log_likelihood, h.log_prior[:, None] + found.without

    def fit_singles(self, h: Hypotheses, cells: Ints) -> tuple[Floats, Floats]:
        """`fit` of some cells of single faults; in parts, since the predictions of all are large.

        Parameters
        ----------
        h, cells : the hypotheses and their places among the singles, at least one
        """
        parts = []
        for part in np.array_split(np.arange(len(cells)), -(-len(cells) // _AT_ONCE)):
            predicted = [each.predicted.rows(each.row[cells[part]]) for each in self.taken]
            parts.append(self.fit(h[part], predicted))
        log_weight, without = (np.concatenate(column) for column in zip(*parts, strict=True))
        return log_weight, without

    def weigh_singles(self) -> tuple[Hypotheses, Floats, Floats]:
        """Sound and all seen singles, heavy cells split."""
        fault = self.singles.fault1
        quick = np.zeros(len(fault))
        for each in self.taken:
            quick += each.alone
        # Shared causes can lift a hypothesis by some nats over what lone readings say of it.
        near = quick + self.singles.log_prior > (quick + self.singles.log_prior).max() - _NEAR
        seen = np.append(self.seen, False)[fault]
        rows = np.flatnonzero((fault == NONE) | (seen & near))
        h = self.singles[rows]
        plain = rows > 0
        for each in self.taken:
            plain &= ~each.moved[rows]
        telling = np.flatnonzero(~plain)
        some, some_without = self.fit_singles(h[telling], rows[telling])
        # Cells that leave every reading as it was share the sound loom's likelihood.
        log_weight = h.log_prior + (some[0] - h.log_prior[0])
        without = h.log_prior[:, None] + (some_without[0] - h.log_prior[0])
        log_weight[telling], without[telling] = some, some_without
        share = np.exp(log_weight - np.logaddexp.reduce(log_weight))
        heavy = (share > _REFINE) & (h.width1 > 0)
        if not heavy.any() or not self.taken:
            return h, log_weight, without
        finer = _split(h[heavy])
        more, more_without = self.fit(finer, [each.predictor.predict(finer) for each in self.taken])
        return (
            Hypotheses.joined([h[~heavy], finer]),
            np.concatenate([log_weight[~heavy], more]),
            np.concatenate([without[~heavy], more_without]),
        )

    def weigh_pairs(self, pairs: Hypotheses, best: float) -> tuple[Hypotheses, Floats, Floats]:
        """The screened pairs, heavy and wide cells split."""
        if not len(pairs):
            return pairs, np.zeros(0), np.zeros((0, len(self.taken)))
        log_weight, without = self.fit(pairs, [t.predictor.predict(pairs) for t in self.taken])
        best = max(best, float(log_weight.max()))
        heavy = log_weight > best + np.log(_REFINE)
        heavy &= np.maximum(pairs.width1, pairs.width2) > _WIDE
        chosen = np.flatnonzero(heavy)
        chosen = chosen[np.argsort(-log_weight[chosen])][:_MOST_SPLIT]
        if not len(chosen):
            return pairs, log_weight, without
        rest = np.setdiff1d(np.arange(len(pairs)), chosen)
        finer = _split(pairs[chosen], second=True)
        more, more_without = self.fit(finer, [t.predictor.predict(finer) for t in self.taken])
        return (
            Hypotheses.joined([pairs[rest], finer]),
            np.concatenate([log_weight[rest], more]),
            np.concatenate([without[rest], more_without]),
        )

    def posterior(self) -> Posterior:
        h, log_weight, without = self.weigh_singles()
        log_sound = log_weight[0] - h.log_prior[0]
        sound_without = without[0] - h.log_prior[0]
        found = screen(
            self.model, self.taken,
            seen=self.seen, slips=self.diagnosis.slips, best=float(log_weight.max()),
        )  # fmt: skip
        companion, pairs, discarded = found.companion, found.hypotheses, found.log_discarded
        second = self.second_weight(companion)
        fault = h.fault1[1:]
        # A single stands for itself and for pairs whose second fault cannot be seen.
        grown = np.log1p(second[fault])
        log_single, single_without = log_weight[1:] + grown, without[1:] + grown[:, None]
        pairs, log_pair, pair_without = self.weigh_pairs(pairs, float(log_weight.max()))
        terms = self.unmodelled_terms()
        unmodelled = np.log(self.model.weights.totals.unmodelled) + terms.sum()
        quiet = self.quiet_weight()
        parts = _Parts(
            sound=np.log(self.model.weights.totals.sound) + log_sound,
            quiet=np.log(max(quiet, 1e-300)) + log_sound,
            single=log_single,
            pair=log_pair,
            unmodelled=float(unmodelled),
        )
        singles = h[np.arange(1, len(h))]
        return self.assembled(parts, singles, pairs, companion, discarded, (
            np.log(self.model.weights.totals.sound) + sound_without,
            np.log(max(quiet, 1e-300)) + sound_without,
            single_without,
            pair_without,
            unmodelled - terms,
        ))  # fmt: skip

    def second_weight(self, companion: Companion) -> Floats:
        """Prior odds, given a seen fault, of a second one that no reading shows."""
        totals, w = self.model.weights.totals, self.model.weight
        ratio = 2.0 * totals.two / (1.0 - (w**2).sum()) / totals.one
        hidden = np.where(self.seen, 0.0, w)
        found: Floats = ratio * (hidden.sum() - companion.weight_beside(hidden))
        return found

    def quiet_weight(self) -> float:
        """Prior of one or two faults, none of which any reading shows."""
        totals, w = self.model.weights.totals, self.model.weight
        hidden = w[~self.seen]
        pairs = totals.two / (1.0 - (w**2).sum()) * (hidden.sum() ** 2 - (hidden**2).sum())
        return float(totals.one * hidden.sum() + pairs)

    def unmodelled_terms(self) -> Floats:
        """Per reading, log-likelihood under "something else": as sound, or anywhere."""
        terms = []
        for each in self.taken:
            sound = each.predicted.rows(np.array([0]))
            if each.observed.over or sound.over[0]:
                term = over_range_terms(each.observed, sound, self.diagnosis.slips)[0]
                anywhere = np.log(
                    0.2 if each.observed.over else 1.0 / Z_RANGE[each.observed.quantity]
                )
            else:
                variance = sound.variance[0]
                residual = each.observed.z - sound.z[0]
                term = -0.5 * (residual**2 / variance + np.log(2 * np.pi * variance))
                anywhere = np.log(0.8 / Z_RANGE[each.observed.quantity])
            terms.append(np.logaddexp(np.log(0.5) + term, np.log(0.5) + anywhere))
        return np.array(terms)

    def assembled(
        self,
        parts: _Parts,
        singles: Hypotheses,
        pairs: Hypotheses,
        companion: Companion,
        discarded: float,
        without: tuple[Floats, ...],
    ) -> Posterior:
        kept = [
            _Parts(without[0][i], without[1][i], without[2][:, i], without[3][:, i], without[4][i])
            for i in range(len(self.taken))
        ]
        left_out = np.zeros((len(self.taken), len(self.diagnosis.places)))
        for i, some in enumerate(kept):
            left_out[i] = self.place_marginals(some, some.log_total(), singles, pairs, None)
        whole = self.told(parts, singles, pairs, companion)
        here = np.zeros(len(self.model.faults), bool)
        if whole.best is not None:
            here = self.diagnosis.sharing(whole.best)
        whole = attrs.evolve(
            whole,
            place_without=left_out,
            sure=whole.any_of(here),
            sure_without=np.array([_any_of(some, singles, pairs, here) for some in kept]),
            discarded=_share(discarded, parts),
            slip=np.array([self.slip_chance(i, some, parts) for i, some in enumerate(kept)]),
        )
        weakest = whole.weakest
        if weakest is None:
            return whole
        doubted = attrs.evolve(
            self.told(kept[weakest], singles, pairs, companion), left_out=weakest
        )
        return attrs.evolve(whole, doubted=doubted)

    def slip_chance(self, number: int, without: _Parts, parts: _Parts) -> float:
        """P(the reading is a slip): its share of the sum over slips."""
        observed, slips = self.observed[number], self.diagnosis.slips
        chance = slips.false_over if observed.over else slips.stray / Z_RANGE[observed.quantity]
        return min(1.0, float(np.exp(without.log_total() - parts.log_total()) * chance))

    def told(
        self, parts: _Parts, singles: Hypotheses, pairs: Hypotheses, companion: Companion
    ) -> Posterior:
        """Masses as probabilities."""
        total = parts.log_total()
        fault, hidden, unseen = self.fault_marginals(parts, total, singles, pairs, companion)
        return Posterior(
            sound=float(np.exp(parts.sound - total)),
            unmodelled=float(np.exp(parts.unmodelled - total)),
            hypotheses=Hypotheses.joined([singles, pairs]),
            probability=np.exp(np.concatenate([parts.single, parts.pair]) - total),
            fault=fault,
            hidden=hidden,
            unseen=unseen,
            place=self.place_marginals(parts, total, singles, pairs, unseen),
        )

    def fault_marginals(
        self,
        parts: _Parts,
        total: float,
        singles: Hypotheses,
        pairs: Hypotheses,
        companion: Companion,
    ) -> tuple[Floats, Floats, Floats]:
        """P(fault is present); its part that leaves every reading a sound loom's; and that part
        together with the one that leaves them as another fault has them.
        """
        totals, w = self.model.weights.totals, self.model.weight
        found = np.zeros(len(w))
        single = np.exp(parts.single - total)
        np.add.at(found, singles.fault1, single)
        pair = np.exp(parts.pair - total)
        np.add.at(found, pairs.fault1, pair)
        np.add.at(found, pairs.fault2, pair)
        hidden = np.where(self.seen, 0.0, w)
        kappa = 2.0 * totals.two / (1.0 - (w**2).sum())
        # Alone or with another hidden one, the readings being those of a sound loom.
        quiet = np.exp(parts.quiet - total) / max(self.quiet_weight(), 1e-300)
        alone_hidden = hidden * (totals.one + kappa * (hidden.sum() - hidden)) * quiet
        found += alone_hidden
        # As the second fault beside one that is seen.
        seen_mass = np.zeros(len(w))
        np.add.at(seen_mass, singles.fault1, single)
        second = self.second_weight(companion)
        alone = np.where(self.seen, seen_mass / (1.0 + second), 0.0)
        beside = kappa / totals.one * (alone.sum() - companion.mass_beside(alone))
        found += hidden * beside
        return found, alone_hidden, alone_hidden + hidden * beside

    def place_marginals(
        self,
        parts: _Parts,
        total: float,
        singles: Hypotheses,
        pairs: Hypotheses,
        unseen: Floats | None,
    ) -> Floats:
        """P(something is wrong at the place); two faults at one place count once."""
        place_of = self.diagnosis.place_of
        found = np.zeros(len(self.diagnosis.places))
        np.add.at(found, place_of[singles.fault1], np.exp(parts.single - total))
        pair = np.exp(parts.pair - total)
        one, two = place_of[pairs.fault1], place_of[pairs.fault2]
        np.add.at(found, one, pair)
        np.add.at(found, two, np.where(one == two, 0.0, pair))
        if unseen is not None:
            np.add.at(found, place_of, unseen)
        return np.minimum(found, 1.0)


@attrs.frozen(eq=False)
class _Parts:
    """Unnormalised log-masses of the posterior's parts."""

    sound: float
    quiet: float
    single: Floats
    pair: Floats
    unmodelled: float

    def log_total(self) -> float:
        heads = [self.sound, self.quiet, self.unmodelled]
        return float(np.logaddexp.reduce(np.concatenate([heads, self.single, self.pair])))


def _any_of(
    parts: _Parts, singles: Hypotheses, pairs: Hypotheses, here: NDArray[np.bool_]
) -> float:
    """P(some of the faults is present), those that no reading shows left out."""
    padded = np.append(here, False)
    mass = [
        log_mass[padded[h.fault1] | padded[h.fault2]]
        for h, log_mass in ((singles, parts.single), (pairs, parts.pair))
    ]
    return float(np.exp(np.concatenate(mass) - parts.log_total()).sum())


def _share(log_mass: float, parts: _Parts) -> float:
    return float(np.exp(log_mass - parts.log_total()))


def _split(h: Hypotheses, *, second: bool = False) -> Hypotheses:
    """Each cell cut into equal parts of ln(magnitude), on request of the second one too."""
    offset = (np.arange(_SPLIT) + 0.5) / _SPLIT - 0.5
    first, other = (part.ravel() for part in np.meshgrid(offset, offset if second else [0.0]))
    count = len(first)
    grown = h[np.repeat(np.arange(len(h)), count)]
    return attrs.evolve(
        grown,
        magnitude1=grown.magnitude1 * np.exp(np.tile(first, len(h)) * grown.width1),
        width1=grown.width1 / _SPLIT,
        magnitude2=grown.magnitude2 * np.exp(np.tile(other, len(h)) * grown.width2),
        width2=grown.width2 / _SPLIT if second else grown.width2,
        log_prior=grown.log_prior - np.log(count),
    )

"""Which reading next: most information per minute, and whether to go on at all."""

from __future__ import annotations

from collections import defaultdict

import attrs
import numpy as np

from loomwright import standards
from loomwright.circuit.configuration import Floats
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.admissible import Admissible, Candidate, Situation
from loomwright.diagnosis.freeing import freed
from loomwright.diagnosis.gain import (
    Outcomes,
    Sample,
    label_bits,
    outcomes,
    precise_outcomes,
    worth,
)
from loomwright.diagnosis.likelihood import Explained, explain
from loomwright.diagnosis.model import NONE, Hypotheses, Probe, Setting
from loomwright.diagnosis.posterior import Posterior
from loomwright.diagnosis.prediction import Predictor
from loomwright.diagnosis.scale import from_z
from loomwright.diagnosis.taken import Taken
from loomwright.diagnosis.weighing import Diagnosis
from loomwright.loom import State

SAMPLES, FLAT_SAMPLES = 400, 1600
_FLAT, _LONG = 0.1, 12  # nothing likelier than that after so many readings
_FEW_PLACES = 600  # beyond, a larger sample takes more time and memory than it is worth
_NEAR_PLUGS = 10
_NEAR_MASS = 0.04
_LEAST_BITS = 0.02
_NOTHING = 1e-3  # bits
_SHORT_A = 25.0  # beyond the usual fuse; common practice, no published source
_SHORT_CHANCE = 0.01
_BATCH = 6
_MOST_BATCHES = 10
_MOST_PREDICTORS = 200


@attrs.frozen(eq=False)
class Suggestion:
    """A reading worth taking.

    Attributes
    ----------
    candidate : the reading and its minutes
    bits : expected information about the place [bit]
    per_minute : the same per minute, access shared with the readings to come [bit/min]
    surer : expected rise of the likeliest explanation's probability
    expected : (place, low, high) [ohm or V], infinite for over-range; place -1 is a sound loom
    """

    candidate: Candidate
    bits: float
    per_minute: float
    surer: float
    expected: tuple[tuple[int, float, float], ...]


@attrs.define(slots=False, eq=False)
class Advisor:
    """Chooses readings for one diagnosis.

    Parameters
    ----------
    diagnosis : the readings so far
    seed : of the sample that stands for the posterior
    """

    diagnosis: Diagnosis
    seed: int = 0
    admissible: Admissible = attrs.field(init=False)
    _predictors: dict[Probe, Predictor] = attrs.field(factory=dict, init=False)

    def __attrs_post_init__(self) -> None:
        self.admissible = Admissible(self.diagnosis.model)

    def situation(self) -> Situation:
        """Where things stand after the readings taken."""
        taken = self.diagnosis.taken
        opened: set[str] = set()
        touched: set[str] = set()
        state, meter = State(), None
        for each in taken:
            opened |= each.probe.setting.unplugged
            touched |= {each.probe.plus.owner, each.probe.minus.owner}
            state = each.probe.setting.as_state
            meter = each.probe.meter or meter
        if meter is None:
            meter = next((row.meter for row in self.diagnosis.model.job.meters), None)
        return Situation(
            state=state, opened=frozenset(opened), touched=frozenset(touched), meter=meter
        )

    def suggest(
        self, posterior: Posterior, count: int = 3, now: Situation | None = None
    ) -> list[Suggestion]:
        """The best readings to take next, best first.

        Parameters
        ----------
        posterior : what is believed now
        count : how many to offer
        now : where things stand; by default as the readings left it
        """
        model = self.diagnosis.model
        now = self.situation() if now is None else now
        sample = self.sample(posterior)
        unknown = label_bits(sample)
        groups: dict[tuple[Setting, str], list[Candidate]] = defaultdict(list)
        short = self._short_is_likely(sample, now)
        alone = freed(model, posterior.fault, self.admissible.control)
        for candidate in self.admissible.candidates(now, self.near_plugs(posterior), alone):
            if short and candidate.probe.setting.as_state.powered:
                continue
            groups[(candidate.probe.setting, candidate.probe.quantity)].append(candidate)
        rough: list[tuple[float, Candidate]] = []
        for candidates in groups.values():
            found = outcomes(model, [candidate.probe for candidate in candidates], sample)
            bits = worth(found, sample).bits
            rough += [
                (_per_minute(float(bits[i]), candidate, unknown), candidate)
                for i, candidate in enumerate(candidates)
                if bits[i] > _NOTHING
            ]
        rough.sort(key=lambda row: -row[0])
        chosen: list[Suggestion] = []
        for suggestion in self._weighed(posterior, sample, rough):
            if len(chosen) < count and not any(_alike(suggestion, other) for other in chosen):
                chosen.append(suggestion)
        return chosen

    def _weighed(
        self, posterior: Posterior, sample: Sample, rough: list[tuple[float, Candidate]]
    ) -> list[Suggestion]:
        """The most promising candidates weighed precisely, best first.

        Batch after batch, until none of the rest promises more than the best found.
        """
        found: list[Suggestion] = []
        best, unknown = 0.0, label_bits(sample)
        for start in range(0, min(len(rough), _BATCH * _MOST_BATCHES), _BATCH):
            if rough[start][0] <= best:
                break
            batch = [candidate for _, candidate in rough[start : start + _BATCH]]
            outcome = precise_outcomes([self._predictor(c.probe) for c in batch], sample)
            value = worth(outcome, sample)
            for i, candidate in enumerate(batch):
                if value.bits[i] > _NOTHING:
                    expected = self._expected(posterior, sample, outcome, i, candidate)
                    bits, surer = float(value.bits[i]), float(value.surer[i])
                    rate = _per_minute(bits, candidate, unknown)
                    found.append(Suggestion(candidate, bits, rate, surer, expected))
                    best = max(best, rate)
        return sorted(found, key=lambda suggestion: -suggestion.per_minute)

    def _short_is_likely(self, sample: Sample, now: Situation) -> bool:
        """Whether turning the key on could drive a fuse-blowing current through the loom."""
        model = self.diagnosis.model
        battery, supply = model.network.battery, self.admissible.supply_point
        if battery is None or supply is None or self.admissible.earth_point is None:
            return False
        setting = Setting.of(now.state.changed(key="on"), ())
        probe = Probe("volt", supply, self.admissible.earth_point, setting)
        h = sample.hypotheses
        bench = model.bench([probe])
        scenarios = model.scenarios(bench.solved, h)
        outcome = bench.read(np.zeros(len(h), np.int64), scenarios)
        amps = bench.supply_current(scenarios, outcome, np.full(len(h), battery))
        return float(sample.probability[np.abs(amps) > _SHORT_A].sum()) > _SHORT_CHANCE

    def _predictor(self, probe: Probe) -> Predictor:
        if probe not in self._predictors:
            if len(self._predictors) >= _MOST_PREDICTORS:
                self._predictors.pop(next(iter(self._predictors)))
            self._predictors[probe] = Predictor(self.diagnosis.model, probe)
        return self._predictors[probe]

    def sample(self, posterior: Posterior) -> Sample:
        """A systematic sample of the posterior, hidden faults included (unbiased).

        Where a claim rests on one reading alone, half of the sample is what is believed without
        that reading, and only whether the claim holds is asked: what would confirm or refute it?
        """
        doubted = posterior.doubted
        whole, p = self._believed(posterior)
        if doubted is not None:
            other, q = self._believed(doubted)
            whole, p = Hypotheses.joined([whole, other]), np.concatenate([p, q])
        # Where all that is left is unlikely, a small sample would make the luckiest look best.
        flat = posterior.place.max(initial=0.0) < _FLAT and len(self.diagnosis.taken) >= _LONG
        size = FLAT_SAMPLES if flat and len(self.diagnosis.places) <= _FEW_PLACES else SAMPLES
        edges = np.cumsum(p / p.sum()) * size
        start = np.random.default_rng(self.seed).random()
        counts = np.bincount(np.searchsorted(edges, np.arange(size) + start), minlength=len(p))
        rows = np.flatnonzero(counts[: len(p)])
        members = whole[rows]
        share = counts[rows] / counts[rows].sum()
        if doubted is None:
            label, labels = self._labels(members)
        else:
            label, labels = self._holds(members, posterior.best), 2
        left_out = None if doubted is None else doubted.left_out
        kept = [each for i, each in enumerate(self.diagnosis.taken) if i != left_out]
        explained = self._explained(members, share, kept)
        if explained is not None:
            members = _recentred(members, explained.cells[:-1])
        taken = frozenset(each.probe for each in self.diagnosis.taken)
        return Sample(members, share, label, labels, explained, taken)

    def _believed(self, posterior: Posterior) -> tuple[Hypotheses, Floats]:
        """Fault sets and their probabilities, the sound loom and hidden faults included."""
        singles = self.diagnosis.model.singles
        hidden = np.flatnonzero((singles.fault1 != NONE) & ~_explicit(posterior, singles.fault1))
        cells = self.diagnosis.model.cell_count
        hidden_p = (posterior.hidden / np.maximum(cells, 1))[singles.fault1[hidden]]
        whole = Hypotheses.joined([singles[:1], posterior.hypotheses, singles[hidden]])
        p = np.concatenate([[posterior.sound], posterior.probability, hidden_p])
        return whole, p / p.sum()

    def _explained(self, members: Hypotheses, share: Floats, kept: list[Taken]) -> Explained | None:
        """Shared causes as the kept readings leave them, the sound loom at the end."""
        if not kept:
            return None
        everyone = Hypotheses.joined([members, self.diagnosis.model.singles[:1]])
        predicted = [each.predictor.predict(everyone) for each in kept]
        return explain([each.observed for each in kept], predicted, np.append(share, 0.0))

    def near_plugs(self, posterior: Posterior) -> list[str]:
        """Plugs at which the suspects lie, most suspect first."""
        loom = self.diagnosis.model.network.topology
        mass: dict[str, float] = defaultdict(float)
        inline = self.admissible.inline
        for number in np.argsort(-posterior.fault, kind="stable")[:60]:
            fault = self.diagnosis.model.faults[number]
            for plug in inline.get(fault.at[0], ()):
                # Half as telling: it parts what lies on either side of it.
                mass[plug] += 0.5 * float(posterior.fault[number])
            owners = {point.owner for point in fault.at}
            for device in owners & loom.devices.keys():
                owners |= {plug.plug for plug in loom.mated_by[device]}
            for owner in owners & loom.plugs.keys():
                mass[owner] += float(posterior.fault[number])
        control = set(self.admissible.control)
        # As long as nothing stands out, everything can be reached from the control plug.
        suspect = (p for p in mass if p not in control and (mass[p] > _NEAR_MASS or not control))
        return sorted(suspect, key=lambda p: (-mass[p], p))[:_NEAR_PLUGS]

    def _labels(self, h: Hypotheses) -> tuple[Ints, int]:
        place_of = np.append(self.diagnosis.place_of, -1)
        one, two = place_of[h.fault1], place_of[h.fault2]
        pair = np.stack([np.maximum(one, two), np.minimum(one, two)])
        pair = np.hstack([np.full((2, 1), -1), pair])  # label 0 is the sound loom
        unique, label = np.unique(pair, axis=1, return_inverse=True)
        return label.ravel()[1:], unique.shape[1]

    def _holds(self, h: Hypotheses, place: int | None) -> Ints:
        """1 where something is wrong at a place, else 0."""
        place_of = np.append(self.diagnosis.place_of, -1)
        return np.asarray((place_of[h.fault1] == place) | (place_of[h.fault2] == place), np.int64)

    def _expected(
        self, posterior: Posterior, sample: Sample, found: Outcomes, test: int, candidate: Candidate
    ) -> tuple[tuple[int, float, float], ...]:
        """Range of the reading under the sound loom and under each leading place."""
        quantity = candidate.probe.quantity
        z = np.full(len(sample.probability), found.z0[test])
        over = np.full(len(z), bool(found.over0[test]))
        rows = found.test == test
        z[found.member[rows]], over[found.member[rows]] = found.z[rows], found.over[rows]
        spread = 2.0 * found.sigma[test]
        offset = 0.0
        result = [
            (-1, *_range(found.z0[test], found.z0[test], spread, quantity, bool(found.over0[test])))
        ]
        place_of = np.append(self.diagnosis.place_of, -1)
        h = sample.hypotheses
        for place in np.argsort(-posterior.place)[:5]:
            here = (place_of[h.fault1] == place) | (place_of[h.fault2] == place)
            if not here.any() or posterior.place[place] < 0.02:
                continue
            some, shut = z[here], over[here]
            low, high = some[~shut].min(initial=np.inf), some[~shut].max(initial=-np.inf)
            if shut.all():
                result.append((int(place), np.inf, np.inf))
            else:
                bottom, top = _range(low + offset, high + offset, spread, quantity, over=False)
                result.append((int(place), bottom, np.inf if shut.any() else top))
        return tuple(result)


def should_stop(
    posterior: Posterior, suggestions: list[Suggestion], wrong_minutes: float | None = None
) -> bool:
    """Whether another reading costs more than it can change.

    A wrong repair costs so many minutes; a reading is worth what it is expected to take off its
    chance. While nothing may be claimed, a reading that tells anything is still worth taking.
    """
    if not suggestions:
        return True
    wrong = wrong_minutes or standards.default("wrong_repair_minutes").value
    pays = any(s.surer * wrong > s.candidate.minutes for s in suggestions)
    if posterior.claimed is not None:
        return not pays
    return max(s.bits for s in suggestions) < _LEAST_BITS


def _per_minute(bits: float, candidate: Candidate, unknown: float) -> float:
    """Bits per minute, where a plug is opened for all the readings that are still to come.

    As many of this worth as would take what is unknown [bit].
    """
    return bits / candidate.shared_minutes(unknown / bits)


def _explicit(posterior: Posterior, fault: Ints) -> np.ndarray:
    seen = np.zeros(len(posterior.fault) + 1, bool)
    alone = posterior.hypotheses.fault2 == NONE
    seen[posterior.hypotheses.fault1[alone]] = True
    seen[NONE] = False
    return seen[fault]


def _recentred(h: Hypotheses, cells: Floats) -> Hypotheses:
    """Each magnitude moved to where in its cell the readings put it."""
    return attrs.evolve(
        h,
        magnitude1=h.magnitude1 * np.exp(0.5 * h.width1 * cells[:, 0]),
        magnitude2=h.magnitude2 * np.exp(0.5 * h.width2 * cells[:, 1]),
    )


def _range(
    low: Floats | float, high: Floats | float, spread: float, quantity: str, over: bool
) -> tuple[float, float]:
    if over:
        return np.inf, np.inf
    floor = -np.inf if quantity == "volt" else 0.0
    return (
        max(floor, float(from_z(quantity, np.asarray(low - spread)))),
        float(from_z(quantity, np.asarray(high + spread))),
    )


def _alike(one: Suggestion, other: Suggestion) -> bool:
    """Nearly the same reading again: the same points, or a shared one telling as much."""
    a, b = one.candidate.probe, other.candidate.probe
    shared = len({a.plus, a.minus} & {b.plus, b.minus})
    apart = abs(one.bits - other.bits) / max(one.bits, other.bits)
    return (shared == 2 and apart < 0.3) or (
        a.setting == b.setting and shared == 1 and apart < 0.15
    )

"""What a reading is expected to tell: information about the place, and about what to do.

From a sample of the posterior every candidate's outcome is predicted, sorted into bins about as
wide as the reading's own uncertainty, and the mutual information between bin and place is summed:
I = H(place) + H(bin) - H(place, bin). Source: Lindley, Ann. Math. Stat. 27 (1956) 986.
"""

from __future__ import annotations

from collections.abc import Sequence

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit import Bench, Scenarios
from loomwright.circuit.configuration import Floats
from loomwright.circuit.ports import share
from loomwright.circuit.solver import Ints
from loomwright.diagnosis.likelihood import Explained
from loomwright.diagnosis.model import NONE, Hypotheses, Model, Probe
from loomwright.diagnosis.prediction import Predictor
from loomwright.diagnosis.scale import SPOT, meter_of, to_z, z_slope

_BIN = 2.5  # width of a bin in standard uncertainties
_OVER = 1 << 20  # bin of over-range
_BINS = 1 << 21
_SWAPS = 6
_REPEATED = 6.0
_OVER_SIGMA = 0.05  # where the sound loom gives no value to be uncertain about


@attrs.frozen(eq=False)
class Sample:
    """A sample of the posterior, equal members joined.

    Attributes
    ----------
    hypotheses : the members
    probability : their shares, summing to 1
    label : number of the set of places each says is wrong, 0 for none
    labels : how many labels there are
    explained : shared causes as the readings leave them, a row per member and one more for the
        sound loom at the end; or None
    taken : readings already taken
    """

    hypotheses: Hypotheses
    probability: Floats
    label: Ints
    labels: int
    explained: Explained | None
    taken: frozenset[Probe] = frozenset()


@attrs.frozen(eq=False)
class Outcomes:
    """Candidates of one setting and what each member of the sample says of them.

    Only entries that differ from the sound loom's reading are kept.

    Attributes
    ----------
    z0, over0 : the sound loom's reading, shape (tests,)
    sigma : standard uncertainty on the z scale, shape (tests,)
    test, member, z, over : one entry per differing outcome
    """

    z0: Floats
    over0: NDArray[np.bool_]
    sigma: Floats
    test: Ints
    member: Ints
    z: Floats
    over: NDArray[np.bool_]


def outcomes(model: Model, probes: Sequence[Probe], sample: Sample) -> Outcomes:
    """Predict the readings of one setting and quantity under every member of a sample."""
    h = sample.hypotheses
    live = np.unique(np.concatenate([h.fault1, h.fault2]))
    live = live[live != NONE]
    bench = model.bench(list(probes), live)
    place = np.full(len(model.faults) + 1, NONE)
    place[live] = np.arange(len(live))
    full = model.scenarios(bench.solved, h)
    scenarios = Scenarios(place[full.port1], full.size1, place[full.port2], full.size2)
    test, member = _entries(bench, scenarios)
    ohm, volt = bench.values(test, scenarios[member])
    quantity = probes[0].quantity
    base = bench.base()
    value0, over0 = _shown(model, probes[0], base.ohm, base.volt)
    value, over = _shown(model, probes[0], ohm, volt)
    z0, z = to_z(quantity, value0), to_z(quantity, value)
    sigma = _uncertainty(model, bench, probes, value0, over0, sample)
    swaps = _swapped(model, bench, sample)
    if swaps is not None:
        test, member = np.concatenate([test, swaps[0]]), np.concatenate([member, swaps[1]])
        value, over1 = _shown(model, probes[0], swaps[2], swaps[3])
        z, over = np.concatenate([z, to_z(quantity, value)]), np.concatenate([over, over1])
    return Outcomes(z0, over0, sigma, test, member, z, over)


def _entries(bench: Bench, scenarios: Scenarios) -> tuple[Ints, Ints]:
    affects = bench.affected()
    none = np.zeros((len(bench.tests), 1), bool)
    padded = np.hstack([affects, none])  # port -1 is the last column
    return np.nonzero(padded[:, scenarios.port1] | padded[:, scenarios.port2])  # type: ignore[return-value]


def _shown(
    model: Model, probe: Probe, ohm: Floats, volt: Floats
) -> tuple[Floats, NDArray[np.bool_]]:
    """What the meter shows, and whether that is over-range."""
    over = np.isinf(ohm)
    if probe.quantity == "volt":
        meter = model.assume.voltmeter_ohm
        return volt * np.where(over, 0.0, meter / (meter + np.where(over, 0.0, ohm))), over & False
    beyond = over | (ohm > meter_of(model.job, probe.meter, probe.quantity, model.assume).limit)
    return np.where(beyond, 0.0, ohm), beyond


def _uncertainty(
    model: Model,
    bench: Bench,
    probes: Sequence[Probe],
    value0: Floats,
    over0: NDArray[np.bool_],
    sample: Sample,
) -> Floats:
    """Standard uncertainty of each test in the sound loom, less what the readings explain."""
    quantity, assume = probes[0].quantity, model.assume
    meter = meter_of(model.job, probes[0].meter, quantity, assume)
    slope = z_slope(quantity, value0)
    spread = assume.probe_spread_ohm if quantity == "ohm" else assume.probe_spread_v
    variance = (meter.own_spread(value0, spread) * slope) ** 2
    names, columns = _causes(model, bench, quantity)
    if quantity == "volt" and model.network.battery is not None:
        at = np.array([model.network.battery])
        per_volt = share(bench.solved, bench.tests.a, bench.tests.b, at)
        variance += (per_volt * assume.supply_spread_v) ** 2
    columns = columns * slope[:, None]
    gain = meter.gain_spread(value0) * slope
    variance += gain**2
    left, _ = _known(tuple(names), sample.explained)
    variance += (columns**2) @ left + SPOT[quantity] ** 2
    # Taken again, a reading tells whether it was a slip, and hardly more.
    again = np.array([_REPEATED if probe in sample.taken else 1.0 for probe in probes])
    sigma: Floats = np.where(over0, _OVER_SIGMA, np.sqrt(variance)) * again
    return sigma


def _known(names: tuple[str, ...], explained: Explained | None) -> tuple[Floats, Floats]:
    """Share of variance left of each cause, and its mean per member, (causes,), (members, causes).

    A cause no reading has touched is as unknown as ever.
    """
    if explained is None:
        return np.ones(len(names)), np.zeros((1, len(names)))
    place = {name: i for i, name in enumerate(explained.causes)}
    left = np.array([explained.remaining[place[n]] if n in place else 1.0 for n in names])
    none = np.zeros(len(explained.mean))
    columns = [explained.mean[:, place[n]] if n in place else none for n in names]
    return left, np.column_stack(columns) if columns else np.zeros((len(none), 0))


def precise_outcomes(predictors: Sequence[Predictor], sample: Sample) -> Outcomes:
    """The same for a few readings of any settings, as exactly as the posterior would take them.

    Every member's own sensitivities and what the readings taken say of temperatures, tolerances
    and the meter under that member enter; so a reading that only repeats what is known gains
    nothing.
    """
    sound = predictors[0].model.singles[:1]
    everyone = Hypotheses.joined([sample.hypotheses, sound])
    members = np.arange(len(sample.hypotheses))
    rows = []
    for predictor in predictors:
        predicted = predictor.predict(everyone)
        left, mean = _known(predicted.causes, sample.explained)
        z = predicted.z + (predicted.shared * mean).sum(axis=1)
        variance = predicted.own + predicted.shared**2 @ left
        inside = np.append(sample.probability, 1e-3) * ~predicted.over
        sigma = np.sqrt(inside @ variance / inside.sum()) if inside.any() else _OVER_SIGMA
        limit = to_z(predictor.probe.quantity, np.array(predictor.meter.limit))
        rows.append((z, predicted.over | (z > limit), max(float(sigma), 1e-3)))
    count = len(members)
    return Outcomes(
        z0=np.array([z[-1] for z, _, _ in rows]),
        over0=np.array([over[-1] for _, over, _ in rows]),
        sigma=np.array([sigma for _, _, sigma in rows]),
        test=np.repeat(np.arange(len(rows)), count),
        member=np.tile(members, len(rows)),
        z=np.concatenate([z[:-1] for z, _, _ in rows]),
        over=np.concatenate([over[:-1] for _, over, _ in rows]),
    )


def _causes(model: Model, bench: Bench, quantity: str) -> tuple[list[str], Floats]:
    """Shared causes of the sound loom's readings: part tolerances and temperatures."""
    solved, configuration = bench.solved, bench.solved.configuration
    edges = np.array(
        [n for n, edge in enumerate(model.network.edges) if edge.element is not None], np.int64
    )
    uncertain = (configuration.spread[edges] > 0) | (configuration.per_kelvin[edges] != 0)
    edges = edges[(solved.edge_island[edges] >= 0) & uncertain]
    a, b = bench.tests.a[:, None], bench.tests.b[:, None]
    part = share(solved, a, b, edges[None, :])
    change = part**2 if quantity == "ohm" else part * solved.loop_current[edges]
    change = change * configuration.ohm[edges]
    names = [f"part {edge}" for edge in edges]
    columns = [change * configuration.spread[edges]]
    sources = np.array(configuration.temperature)[edges]
    for source in sorted(set(sources.tolist()) - {""}):
        temperature = configuration.temperatures[source]
        warmed = sources == source
        moved = (change * configuration.per_kelvin[edges])[:, warmed].sum(axis=1)
        columns.append((moved * temperature.spread_k)[:, None])
        names.append(f"temperature {source} {temperature.celsius:g}")
    inner = np.array(model.network.inner_supplies, dtype=np.int64)
    if quantity == "volt" and len(inner):
        spread = model.assume.inner_supply_spread * configuration.emf[inner]
        columns.append(-share(solved, a, b, inner[None, :]) * spread)
        names += [f"inner supply {edge}" for edge in inner]
    return names, np.hstack(columns)


def _swapped(
    model: Model, bench: Bench, sample: Sample
) -> tuple[Ints, Ints, Floats, Floats] | None:
    """Entries of the likeliest swapped cavities in the sample."""
    h = sample.hypotheses
    members = np.flatnonzero((h.fault1 != NONE) & model.is_swap[np.maximum(h.fault1, 0)])
    members = members[np.argsort(-sample.probability[members])][:_SWAPS]
    if not len(members):
        return None
    found = model.swaps.read(h.fault1[members], bench.solved, bench.tests)
    return found.test, members[found.row], found.ohm, found.volt


@attrs.frozen(eq=False)
class Worth:
    """What each test is worth.

    Attributes
    ----------
    bits : expected information about the place [bit], shape (tests,)
    surer : expected rise of the best label's probability, shape (tests,)
    """

    bits: Floats
    surer: Floats


def label_bits(sample: Sample) -> float:
    """How much is unknown of the label: its entropy [bit]."""
    shares = _mass(sample.label, sample.probability, sample.labels)
    return float(_entropy_terms(shares).sum() / np.log(2.0))


def worth(outcome: Outcomes, sample: Sample) -> Worth:
    """Expected information and expected rise of certainty of every test."""
    tests, labels = len(outcome.z0), sample.labels
    p_label = _mass(sample.label, sample.probability, labels)
    key, mass = _moved(outcome, sample)
    if not len(key):
        return Worth(np.zeros(tests), np.zeros(tests))
    cell, inverse = np.unique(key, return_inverse=True)
    cell_mass = _mass(inverse, mass)
    cell_bin, cell_label = cell // labels, cell % labels
    cell_test = cell_bin // (2 * _BINS)
    gone = np.zeros((tests, labels))
    np.add.at(gone, (cell_test, cell_label), cell_mass)
    kept = np.maximum(p_label[None, :] - gone, 0.0)
    bins, bin_of = np.unique(cell_bin, return_inverse=True)
    bin_mass = _mass(bin_of, cell_mass)
    bin_test = bins // (2 * _BINS)
    h_label = _entropy_terms(p_label).sum()
    h_bin = _entropy_terms(kept.sum(axis=1)) + np.bincount(
        bin_test, _entropy_terms(bin_mass), minlength=tests
    )
    h_both = _entropy_terms(kept).sum(axis=1) + np.bincount(
        cell_test, _entropy_terms(cell_mass), minlength=tests
    )
    best = np.zeros(len(bins))
    np.maximum.at(best, bin_of, cell_mass)
    surer = kept.max(axis=1) + np.bincount(bin_test, best, minlength=tests) - p_label.max()
    bits = np.maximum(h_label + h_bin - h_both, 0.0) / np.log(2.0)
    return Worth(bits, np.maximum(surer, 0.0))


def _moved(outcome: Outcomes, sample: Sample) -> tuple[Ints, Floats]:
    """Mass that leaves the sound loom's bin: key of (test, bin, label) and its size.

    A value between two bins counts to both by its distance, so a difference of a fraction of
    the uncertainty tells only a fraction.
    """
    test, member = outcome.test, outcome.member
    step = _BIN * outcome.sigma[test]
    origin = np.where(outcome.over0[test], 0.0, outcome.z0[test])
    x = np.clip((outcome.z - origin) / step, -5e4, 5e4)
    low = np.floor(x)
    part = x - low
    mass = sample.probability[member]
    label = sample.label[member]
    home = np.where(outcome.over0, _OVER, 0)[test]
    keys, masses = [], []
    for number, near in ((low, 1.0 - part), (low + 1.0, part)):
        chosen = np.where(outcome.over, _OVER, number.astype(np.int64))
        weight = np.where(outcome.over, 0.5, near) * mass
        away = (chosen != home) & (weight > 0)
        keys.append(((test * 2 * _BINS + chosen + _BINS // 2) * sample.labels + label)[away])
        masses.append(weight[away])
    return np.concatenate(keys), np.concatenate(masses)


def _mass(number: Ints, mass: Floats, count: int = 0) -> Floats:
    """Sum of the masses that carry the same number."""
    return np.asarray(np.bincount(number, mass, minlength=count), dtype=np.float64)


def _entropy_terms(p: Floats) -> Floats:
    return -p * np.log(np.where(p > 0, p, 1.0))

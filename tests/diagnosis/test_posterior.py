"""The posterior against enumeration of every single and every pair of a small loom."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest

from loomwright import standards
from loomwright.circuit import Assumptions
from loomwright.diagnosis import Diagnosis, Model, Posterior, Probe, Totals, Weights
from loomwright.loom import Job, Reading
from reference import dense
from reference.faults import edited
from sample.drawn import loom, reading
from sample.enumeration import SURE, Enumeration, Probed, batch
from sample.scenarios import as_reference

#   CU.1 --W1-- T.1 [R 100] T.2 --W2-- CU.2
#   CU.3 --W3-- V.1 [Q  47] V.2 --W4-- E1 --> metal
LOOM = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2", "V": "D: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100\nQ D.1 D.2 resistor ohm=47",
    {"E1": "earth"},
)
# Fewer kinds, and three decades of magnitude: then a grid of every pair is soon solved.
KEPT: dict[tuple[str, str], dict[str, float]] = {
    ("open", "wire"): {},
    ("high_resistance", "contact"): {"low": 10.0, "high": 1e4},
    ("short_to_earth", "wire"): {"low": 1.0, "high": 1e3},
    ("drift", "element"): {},
    ("high_resistance", "earth"): {"low": 10.0, "high": 1e4},
}
TEXTS = ("ohm CU.1 CU.2", "ohm CU.3 E1", "ohm CU.1 E1", "ohm CU.2 CU.3", "ohm T.1 T.2")


def model(job: Job = LOOM, unmodelled: float = 1e-9, assume: Assumptions = SURE) -> Model:
    rates = tuple(
        attrs.evolve(rate, **KEPT[rate.kind, rate.place])
        for rate in standards.all_fault_rates()
        if (rate.kind, rate.place) in KEPT and rate.element in ("", "resistor")
    )
    totals = Totals(sound=0.1, one=0.65, two=0.25, unmodelled=unmodelled)
    return Model(job, assume=assume, weights=Weights(job, rates=rates, totals=totals))


def diagnosed(found: Model, readings: list[tuple[int, float]]) -> tuple[Diagnosis, Posterior]:
    diagnosis = Diagnosis(found)
    for probe, value in readings:
        diagnosis.add(Probe.of(reading("R", TEXTS[probe], value)), value)
    return diagnosis, diagnosis.posterior()


@pytest.fixture(scope="module")
def enumerated() -> Enumeration:
    found = model()
    return Enumeration(found, [Probed.of(found, reading("R", text, 1)) for text in TEXTS])


CASES: dict[str, list[tuple[int, float]]] = {
    "none": [],
    "one as it should be": [(0, 100.0)],
    "one open": [(0, math.inf)],
    "one too high": [(0, 900.0)],
    "one too low": [(1, 12.0)],
    "a leak to metal": [(2, 300.0)],
    "all as they should be": [(0, 100.0), (1, 47.0), (2, math.inf), (3, math.inf), (4, 100.0)],
    "an open found on both sides": [(0, math.inf), (4, 100.0), (1, 47.0)],
    "a high contact": [(0, 2500.0), (4, 2500.0), (2, math.inf)],
    "two faults in two circuits": [(0, math.inf), (1, 600.0)],
    "two opens in two circuits": [(0, math.inf), (1, math.inf)],
    "two opens, each read twice": [(0, math.inf), (4, 100.0), (1, math.inf), (3, math.inf)],
    "two faults in one circuit": [(0, 700.0), (2, 40.0), (1, 47.0)],
    "a drifted part": [(0, 40.0), (4, 40.0), (2, math.inf)],
    "the same twice": [(0, 900.0), (0, 850.0)],
    "one stray among good ones": [(0, 100.0), (0, math.inf), (0, 100.0), (4, 100.0)],
}


@pytest.mark.parametrize("name", CASES)
def test_probabilities_are_those_of_enumeration(name: str, enumerated: Enumeration) -> None:
    diagnosis, posterior = diagnosed(enumerated.model, CASES[name])
    wanted = enumerated.believed(CASES[name], diagnosis)
    assert posterior.sound == pytest.approx(wanted.sound, abs=0.02)
    assert posterior.place == pytest.approx(wanted.place, abs=0.02)
    assert posterior.best is not None
    assert posterior.sure == pytest.approx(wanted.items[posterior.best], abs=0.02)


def test_the_enumeration_reads_as_the_reference_does(enumerated: Enumeration) -> None:
    found = enumerated.model
    rng = np.random.default_rng(1)
    for _ in range(30):
        numbers = rng.choice(len(found.faults), 2, replace=False).tolist()
        if not enumerated.possible(tuple(numbers)):
            continue
        sizes = {n: max(found.faults[n].low, 1.0) * 1.7 for n in numbers}
        faults = [as_reference(found, n, size) for n, size in sizes.items()]
        for probe in enumerated.probes:
            configuration = found.solved(probe.setting).configuration
            branches = edited(found.network, configuration, faults, dead=True)
            wanted = dense.ohm(len(found.network.points), branches, probe.plus, probe.minus)
            mine = batch(found, probe, {n: np.array([s]) for n, s in sizes.items()})
            assert mine[0] == pytest.approx(wanted, rel=1e-6)


def test_masses_are_shares_of_one() -> None:
    for readings in CASES.values():
        _, posterior = diagnosed(model(unmodelled=0.01), readings)
        explicit = posterior.sound + posterior.unmodelled + posterior.probability.sum()
        # Sets of hidden faults make up the rest; a pair of them stands at both in `hidden`.
        rest = posterior.hidden.sum()
        assert explicit <= 1 + 1e-9
        assert 1 - explicit <= rest + 1e-9
        assert rest <= 2 * (1 - explicit) + 1e-9
        assert ((posterior.place >= 0) & (posterior.place <= 1)).all()


def test_an_item_is_at_fault_at_least_as_surely_as_its_place() -> None:
    for readings in CASES.values():
        diagnosis, posterior = diagnosed(model(unmodelled=0.01), readings)
        assert posterior.best is not None
        assert posterior.sure >= posterior.place[posterior.best] - 1e-9
        everything = np.ones(len(diagnosis.model.faults), bool)
        # Two hidden faults at once count twice.
        assert posterior.any_of(everything) >= 1 - posterior.sound - posterior.unmodelled - 1e-6
        assert posterior.any_of(~everything) == 0.0


def test_the_order_of_readings_does_not_matter() -> None:
    readings = CASES["two faults in one circuit"]
    _, one = diagnosed(model(), readings)
    _, other = diagnosed(model(), readings[::-1])
    assert one.place == pytest.approx(other.place, abs=1e-6)
    assert one.sound == pytest.approx(other.sound, abs=1e-6)


def test_a_reading_that_fits_nothing_raises_the_unmodelled() -> None:
    """5 MΩ across a 47 Ω coil: no fault of the table gives it, nor any two."""
    found = model(unmodelled=0.01)
    prior = diagnosed(found, [])[1].unmodelled
    fits = diagnosed(found, [(1, 47.0)])[1].unmodelled
    odd = diagnosed(found, [(1, 5e6), (4, 100.0)])[1].unmodelled
    assert fits < prior * 1.5
    assert odd > 10 * prior


def test_over_range_where_a_value_should_be_is_no_proof_by_itself() -> None:
    """A probe that did not touch: repeated with a value, the open is taken back."""
    _, once = diagnosed(model(), [(0, math.inf)])
    _, then = diagnosed(model(), [(0, math.inf), (0, 100.0), (0, 100.0)])
    assert once.sound < 0.1
    assert then.sound > once.sound
    assert then.slip[0] > 0.8
    assert then.slip[1:].max() < 0.05


def test_a_claim_waits_for_a_second_reading() -> None:
    """An open carried by one reading alone is doubted; another way round it may be claimed."""
    _, one = diagnosed(model(), [(1, 47.0), (0, math.inf), (4, 100.0)])
    assert one.claimed is None


#   BATP --W1-- CU.1      BATP --W2-- T.1 [R 100] T.2 --W3-- CU.2      BATM --W4-- CU.3
POWERED = loom(
    "W1 BATP CU.1\nW2 BATP T.1\nW3 T.2 CU.2\nW4 BATM CU.3",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2"},
    """
    LOAD UNIT.1 UNIT.3 resistor ohm=50
    IN UNIT.2 UNIT.3 input ohm=400
    R S.1 S.2 resistor ohm=100
    """,
    {"BATP": "battery_plus", "BATM": "battery_minus"},
)
VOLTS = ("volt CU.1 BATM", "volt CU.2 BATM", "volt CU.3 BATM", "volt T.1 BATM")
LIVE: dict[str, list[tuple[int, float]]] = {
    # 12 V over 100 and 400 ohm leave 9.6 V at the input
    "all as they should be": [(0, 12.0), (1, 9.6), (2, 0.0), (3, 12.0)],
    "no supply at one": [(0, 0.0), (1, 9.6)],
    "half the voltage": [(1, 5.0), (3, 12.0)],
    "a bad earth": [(2, 3.0), (0, 12.0), (1, 10.0)],
    "two at once": [(0, 7.0), (1, 6.5), (3, 12.0)],
}


@pytest.fixture(scope="module")
def live() -> Enumeration:
    # Half a volt either way on the range to 40 V.
    found = model(POWERED, assume=attrs.evolve(SURE, meter_counts=90.0))
    return Enumeration(found, [Probed.of(found, live_reading(text, 1)) for text in VOLTS])


def live_reading(text: str, value: float) -> Reading:
    return reading("R", text, value, state="key=on", off="")


@pytest.mark.parametrize("name", LIVE)
def test_probabilities_from_volts_are_those_of_enumeration(name: str, live: Enumeration) -> None:
    diagnosis = Diagnosis(live.model)
    for number, value in LIVE[name]:
        diagnosis.add(Probe.of(live_reading(VOLTS[number], value)), value)
    posterior, wanted = diagnosis.posterior(), live.believed(LIVE[name], diagnosis)
    assert posterior.sound == pytest.approx(wanted.sound, abs=0.02)
    assert posterior.place == pytest.approx(wanted.place, abs=0.02)

"""The reading offered next against all admissible ones, weighed by brute force."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest

from loomwright import standards
from loomwright.diagnosis import (
    Admissible,
    Advisor,
    Diagnosis,
    Model,
    Probe,
    Totals,
    Weights,
    should_stop,
)
from loomwright.diagnosis.harm import Attempt, cautions
from loomwright.loom import Job, MeterRange
from sample.drawn import loom, reading
from sample.enumeration import SURE, Enumeration, Probed

#   CU.1 --W1-- T.1 [R 100] T.2 --W2-- CU.2
#   CU.3 --W3-- V.1 [Q  47] V.2 --W4-- E1 --> metal
SMALL = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2", "V": "D: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100\nQ D.1 D.2 resistor ohm=47",
    {"E1": "earth"},
)
KINDS = {"open", "high_resistance", "short_to_earth"}


def model(job: Job) -> Model:
    """Single faults of three kinds only, and nothing shared uncertain."""
    rates = tuple(rate for rate in standards.all_fault_rates() if rate.kind in KINDS)
    totals = Totals(sound=0.1, one=0.9, two=1e-9, unmodelled=1e-9)
    return Model(job, assume=SURE, weights=Weights(job, rates=rates, totals=totals))


READ: dict[str, list[tuple[str, float]]] = {
    "nothing yet": [],
    "an open circuit": [("ohm CU.1 CU.2", math.inf)],
    "a high circuit": [("ohm CU.1 CU.2", 900.0)],
    "a leak": [("ohm CU.1 E1", 150.0)],
    "one side good": [("ohm CU.1 CU.2", 100.0)],
}


@pytest.mark.parametrize("name", READ)
def test_the_first_choice_is_nearly_the_best_of_all(name: str) -> None:
    found = model(SMALL)
    diagnosis = Diagnosis(found)
    taken = [reading(f"R{n}", text, value) for n, (text, value) in enumerate(READ[name])]
    for each in taken:
        diagnosis.add(Probe.of(each), each.value)
    advisor = Advisor(diagnosis)
    posterior = diagnosis.posterior()
    now = advisor.situation()
    # Volts need a battery, which this loom has not: all candidates are ohms.
    every = Admissible(found).candidates(now, [plug.plug for plug in SMALL.plugs])
    fresh = [c for c in every if c.probe not in {t.probe for t in diagnosis.taken}]
    nodes = found.network.node_of
    probes = [
        Probed("ohm", c.probe.setting, nodes[c.probe.plus], nodes[c.probe.minus]) for c in fresh
    ]
    whole = Enumeration(
        found, [*probes, *(Probed.of(found, each) for each in taken)], pairs=False, fine=80
    )
    said = [(len(probes) + n, each.value) for n, each in enumerate(taken)]
    mass = whole.weight * whole.likelihood(said, diagnosis.slips)
    mass /= mass.sum()
    label = np.array([
        0 if not numbers else 1 + diagnosis.place_of[numbers[0]] for numbers in whole.members
    ])  # fmt: skip
    bits = [whole.information(n, mass, label) for n in range(len(fresh))]
    of_label = np.bincount(label, mass)
    unknown = -sum(p * math.log2(p) for p in of_label if p > 0)
    rate = {
        c.probe: b / c.shared_minutes(unknown / b) if b > 0 else 0.0
        for c, b in zip(fresh, bits, strict=True)
    }
    best = max(rate.values())
    offered = advisor.suggest(posterior)
    assert offered
    first = offered[0]
    assert rate[first.candidate.probe] >= 0.9 * best
    by_probe = dict(zip((c.probe for c in fresh), bits, strict=True))
    assert first.bits == pytest.approx(by_probe[first.candidate.probe], abs=0.15)


def test_no_offered_reading_is_one_the_gate_refuses() -> None:
    found = model(SMALL)
    diagnosis = Diagnosis(found)
    advisor = Advisor(diagnosis)
    loom_ = found.network.topology
    for each in advisor.suggest(diagnosis.posterior(), count=10):
        probe = each.candidate.probe
        attempt = Attempt(
            loom_, "ohm", (probe.plus, probe.minus), probe.setting.as_state, probe.setting.unplugged
        )
        assert not any(said.refuses for said in cautions(attempt))


def test_offers_are_ranked_and_differ() -> None:
    diagnosis = Diagnosis(model(SMALL))
    offered = Advisor(diagnosis).suggest(diagnosis.posterior(), count=3)
    rates = [each.per_minute for each in offered]
    assert rates == sorted(rates, reverse=True)
    assert 2 <= len({each.candidate.probe for each in offered}) == len(offered)
    for each in offered:
        assert each.bits > 0
        assert all(low <= high for _, low, high in each.expected)


def test_a_loom_read_to_the_end_needs_no_more() -> None:
    """Every circuit read as it should be and again: what is left is not worth the minutes."""
    assert should_stop(Diagnosis(model(SMALL)).posterior(), [])
    diagnosis = Diagnosis(model(SMALL))
    advisor = Advisor(diagnosis)
    assert not should_stop(diagnosis.posterior(), advisor.suggest(diagnosis.posterior()))


def test_the_same_seed_offers_the_same() -> None:
    diagnosis = Diagnosis(model(SMALL))
    posterior = diagnosis.posterior()
    one, two = (Advisor(diagnosis, seed=3).suggest(posterior) for _ in range(2))
    assert [attrs.astuple(each, recurse=False) for each in one] == [
        attrs.astuple(each, recurse=False) for each in two
    ]


def test_what_lies_beyond_the_meter_tells_nothing() -> None:
    """A meter to 50 ohm shows OL for the sound 100 ohm as for the open: no bit in that."""
    short_range = attrs.evolve(
        SMALL, meters=(MeterRange(meter="M", quantity="ohm", full_scale=50.0),)
    )
    rates = tuple(rate for rate in standards.all_fault_rates() if rate.kind == "open")
    totals = Totals(sound=0.5, one=0.5, two=1e-9, unmodelled=1e-9)
    weights = Weights(short_range, rates=rates, totals=totals)
    diagnosis = Diagnosis(Model(short_range, assume=SURE, weights=weights))
    for each in Advisor(diagnosis).suggest(diagnosis.posterior(), count=10):
        probe = each.candidate.probe
        ends = {str(probe.plus), str(probe.minus)}
        assert ends != {"CU.1", "CU.2"}

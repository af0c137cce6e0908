"""Prior weights: rates as tabled, the survey and heat as factors, places counted once."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest

from loomwright import standards
from loomwright.diagnosis import Diagnosis, Fault, Model, Weights
from loomwright.loom import Branch, Job, OwnFigure, SurveyRow, Zone
from sample.drawn import loom

#   CU.1 --W1-- T.1 [S] T.2 --W2-- CU.2       CU.3 --W3-- E1
BASE = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100",
    {"E1": "earth"},
)


def fault(job: Job, kind: str, item: str, where: str = "shunt") -> Fault:
    """The fault of a kind that names an item, on a wire, a contact, or across two points."""
    model = Model(job)
    (found,) = (
        each
        for each in model.faults
        if each.kind == kind
        and item in each.items
        and where == (model.network.edges[each.edge].kind if each.edge >= 0 else "shunt")
    )
    return found


def ratio(changed: Job, kind: str, item: str, where: str = "shunt") -> float:
    """How many times likelier the changed job makes it."""
    return fault(changed, kind, item, where).weight / fault(BASE, kind, item, where).weight


def surveyed(*rows: SurveyRow) -> Job:
    return attrs.evolve(BASE, survey=rows)


def test_own_weights_take_the_place_of_the_shipped_ones() -> None:
    """The root of four times the rate is twice the weight; a factor counts as it stands."""
    shipped = standards.figure("rate-open-contact").value
    own = (OwnFigure(name="rate-open-contact", value=4 * shipped),)
    job = attrs.evolve(BASE, settings=own)
    assert ratio(job, "open", "CU.1", "contact") == pytest.approx(2.0)
    assert ratio(job, "open", "W1", "wire") == pytest.approx(1.0)
    grade = SurveyRow(item="T", aspect="shell", grade=2)
    usual = surveyed(grade)
    other = attrs.evolve(usual, settings=(OwnFigure(name="survey-shell-2", value=9.0),))
    factor = standards.survey_factor("shell", 2).factor
    assert ratio(other, "open", "T.1", "contact") == pytest.approx(9.0)
    assert ratio(usual, "open", "T.1", "contact") == pytest.approx(factor)


def test_a_wire_carries_its_own_rate_and_that_of_its_two_crimps() -> None:
    """With every rate of the table put at 1: wire + crimp + crimp, and one contact."""
    even = tuple(attrs.evolve(rate, weight=1.0) for rate in standards.all_fault_rates())
    model = Model(BASE, weights=Weights(BASE, rates=even))
    kinds = {edge: model.network.edges[edge].kind for edge in range(len(model.network.edges))}
    opens = [(kinds[f.edge], f.items, f.weight) for f in model.faults if f.kind == "open"]
    assert {weight for kind, items, weight in opens if "W1" in items} == {3.0}
    assert {weight for kind, _, weight in opens if kind == "contact"} == {1.0}


@pytest.mark.parametrize(("aspect", "grade"), [("boot", 3), ("terminal", 4), ("shell", 2)])
def test_a_graded_plug_makes_its_contacts_likelier_by_the_tabled_factor(
    aspect: str, grade: int
) -> None:
    job = surveyed(SurveyRow(item="T", aspect=aspect, grade=grade))
    factor = standards.survey_factor(aspect, grade).factor
    assert factor > 1
    assert ratio(job, "high_resistance", "T.1", "contact") == pytest.approx(factor)
    assert fault(job, "short_to_earth", "W1").weight == fault(BASE, "short_to_earth", "W1").weight


def test_cracked_insulation_makes_shorts_of_that_wire_likelier() -> None:
    job = surveyed(SurveyRow(item="W1", aspect="insulation", grade=4))
    factor = standards.survey_factor("insulation", 4).factor
    assert ratio(job, "short_to_earth", "W1") == pytest.approx(factor)
    assert ratio(job, "short_to_earth", "W2") == 1


@pytest.mark.parametrize(
    ("left", "grade"), [(24, 0), (22, 1), (18, 2), (12, 3), (11, 4), (0, 4)]
)  # of 24: above nine tenths, three quarters, half, below
def test_strands_left_count_as_a_grade(left: int, grade: int) -> None:
    wires = tuple(attrs.evolve(wire, strands=24) for wire in BASE.wires)
    counted = attrs.evolve(
        BASE, wires=wires, survey=(SurveyRow(item="W1", aspect="strands", strands_left=left),)
    )
    graded = attrs.evolve(
        BASE, wires=wires, survey=(SurveyRow(item="W1", aspect="strands", grade=grade),)
    )
    for kind in ("open", "high_resistance"):
        by_count, by_grade = (fault(job, kind, "W1", "wire").weight for job in (counted, graded))
        assert by_count == pytest.approx(by_grade)


def test_grades_of_two_aspects_multiply() -> None:
    rows = (
        SurveyRow(item="T", aspect="boot", grade=3),
        SurveyRow(item="T", aspect="terminal", grade=3),
    )
    wanted = math.prod(standards.survey_factor(row.aspect, 3).factor for row in rows)
    found = ratio(surveyed(*rows), "high_resistance", "T.1", "contact")
    assert found == pytest.approx(wanted)


@pytest.mark.parametrize("soak", [40.0, 110.0, 160.0])
def test_a_hot_zone_makes_shorts_of_the_wires_in_it_likelier(soak: float) -> None:
    hot = attrs.evolve(
        BASE,
        zones=(Zone(zone="Z", soak_c=soak),),
        branches=(Branch(branch="B", from_place="a", to_place="b", zone="Z"),),
        wires=(attrs.evolve(BASE.wires[0], branches=("B",)), *BASE.wires[1:]),
    )
    assert ratio(hot, "short_to_earth", "W1") == pytest.approx(standards.heat_factor(soak).factor)
    assert ratio(hot, "short_to_earth", "W3") == 1


def test_the_posterior_of_no_readings_is_the_prior_and_follows_the_survey() -> None:
    graded = surveyed(SurveyRow(item="T", aspect="terminal", grade=4))
    for job in (BASE, graded):
        model = Model(job)
        posterior = Diagnosis(model).posterior()
        totals = model.weights.totals
        whole = totals.sound + totals.one + totals.two + totals.unmodelled
        assert posterior.sound == pytest.approx(totals.sound / whole)
        assert posterior.unmodelled == pytest.approx(totals.unmodelled / whole)
        w = model.weight
        # One fault, or two of which this is either: w_i (one + 2 two (1 - w_i) / (1 - sum w2)).
        pairs = 2 * totals.two * w * (1 - w) / (1 - (w**2).sum())
        assert posterior.fault == pytest.approx((totals.one * w + pairs) / whole)


def test_a_graded_plug_leads_before_any_reading() -> None:
    job = surveyed(SurveyRow(item="T", aspect="terminal", grade=4))
    diagnosis = Diagnosis(Model(job))
    posterior = diagnosis.posterior()
    best = posterior.best
    assert best is not None
    assert {"T.1", "T.2"} <= set(diagnosis.places[best].items)


def test_weights_of_one_fault_add_up() -> None:
    model = Model(BASE)
    assert model.weight.sum() == pytest.approx(1.0)
    assert (model.weight > 0).all()
    assert np.isfinite(model.weight).all()


def test_a_short_between_two_wires_is_not_one_to_earth() -> None:
    """The table's `short_between` of a wire is "two wires of a bundle", never wire and metal."""
    model = Model(BASE)
    earth = model.network.earth
    for each in model.faults:
        if each.kind == "short_between":
            assert earth not in each.nodes, each.items

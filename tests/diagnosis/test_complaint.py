"""The complaint in the prior: bounded, never against what has the effect, nothing when silent."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import attrs
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.bootstrap import jobs
from loomwright.diagnosis import Model
from loomwright.diagnosis.complaint import combined, complaint_factor, complaint_of
from loomwright.loom import Job, OwnFigure
from loomwright.loom.errors import NotFound
from loomwright.loom.schema.bench_tables import SYMPTOMS
from reference.looms import make_job
from sample.drawn import loom

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"


@cache
def read() -> Job:
    return jobs().read(DEMO)


def saying(*symptoms: str, job: Job | None = None) -> Model:
    job = job or read()
    return Model(attrs.evolve(job, about=attrs.evolve(job.about, symptoms=symptoms)))


def test_without_a_symptom_the_weights_are_exactly_the_rates() -> None:
    model = saying()
    raw = np.array([fault.weight for fault in model.faults])
    assert complaint_of(model) is None
    assert complaint_factor(model) == 1.0
    assert (model.weight == raw / raw.sum()).all()


@pytest.mark.parametrize("symptom", SYMPTOMS)
def test_every_symptom_speaks_for_some_faults_and_within_the_cap(symptom: str) -> None:
    model = saying(symptom)
    factor = np.asarray(complaint_factor(model))
    assert factor.min() == 1.0
    assert 1.9 < factor.max() <= model.values["complaint_cap"]
    raw = np.array([fault.weight for fault in model.faults])
    assert model.weight == pytest.approx(raw * factor / (raw * factor).sum())


def test_hot_start_speaks_for_series_resistance_at_the_sensor() -> None:
    """From trade practice: series resistance matters hot, a leak matters cold."""
    hot, cold = saying("hot_start"), saying("cold_no_start")
    faults = hot.faults
    series = next(
        n for n, f in enumerate(faults) if f.kind == "high_resistance" and f.items == ("TE.1",)
    )
    leak = next(n for n, f in enumerate(faults) if f.kind == "leak" and f.items[0] == "W32")
    in_hot, in_cold = complaint_of(hot), complaint_of(cold)
    assert in_hot is not None
    assert in_cold is not None
    assert in_hot.factor[series] > 4.0
    assert in_hot.speaks_for(series) == (("hot_start", "engine_colder"),)
    assert in_hot.factor[leak] == 1.0
    assert in_cold.factor[series] == 1.0
    assert in_cold.factor[leak] > 1.5


def test_several_symptoms_are_capped_by_the_jobs_own_figure() -> None:
    job = attrs.evolve(read(), settings=(OwnFigure(name="complaint_cap", value=3.0),))
    factor = np.asarray(complaint_factor(saying("hot_start", "runs_rich", job=job)))
    assert factor.max() == 3.0


def test_a_symptom_said_twice_counts_once() -> None:
    once, twice = saying("hot_start"), saying("hot_start", "hot_start")
    assert (once.weight == twice.weight).all()


def test_swapped_cavities_keep_their_share() -> None:
    job = make_job(45, seed=3)
    silent, said = saying(job=job), saying("one_cylinder", job=job)
    swap = silent.is_swap
    assert swap.any()
    assert said.weight[swap] == pytest.approx(silent.weight[swap], rel=1e-12)


def test_an_unknown_symptom_is_named() -> None:
    with pytest.raises(NotFound):
        complaint_factor(saying("grumbles"))


BARE = {
    "no control unit": loom(
        "W1 A.1 B.1", {"A": "D: 1 2", "B": "S: 1 2"}, "R D.1 D.2 resistor ohm=9"
    ),
    "no battery": loom(
        "W1 CU.1 T.1\nW2 CU.2 T.2",
        {"CU": "UNIT: 1 . 2", "T": "S: 1 . 2"},
        "IN UNIT.1 UNIT.2 input ohm=1e5\nQ S.1 S.2 winding ohm=16",
    ),
    "one input only": loom(
        "W1 CU.1 E1\nW2 CU.2 E1",
        {"CU": "UNIT: 1 . 2"},
        "IN UNIT.1 UNIT.2 input pull_up_ohm=1000 pull_up_v=5",
        {"E1": "earth", "BP": "battery_plus", "BM": "battery_minus"},
    ),
}


@pytest.mark.parametrize("name", BARE)
def test_a_complaint_about_a_bare_loom_weighs_what_can_be_reckoned(name: str) -> None:
    factor = np.asarray(complaint_factor(saying(*SYMPTOMS, job=BARE[name])))
    assert np.isfinite(factor).all()
    assert (factor >= 1.0).all()


factors = st.lists(st.floats(1.0, 10.0), min_size=4, max_size=4).map(np.array)
keys = st.tuples(st.sampled_from("ab"), st.sampled_from("xyz"))
tables = st.dictionaries(keys, factors, min_size=1)


@given(table=tables, cap=st.floats(1.0, 20.0))
def test_the_factor_lies_between_one_and_the_cap(table: dict, cap: float) -> None:
    found = combined(table, cap)
    assert (found >= 1.0).all()
    assert (found <= cap).all()


@given(table=tables, more=factors, key=keys)
def test_a_further_effect_never_lowers_a_factor(
    table: dict, more: np.ndarray, key: tuple[str, str]
) -> None:
    before = combined({k: v for k, v in table.items() if k != key} or {("a", "w"): more * 0 + 1}, 8)
    after = combined({**table, key: more}, 8)
    assert (after >= before - 1e-12).all()


@given(table=tables)
def test_what_has_every_effect_at_least_as_much_is_at_least_as_likely(table: dict) -> None:
    better = {key: np.append(value, value.max()) for key, value in table.items()}
    found = combined(better, 8.0)
    assert found[-1] == found.max()

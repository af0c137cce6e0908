"""Swapped cavities against a job written down with the two wires exchanged."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest

from loomwright.circuit import Ports
from loomwright.diagnosis import Diagnosis, Hypotheses, Model, Setting
from loomwright.diagnosis.harm import control_plugs
from loomwright.loom import Job, OwnFigure, Point, State
from reference.faults import swapped_job
from reference.looms import make_job
from sample.drawn import loom
from sample.scenarios import ours

NONE: list[tuple[int, float]] = []
STATES = ("", "key=on", "throttle=open")


def swaps(model: Model) -> list[int]:
    return np.flatnonzero(model.is_swap).tolist()


@pytest.mark.parametrize("wires", [12, 24])
@pytest.mark.parametrize("plugged", [True, False])
def test_two_wires_in_each_others_cavity(wires: int, plugged: bool) -> None:
    job = make_job(wires, seed=2)
    model = Model(job)
    rng = np.random.default_rng(3)
    control = () if plugged else control_plugs(model.network.topology)
    moved = 0
    for number in rng.permutation(swaps(model))[:8].tolist():
        one, other = model.faults[number].swap or ()
        written = Model(swapped_job(job, one, other))
        for text in STATES:
            setting = Setting.of(State.parse(text), control)
            for _ in range(6):
                a, b = rng.choice(len(model.network.points), 2, replace=False)
                pair = tuple(written.network.node_of[model.network.points[n]] for n in (a, b))
                ohm, volt = ours(model, setting, [(number, 0.0)], (int(a), int(b)))
                ohm2, volt2 = ours(written, setting, NONE, pair)
                assert math.isinf(ohm) == math.isinf(ohm2)
                if math.isfinite(ohm):
                    assert ohm == pytest.approx(ohm2, rel=1e-9, abs=1e-9)
                assert volt == pytest.approx(volt2, rel=1e-9, abs=1e-9)
                base = ours(model, setting, NONE, (int(a), int(b)))[0]
                moved += not math.isclose(base, ohm, rel_tol=1e-6)
    assert moved > 3


#   CU.1 --W1-- T.1 [100] T.2 --W2-- CU.2      T.1 [47] T.3 --W3-- CU.3
CROSSED: Job = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 T.3",
    {"CU": "UNIT: 1 2 3", "T": "D: 1 2 3"},
    "IN UNIT.1 UNIT.2 input ohm=1e6\nR D.1 D.2 resistor ohm=100\nR3 D.3 D.1 resistor ohm=47",
)


@pytest.mark.parametrize(
    ("swapped", "between", "sound", "read"),
    [
        ({"T.1", "T.2"}, ("CU.1", "CU.2"), 100.0, 100.0),
        ({"T.1", "T.2"}, ("CU.1", "CU.3"), 47.0, 147.0),
        ({"T.2", "T.3"}, ("CU.1", "CU.2"), 100.0, 47.0),
        ({"T.2", "T.3"}, ("CU.1", "CU.3"), 47.0, 100.0),
    ],
)
def test_a_swap_read_by_hand(
    swapped: set[str], between: tuple[str, str], sound: float, read: float
) -> None:
    model = Model(CROSSED)
    setting = Setting.of(State(), ("CU",))
    pair = tuple(model.network.node_of[Point.parse(text)] for text in between)
    (number,) = (n for n in swaps(model) if swapped <= set(model.faults[n].items))
    assert ours(model, setting, NONE, pair)[0] == pytest.approx(sound, abs=0.2)
    assert ours(model, setting, [(number, 0.0)], pair)[0] == pytest.approx(read, abs=0.2)


def test_a_swap_beyond_the_probes_moves_nothing() -> None:
    """With the plug off, only its own two cavities trade places."""
    model = Model(CROSSED)
    setting = Setting.of(State(), ("CU", "T"))
    probes = Ports.shunt(*(np.array([model.network.node_of[Point("D", pin)]]) for pin in "13"))
    for number in swaps(model):
        assert not len(model.swaps.read(np.array([number]), model.solved(setting), probes).row)


def test_prior_of_all_singles_adds_up_to_sound_and_one_fault() -> None:
    model = Model(make_job(12))
    totals = model.weights.totals
    share: Hypotheses = model.singles
    assert np.exp(share.log_prior).sum() == pytest.approx(totals.sound + totals.one)


def test_settings_that_mean_the_same_are_one() -> None:
    one = Setting.of(State.parse("throttle=shut; engine_c=20"), ("CU", "T1"))
    other = Setting.of(State.parse("engine_c=20; key=off"), ("T1", "CU"))
    assert one == other
    assert hash(one) == hash(other)


def test_cells_cover_the_range_of_a_magnitude_evenly_in_its_logarithm() -> None:
    for fault in Model(make_job(12)).faults:
        cells = fault.magnitudes()
        if fault.size == "none":
            assert cells.tolist() == [0.0]
            continue
        width = fault.cell_width()
        edges = np.concatenate([np.log(cells) - width / 2, [np.log(cells[-1]) + width / 2]])
        assert edges[[0, -1]] == pytest.approx(np.log([fault.low, fault.high]), abs=1e-9)
        assert np.diff(edges) == pytest.approx(np.full(len(cells), width))


def test_rows_that_refer_to_nothing_are_left_out_of_the_faults_too() -> None:
    """As the network leaves them out: W2 ends at a plug that is not there."""
    job = loom("W1 CU.1 E1\nW2 CU.2 ZZ.1", {"CU": ": 1 2"}, "", {"E1": "earth"})
    assert {item for fault in Model(job).faults for item in fault.items} >= {"W1"}


def test_a_jobs_own_figures_take_the_place_of_the_defaults() -> None:
    job = attrs.evolve(
        make_job(12, 1),
        settings=(
            OwnFigure(name="contact_resistance", value=50.0),
            OwnFigure(name="prior_no_fault", value=0.4),
            OwnFigure(name="outlier_probability", value=0.02),
        ),
    )
    model = Model(job)
    assert model.assume.contact_ohm == pytest.approx(0.050 - model.assume.crimp_ohm)
    assert model.weights.totals.sound == pytest.approx(0.4)
    assert Diagnosis(model).slips.stray == pytest.approx(0.02)
    assert Model(make_job(12, 1)).assume.contact_ohm < 0.01

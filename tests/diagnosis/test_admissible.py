"""Candidates: none the gate refuses, none twice, minutes only for what is still to be done."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright import standards
from loomwright.diagnosis import Admissible, Candidate, Model, Probe, Setting, Situation
from loomwright.diagnosis.harm import Attempt, cautions
from loomwright.loom import Job, Point, State
from loomwright.storage.job_folder import JobFolder
from reference.looms import make_job

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"
MINUTES = {name: row.value for name, row in standards.defaults().items()}


def jobs() -> list[Job]:
    return [JobFolder().read(DEMO), make_job(12, 3), make_job(24, 4)]


def laid_out(job: Job, state: str = "") -> tuple[Admissible, list[Candidate]]:
    admissible = Admissible(Model(job))
    now = Situation(state=State.parse(state))
    return admissible, admissible.candidates(now, [plug.plug for plug in job.plugs])


@pytest.mark.parametrize("state", ["", "key=on; throttle=open", "key=start; engine_c=90"])
def test_no_candidate_is_one_the_gate_refuses(state: str) -> None:
    for job in jobs():
        admissible, found = laid_out(job, state)
        assert found
        for each in found:
            probe = each.probe
            attempt = Attempt(
                admissible.model.network.topology,
                probe.quantity,  # type: ignore[arg-type]
                (probe.plus, probe.minus),
                probe.setting.as_state,
                probe.setting.unplugged,
            )
            assert not [said.rule for said in cautions(attempt) if said.refuses], probe


def test_every_candidate_touches_two_different_points_of_the_loom_once() -> None:
    for job in jobs():
        admissible, found = laid_out(job)
        assert len({each.probe for each in found}) == len(found)
        for each in found:
            assert admissible.model.nodes(each.probe) is not None, each.probe
            assert each.probe.plus != each.probe.minus
            assert each.minutes > 0


def cost(now: Situation, off: str = "CU", state: str = "") -> float:
    admissible = Admissible(Model(make_job(12, 1)))
    setting = Setting.of(State.parse(state), off.split())
    probe = Probe("ohm", Point("CU", "1"), Point("BMINUS"), setting)
    return admissible.candidate(probe, now).minutes


def test_a_plug_that_is_off_already_costs_its_minutes_once() -> None:
    closed, opened = Situation(state=State()), Situation(state=State(), opened=frozenset({"CU"}))
    assert cost(opened) == pytest.approx(MINUTES["minutes_per_ohm_reading"])
    assert cost(closed) - cost(opened) == pytest.approx(MINUTES["access_minutes_control_unit"])


def test_a_second_plug_costs_its_own_minutes_only() -> None:
    opened = Situation(state=State(), opened=frozenset({"CU"}))
    both = Situation(state=State(), opened=frozenset({"CU", "T1"}))
    extra = cost(opened, "CU T1") - cost(opened)
    assert extra in {MINUTES[f"access_minutes_{kind}"] for kind in ("wing", "engine")}
    assert cost(both, "CU T1") == cost(opened)


def test_a_state_costs_its_minutes_until_it_is_set() -> None:
    shut = Situation(state=State(), opened=frozenset({"CU"}))
    opened = Situation(state=State.parse("throttle=open"), opened=frozenset({"CU"}))
    helper = MINUTES["second_person_minutes"] / 2
    assert cost(shut, state="throttle=open") - cost(shut) == pytest.approx(helper)
    assert cost(opened, state="throttle=open") == cost(shut)


def test_turning_the_key_needs_nobody_else() -> None:
    off = Situation(state=State(), opened=frozenset({"CU"}))
    key = cost(off, state="key=on") - cost(off)
    assert key == pytest.approx(MINUTES["turn_key_minutes"])
    assert cost(off, state="key=start") - cost(off) == pytest.approx(
        MINUTES["second_person_minutes"] / 2
    )


def test_a_state_is_shared_by_a_few_readings_only() -> None:
    probe = Probe("ohm", Point("CU", "1"), Point("E1"), Setting.of(State(), ("CU",)))
    each = Candidate(probe, minutes=5.5, once=4.0, sharing=20, to_set=1.0)
    assert each.shared_minutes(1.0) == pytest.approx(5.5)
    assert each.shared_minutes(100.0) == pytest.approx(0.5 + 4.0 / 20 + 1.0 / 4)


def test_warming_the_engine_costs_once() -> None:
    cold = Situation(state=State.parse("engine_c=15"), opened=frozenset({"CU"}))
    warm = Situation(state=State.parse("engine_c=80"), opened=frozenset({"CU"}))
    assert cost(cold, state="engine_c=80") - cost(warm, state="engine_c=80") == pytest.approx(
        MINUTES["warm_engine_minutes"]
    )


def test_back_probing_costs_a_share_of_opening_and_only_the_first_time() -> None:
    admissible = Admissible(Model(make_job(12, 1)))
    setting = Setting.of(State(), ("CU",))
    probe = Probe("ohm", Point("T1", "1"), Point("E1"), setting)
    fresh = Situation(state=State(), opened=frozenset({"CU"}))
    touched = Situation(state=State(), opened=frozenset({"CU"}), touched=frozenset({"T1"}))
    share = MINUTES["back_probe_access_share"] * admissible.access["T1"]
    found = (
        admissible.candidate(probe, fresh).minutes - admissible.candidate(probe, touched).minutes
    )
    assert found == pytest.approx(share)


@given(once=st.floats(0.0, 60.0), readings=st.floats(0.0, 200.0), sharing=st.integers(1, 60))
def test_what_is_paid_once_is_shared_but_never_beyond_its_readings(
    once: float, readings: float, sharing: int
) -> None:
    probe = Probe("ohm", Point("CU", "1"), Point("E1"), Setting.of(State(), ("CU",)))
    each = Candidate(probe, 0.5 + once, once, sharing)
    shared = each.shared_minutes(readings)
    assert 0.5 + once / sharing - 1e-9 <= shared <= each.minutes + 1e-9
    assert each.shared_minutes(readings + 1.0) <= shared + 1e-9
    assert each.shared_minutes(1.0) == pytest.approx(each.minutes)


def test_the_control_plug_serves_as_many_readings_as_it_has_pairs_of_cavities() -> None:
    admissible = Admissible(Model(make_job(24, 4)))
    probe = Probe("ohm", Point("CU", "1"), Point("BMINUS"), Setting.of(State(), ("CU",)))
    found = admissible.candidate(probe, Situation(state=State()))
    assert found.once == pytest.approx(MINUTES["access_minutes_control_unit"])
    assert found.sharing == 1 + len(admissible.wired["CU"]) // 2
    again = admissible.candidate(probe, Situation(state=State(), opened=frozenset({"CU"})))
    assert (again.once, again.sharing) == (0.0, 1)


def test_hot_and_locked_plugs_take_longer() -> None:
    access = Admissible(Model(JobFolder().read(DEMO))).access
    by_zone = {"TE": "engine", "AV": "exhaust", "PS": "wing", "TH": "engine", "CU": "control_unit"}
    for plug, kind in by_zone.items():
        assert access[plug] == MINUTES[f"access_minutes_{kind}"], plug


def test_only_the_control_plug_is_probed_where_no_other_is_suspect() -> None:
    job = make_job(12, 1)
    admissible = Admissible(Model(job))
    assert admissible.control == ("CU",)
    near = admissible.candidates(Situation(state=State()), [])
    plugs = {plug.plug for plug in job.plugs}
    assert {each.probe.plus.owner for each in near} & plugs == {"CU"}


def test_a_joint_has_to_be_reached_once() -> None:
    admissible = Admissible(Model(make_job(12, 1)))
    probe = Probe("ohm", Point("CU", "1"), Point("E1"), Setting.of(State(), ("CU",)))
    fresh = Situation(state=State(), opened=frozenset({"CU"}))
    touched = Situation(state=State(), opened=frozenset({"CU"}), touched=frozenset({"E1"}))
    found = (
        admissible.candidate(probe, fresh).minutes - admissible.candidate(probe, touched).minutes
    )
    assert found == pytest.approx(MINUTES["access_minutes_joint"])

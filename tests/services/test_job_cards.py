"""Cards of the demo job: one per item, all steps once, only parts that fit, trials of the same."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import Job
from loomwright.services.job_cards import PARTS_FOR, JobCard, Work
from loomwright.services.workup import WorkUp
from loomwright.standards.cures import cure_kinds
from sample.demo import demo_job, demo_known

OFFERS = ("only what failed", "all within reach", "everything", "what pays")


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


@pytest.fixture(scope="module")
def done() -> WorkUp:
    return demo_known()


def card(work: Work, item: str) -> JobCard:
    return next(each for each in work.cards if each.item == item)


@pytest.mark.parametrize("offer", OFFERS)
def test_the_cards_together_are_the_order_of_work(offer: str) -> None:
    known = demo_known(offer)
    work = known.work
    steps = [step for each in work.cards for step in each.steps]
    key = attrs.astuple
    assert sorted(map(key, (*work.before, *steps, *work.after))) == sorted(
        map(key, known.plan.order)
    )
    assert all(each.cures for each in work.cards)
    assert work.why_none == ""


def test_the_frame_opens_with_the_battery_and_ends_with_the_proof(done: WorkUp) -> None:
    assert "battery off" in [step.name for step in done.work.before]
    assert [step.name for step in done.work.after] == ["polarity", "power", "prove"]


def test_a_plug_has_its_wires_in_the_order_of_its_face(done: WorkUp) -> None:
    ends = card(done.work, "TH").ends
    assert [(str(end.here), end.wire, str(end.far_end)) for end in ends] == [
        ("TH.1", "W37", "CU.12"),
        ("TH.2", "W38", "CU.9"),
        ("TH.3", "W39", "CU.10"),
        ("TH.4", "W40", "CU.11"),
    ]


def test_a_branch_has_both_ends_of_its_wires_and_the_plug_at_its_end(done: WorkUp) -> None:
    branch = card(done.work, "B8")
    assert [str(end.here) for end in branch.ends] == ["SPP", "AV.1", "AV.2", "GE"]
    assert [str(sheet.plug.plug) for sheet in branch.faces] == ["AV"]
    assert {each.item for each in branch.conditions} == {"AV", "W23"}


def test_only_what_fits_is_put_on(done: WorkUp) -> None:
    """TE: tab 2.8 x 0.8, wire 0.75 mm², straight boot: one terminal and one boot of the demo."""
    parts = card(done.work, "TE").parts
    assert [(each.part.part, each.outcome) for each in parts] == [
        ("BOOT2-S", "fits"),
        ("REC28-S", "fits"),
    ]


def test_where_the_terminal_that_is_there_does_not_fit_another_is_found(done: WorkUp) -> None:
    """AV names REC28-S, for tabs of 0.8 mm; its tab is 0.5 mm thick as REC28-T wants."""
    branch = card(done.work, "B8")
    assert [each.part.part for each in branch.parts if each.part.kind == "terminal"] == ["REC28-T"]
    assert any("no grip" in problem for problem in branch.problems)


def test_trials_are_those_of_the_same_terminal_and_section(done: WorkUp) -> None:
    (line,) = card(done.work, "TE").crimps
    assert line.set_up is not None
    assert line.set_up.set_up == "S075"
    assert line.crimping.strip_mm == (4.0, 4.5)  # barrel 3.5 mm and 0.5 to 1 mm of brush
    (other,) = card(done.work, "B8").crimps
    assert other.set_up is None


def test_a_plug_that_is_cut_has_its_spare_wire(done: WorkUp) -> None:
    assert [each.plug for each in card(done.work, "TE").ledgers] == ["TE"]
    assert card(done.work, "I1").ledgers == ()


def test_the_suspects_of_the_readings_stand_at_their_plug(done: WorkUp) -> None:
    assert [each.kind for each in card(done.work, "TE").found] == ["high_resistance"]
    assert card(done.work, "I1").found == ()


def test_without_work_it_says_why(job: Job) -> None:
    nothing = WorkUp(attrs.evolve(job, survey=(), readings=(), proof=())).work
    assert nothing.cards == ()
    assert nothing.why_none.startswith("nothing was looked at and nothing was read yet")


def test_a_wire_end_to_end(job: Job) -> None:
    bare = attrs.evolve(job, branches=(), wires=tuple(
        attrs.evolve(wire, branches=()) for wire in job.wires
    ))  # fmt: skip
    wire = card(WorkUp(bare, offer="everything").work, "W23")
    assert wire.kind == "wire"
    assert [str(end.here) for end in wire.ends] == ["SPP", "AV.1"]


def test_parts_are_told_for_known_cures_only() -> None:
    assert set(PARTS_FOR) <= set(cure_kinds())

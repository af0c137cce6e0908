"""Results are kept until the job changes; what is at hand is never waited for."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import InputProblems, NotFound
from loomwright.services.entering import enter
from loomwright.services.workup import WorkUp
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.results import at_hand, forget, ready, worked_up
from sample import jobs

pytestmark = pytest.mark.django_db


@pytest.fixture
def small(db: None) -> str:
    """A job of a few wires, so that it is quickly worked out; its name."""
    DatabaseJobs().write("small", attrs.evolve(jobs.job(), proof=(), tasks=()))
    forget()
    return "small"


def test_nothing_is_ready_before_anybody_asked_for_it(small: str) -> None:
    assert ready(small) is None
    assert not at_hand(small).results.has("suspects")


def test_what_was_worked_out_is_ready(small: str) -> None:
    with worked_up(small) as worked:
        found = worked.results.suspects
    known = ready(small)
    assert known is not None
    assert known.has("suspects")
    assert known.suspects is found
    assert not known.has("work")


def test_a_ticked_step_leaves_it_and_a_reading_does_not(small: str) -> None:
    with worked_up(small) as worked:
        found = worked.results.suspects
    enter(BENCH, small, "tasks", {"step": "record", "item": "T1", "state": "done"})
    known = ready(small)
    assert known is not None
    assert known.suspects is found
    key = BENCH.rows.rows(small, "readings")[0].key
    enter(BENCH, small, "readings", {"value": "9.9"}, key=key)
    known = ready(small)
    assert known is not None
    assert not known.has("suspects")


def test_what_comes_after_the_diagnosis_leaves_what_it_found(small: str) -> None:
    with worked_up(small) as worked:
        found, judged = worked.results.suspects, worked.results.judge
    key = BENCH.rows.rows(small, "job")[0].key
    enter(BENCH, small, "job", {"offer": "only what failed", "labour_rate": "71"}, key=key)
    part = BENCH.rows.rows(small, "catalogue")[0]
    enter(BENCH, small, "catalogue", {"label": "another name"}, key=part.key)
    with worked_up(small) as worked:
        assert worked.results.suspects is found
        assert worked.results.judge is not judged
        assert found.json() == WorkUp(worked.results.job).suspects.json()
    enter(BENCH, small, "job", {"title": "Another title"}, key=key)
    with worked_up(small) as worked:
        assert worked.results.suspects.job == "Another title"


def test_a_reading_leaves_the_loom_as_it_was_worked_out(small: str) -> None:
    with worked_up(small) as worked:
        model, before = worked.results.model, worked.results.suspects.json()
    kept = BENCH.rows.rows(small, "readings")[0]
    enter(BENCH, small, "readings", {"value": "9.9"}, key=kept.key)
    with worked_up(small) as worked:
        assert worked.results.model is model
        found = worked.results.suspects.json()
        assert found != before
        assert found == WorkUp(worked.results.job).suspects.json()
        assert worked.results.expected == WorkUp(worked.results.job).expected


def test_what_somebody_is_at_work_on_is_not_shared_with_a_changed_job(small: str) -> None:
    with worked_up(small) as worked:
        model = worked.results.model
        key = BENCH.rows.rows(small, "readings")[0].key
        enter(BENCH, small, "readings", {"value": "9.9"}, key=key)
        with worked_up(small) as changed:  # nobody waits for what is out of date
            assert changed.results.model is not model


def test_another_wire_makes_another_loom(small: str) -> None:
    with worked_up(small) as worked:
        model = worked.results.model
    key = BENCH.rows.rows(small, "wires")[0].key
    enter(BENCH, small, "wires", {"length_mm": "777"}, key=key)
    with worked_up(small) as worked:
        assert worked.results.model is not model


def test_nobody_waits_for_what_is_at_hand(small: str) -> None:
    with worked_up(small) as worked:  # its lock lets nobody else in, not even this thread
        assert ready(small) is worked.results
        assert at_hand(small) is worked


def test_a_job_that_does_not_hold_together_has_nothing_ready(small: str) -> None:
    at_hand(small)
    row = BENCH.rows.rows(small, "wires")[0]
    BENCH.rows.put(small, "wires", row.key, {**row.cells, "to": "NOWHERE.1"})
    assert ready(small) is None
    with pytest.raises(InputProblems):
        at_hand(small)


def test_an_unknown_job_is_not_there() -> None:
    with pytest.raises(NotFound):
        ready("nobody")

"""The order of work: what the trade insists on, for any set of tasks."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import OutOfRange
from loomwright.repair.order import Step, Task, work_order
from loomwright.standards.cures import cure_kinds, cure_steps

ACCESS = {"intake": "take the intake off", "dash": "take the lower dash off"}
WORK = sorted(set(cure_kinds()) - {"leave"})


@st.composite
def tasks(draw: st.DrawFn) -> list[Task]:
    count = draw(st.integers(1, 6))
    found: list[Task] = []
    for n in range(count):
        earlier = [task.item for task in found]
        wishes = (
            st.lists(st.sampled_from(earlier), max_size=2, unique=True) if earlier else st.just([])
        )
        found.append(
            Task(
                item=f"T{n}",
                cure=draw(st.sampled_from(WORK)),
                opens=tuple(draw(st.lists(st.sampled_from(list(ACCESS)), max_size=2, unique=True))),
                after=tuple(draw(wishes)),
            )
        )
    return draw(st.permutations(found))


def places(steps: tuple[Step, ...]) -> dict[tuple[str, str], int]:
    return {(step.item, step.name): n for n, step in enumerate(steps)}


@given(tasks())
def test_every_step_comes_after_what_it_depends_on(some: list[Task]) -> None:
    steps = work_order(some, ACCESS)
    at = places(steps)
    assert len(at) == len(steps)  # nothing twice
    for task in some:
        names = [step.step for step in cure_steps(task.cure)]
        own = [at[task.item, name] for name in names]
        assert own == sorted(own)
        assert at["", "battery off"] < own[0]
        assert own[-1] < at["", "polarity"]
        for event in task.opens:
            assert at["", f"open {event}"] < own[0]
        for item in task.after:
            assert max(n for (where, _), n in at.items() if where == item) < own[0]


@given(tasks())
def test_one_plug_at_a_time(some: list[Task]) -> None:
    items = [step.item for step in work_order(some, ACCESS) if step.item]
    assert len(list(itertools.groupby(items))) == len(some)


@given(tasks())
def test_access_is_opened_once_and_power_comes_last(some: list[Task]) -> None:
    steps = work_order(some, ACCESS)
    names = [step.name for step in steps if not step.item]
    assert names[:3] == ["photograph", "tag", "battery off"]
    assert names[-3:] == ["polarity", "power", "prove"]
    opened = [name for name in names if name.startswith("open ")]
    assert sorted(opened) == sorted({f"open {event}" for task in some for event in task.opens})


def test_the_same_work_comes_in_the_order_it_was_given() -> None:
    some = [Task(item=name, cure="boot_only") for name in ("TB", "TA", "TC")]
    items = [step.item for step in work_order(some, {}) if step.item]
    assert list(dict.fromkeys(items)) == ["TB", "TA", "TC"]


def test_tasks_that_wait_for_each_other_are_named() -> None:
    some = [
        Task(item="TA", cure="boot_only", after=("TB",)),
        Task(item="TB", cure="boot_only", after=("TA",)),
    ]
    with pytest.raises(OutOfRange, match="TA, TB wait for each other"):
        work_order(some, {})


def test_a_wish_to_wait_for_nothing_is_named() -> None:
    with pytest.raises(OutOfRange, match='it shall wait for "TX"'):
        work_order([Task(item="TA", cure="boot_only", after=("TX",))], {})


def test_no_task_no_step() -> None:
    assert work_order([], ACCESS) == ()

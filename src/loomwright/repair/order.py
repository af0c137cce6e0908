"""The order of work: a dependency sort with hold points.

Record before anything is cut, battery off before anything is opened, boot and sleeve before the
terminal, one plug at a time, what comes apart together once; readings after the work at the end.
A person's own "after" joins in. Sorted by depth of dependency with the given order kept among
equals (Kahn, Comm. ACM 5 (1962) 558), so the same work always comes in the same order.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence

import attrs

from loomwright.loom.errors import OutOfRange
from loomwright.standards.cures import cure_steps

# The frame round every job: common practice, no published source.
_FRAME_FIRST = (
    ("photograph", "photograph the bay, every clip and every earth", False, ""),
    ("tag", "tag both halves of every plug that will come apart with the same mark", False, ""),
    (
        "battery off",
        "key off; battery minus off first and taped aside",
        True,
        "fuel stays under pressure after the engine stops: see to it before a fuel joint is opened",
    ),
)
_FRAME_LAST = (
    (
        "polarity",
        "with the control unit's plug still off, read supply and earth at its cavities",
        True,
        "a control unit on a wrong wire can be killed at once",
    ),
    (
        "power",
        "battery minus on; first power through a small fuse; control unit on last",
        True,
        "nobody near belts and fan; look for fuel at every joint",
    ),
    ("prove", "take the readings of the test sheet again, cold and hot", False, "hot metal"),
)


@attrs.frozen(kw_only=True)
class Task:
    """One cure at one item.

    Attributes
    ----------
    item : plug, wire or branch
    cure : kind of cure (`standards.cures`)
    opens : access events that have to be open for it
    after : items whose cures must be finished first, the person's own wish
    """

    item: str
    cure: str
    opens: tuple[str, ...] = ()
    after: tuple[str, ...] = ()


@attrs.frozen(kw_only=True)
class Step:
    """One step of the work.

    Attributes
    ----------
    item : plug, wire or branch; empty for the whole job
    name : the step's short name
    words : what to do
    hold : whether it needs a pass before going on
    caution : what can go wrong, may be empty
    """

    item: str
    name: str
    words: str
    hold: bool
    caution: str


def work_order(tasks: Sequence[Task], access: Mapping[str, str]) -> tuple[Step, ...]:
    """All steps of all tasks, each after what it depends on.

    Parameters
    ----------
    tasks : in the order in which one would like to do them
    access : what each access event is, in words

    Raises
    ------
    OutOfRange
        when an `after` names no task, or tasks wait for each other in a circle.
    """
    if not tasks:
        return ()
    steps: list[Step] = []
    after: list[set[int]] = []

    def add(step: Step, waits_for: set[int]) -> int:
        steps.append(step)
        after.append(waits_for)
        return len(steps) - 1

    last: set[int] = set()
    for name, words, hold, caution in _FRAME_FIRST:
        last = {add(Step(item="", name=name, words=words, hold=hold, caution=caution), set(last))}
    opened = {
        event: add(
            Step(item="", name=f"open {event}", words=access.get(event, f"open {event}"),
                 hold=False, caution=""),
            set(last),
        )
        for event in dict.fromkeys(event for task in tasks for event in task.opens)
    }  # fmt: skip
    finished: dict[str, int] = {}
    begun: list[tuple[Task, int]] = []
    ends = set(last) | set(opened.values())
    for task in tasks:
        before = set(last) | {opened[event] for event in task.opens}
        for number, step in enumerate(cure_steps(task.cure)):
            where = add(
                Step(item=task.item, name=step.step, words=step.words, hold=step.hold,
                     caution=step.caution),
                before,
            )  # fmt: skip
            if number == 0:
                begun.append((task, where))
            before = {where}
            finished[task.item] = where
            ends.add(where)
    for task, where in begun:
        for item in task.after:
            if item not in {each.item for each in tasks}:
                raise OutOfRange(
                    f'it shall wait for "{item}", on which nothing is done',
                    where=f"task {task.item}",
                    expected=f"name one of {', '.join(each.item for each in tasks)}",
                )
            after[where].add(finished.get(item, where))
    for name, words, hold, caution in _FRAME_LAST:
        ends = {add(Step(item="", name=name, words=words, hold=hold, caution=caution), set(ends))}
    return tuple(steps[number] for number in _sorted(steps, after))


def _sorted(steps: Sequence[Step], after: Sequence[set[int]]) -> list[int]:
    """Numbers in an order that keeps every dependency; one item at a time where it can be."""
    waiting = [len(before) for before in after]
    followers: list[list[int]] = [[] for _ in steps]
    for number, before in enumerate(after):
        for each in before:
            followers[each].append(number)
    ready = [number for number, count in enumerate(waiting) if count == 0]
    heapq.heapify(ready)
    order: list[int] = []
    while ready:
        here = steps[order[-1]].item if order else ""
        # Go on at the plug that is apart; else the earliest step that may be done.
        going_on = [number for number in ready if here and steps[number].item == here]
        number = min(going_on) if going_on else ready[0]
        ready.remove(number)
        heapq.heapify(ready)
        order.append(number)
        for each in followers[number]:
            waiting[each] -= 1
            if waiting[each] == 0:
                heapq.heappush(ready, each)
    if len(order) < len(steps):
        stuck = dict.fromkeys(
            steps[number].item for number, count in enumerate(waiting) if count and
            steps[number].item
        )  # fmt: skip
        raise OutOfRange(
            f"{', '.join(stuck)} wait for each other",
            where="tasks",
            expected="take one of their wishes to wait away",
        )
    return order

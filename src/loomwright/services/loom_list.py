"""The running list of a loom: every plug, its wires, how it looks, whether it is recorded."""

from __future__ import annotations

from collections import Counter

import attrs

from loomwright.loom import Job
from loomwright.repair.condition import conditions
from loomwright.services.recording import recorded
from loomwright.services.words import GRADES

__all__ = ["PlugLine", "running_list"]


@attrs.frozen(kw_only=True)
class PlugLine:
    """A plug of the running list.

    Attributes
    ----------
    plug : its name
    label, place : what it is and where it sits; empty when not written down
    wires : how many wires end in it
    grade : the worst that was seen at it, 0 to 4; None where nobody looked
    recorded : whether it is recorded before anything is cut or opened
    """

    plug: str
    label: str
    place: str
    wires: int
    grade: int | None
    recorded: bool

    @property
    def grade_words(self) -> str:
        """`grade 3, bad`, or that nobody looked."""
        return (
            "not looked at" if self.grade is None else f"grade {self.grade}, {GRADES[self.grade]}"
        )


def running_list(job: Job) -> tuple[PlugLine, ...]:
    """Every plug, in sheet order."""
    wires: Counter[str] = Counter()
    for wire in job.wires:
        wires.update({wire.from_point.owner, wire.to_point.owner})
    worst = {each.item: each.worst for each in conditions(job) if each.kind == "plug"}
    return tuple(
        PlugLine(
            plug=plug.plug,
            label=plug.label or "",
            place=plug.place or "",
            wires=wires[plug.plug],
            grade=worst.get(plug.plug),
            recorded=recorded(job.tasks, plug.plug) is not None,
        )
        for plug in job.plugs
    )

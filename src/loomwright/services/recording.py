"""Whether an item was recorded before anything is cut: who said so, and when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs

from loomwright.loom import InputProblems, Problem, TaskRow, Where
from loomwright.services.entering import Bench, enter, take_away
from loomwright.services.kept_rows import KeptRow
from loomwright.services.ports import JobRef
from loomwright.services.work_log import RECORD

DONE = "done"


@attrs.frozen(kw_only=True)
class Recorded:
    """A record that was made.

    Attributes
    ----------
    by, at : who said so and when; empty when not written down
    later : steps at the item that were logged besides, the first few; the record stays for them
    """

    by: str
    at: str
    later: tuple[str, ...]


def recorded(tasks: Iterable[TaskRow], item: str) -> Recorded | None:
    """The record of an item; None while it is not done.

    Parameters
    ----------
    tasks : rows of the table `tasks`; of several for one step the last one stands
    item : plug, joint, device or wire
    """
    here = [row for row in tasks if row.item == item]
    records = [row for row in here if _is_record(row.step, row.nth)]
    if not records or records[-1].state != DONE:
        return None
    later = dict.fromkeys(row.step for row in here if not _is_record(row.step, row.nth))
    return Recorded(by=records[-1].by or "", at=records[-1].done_at or "", later=tuple(later))


def record(bench: Bench, ref: JobRef, item: str, *, by: str, at: str) -> None:
    """Say that an item is recorded; nothing happens where it is said already.

    Raises
    ------
    InputProblems, NotFound, StorageFailed
        as `entering.enter`.
    """
    with bench.rows.held(ref):
        rows = _records(bench, ref, item)
        if rows and rows[-1].cells.get("state") == DONE:
            return
        said = {"state": DONE, "done_at": at, "by": by}
        if rows:
            enter(bench, ref, "tasks", said, key=rows[-1].key)
        else:
            enter(bench, ref, "tasks", {"item": item, "step": RECORD, "nth": "1", **said})


def unrecord(bench: Bench, ref: JobRef, item: str) -> None:
    """Take it back that an item is recorded.

    Raises
    ------
    InputProblems
        when work at the item was logged since: that work rests on the record.
    NotFound, StorageFailed
        when the job is not kept, or the storage fails.
    """
    with bench.rows.held(ref):
        others = [row for row in _rows(bench, ref, item) if not _row_is_record(row.cells)]
        if others:
            raise InputProblems([_rests(item, others[0].cells)])
        for row in _records(bench, ref, item):
            take_away(bench, ref, "tasks", row.key)


def _rests(item: str, cells: Mapping[str, str]) -> Problem:
    return Problem(
        Where("tasks", column="step"),
        f'the step "{cells.get("step", "")}" at "{item}" is logged, and rests on the record',
        "take the later steps back first, on the page Work",
    )


def _rows(bench: Bench, ref: JobRef, item: str) -> list[KeptRow]:
    rows = bench.rows.rows(ref, "tasks")
    return [row for row in rows if row.cells.get("item", "").strip() == item]


def _records(bench: Bench, ref: JobRef, item: str) -> list[KeptRow]:
    return [row for row in _rows(bench, ref, item) if _row_is_record(row.cells)]


def _row_is_record(cells: Mapping[str, str]) -> bool:
    nth = cells.get("nth", "").strip() or "1"
    return _is_record(cells.get("step", ""), int(nth) if nth.isdigit() else 0)


def _is_record(step: str, nth: int) -> bool:
    return nth == 1 and " ".join(step.split()).casefold() == RECORD

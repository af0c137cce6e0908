"""Grades of one item: what can be looked at, what was found, and entering what is found now."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import attrs

from loomwright import standards
from loomwright.loom import Job
from loomwright.loom.errors import Conflict, Disputed
from loomwright.repair.condition import EXPECTED, Looked, conditions
from loomwright.services.entering import Bench, Entered, enter
from loomwright.services.kept_rows import Cells, KeptRow
from loomwright.services.plug_view import DEVICE, kind_of_item
from loomwright.services.ports import JobRef
from loomwright.services.words import GRADES

_OF_DEVICES = ("shell", "terminal")
_COLUMNS = ("grade", "strands_left", "note")


@attrs.frozen(kw_only=True)
class Aspect:
    """One aspect of one item, looked at or not.

    Attributes
    ----------
    item, aspect : what is looked at
    grade : 0 as new … 4 danger, None where there is none
    said : the grade with its word, what it looks like and what usually follows; empty without one
    cells : the row of the survey as it stands, empty where there is none
    key : of that row; empty where there is none
    looks : each grade with its word, and what it looks like
    """

    item: str
    aspect: str
    grade: int | None
    said: str
    cells: Cells
    key: str
    looks: tuple[tuple[str, str], ...]


def aspects(job: Job, rows: Iterable[KeptRow], item: str) -> tuple[Aspect, ...]:
    """What can be looked at on an item, the usual aspects first.

    Parameters
    ----------
    job : the job
    rows : of its table `survey`
    item : plug, joint, device or wire

    Raises
    ------
    NotFound
        when there is no such item.
    """
    kind = kind_of_item(job, item)
    condition = next((each for each in conditions(job) if each.item == item), None)
    looked = {each.aspect: each for each in condition.looked} if condition else {}
    unseen = condition.not_looked_at if condition else ()
    known = (*(_OF_DEVICES if kind == DEVICE else ()), *looked, *unseen)
    usual = dict.fromkeys(name for names in EXPECTED.values() for name in names)
    here = _rows_of(rows, item)
    return tuple(
        _aspect(item, name, looked.get(name), _row(here, name)) for name in usual if name in known
    )


def grade_item(
    bench: Bench, ref: JobRef, item: str, aspect: str, typed: Cells, before: Cells
) -> Entered:
    """Keep what was found of one aspect: in its row where there is one, in a new one otherwise.

    Parameters
    ----------
    typed : `grade`, `strands_left`, `note` as far as they were typed
    before : what the person had on the screen of them

    Raises
    ------
    InputProblems
        holding all that is wrong.
    Conflict
        when another graded it meanwhile, or took the grade away.
    NotFound, StorageFailed
        when the job is not kept, or the storage fails.
    """
    with bench.rows.held(ref):
        row = _row(_rows_of(bench.rows.rows(ref, "survey"), item), aspect)
        cells = {name: text for name, text in typed.items() if name in _COLUMNS}
        if row is not None:
            return enter(bench, ref, "survey", cells, key=row.key, before=before)
        _refuse_gone(cells, before)
        return enter(bench, ref, "survey", {"item": item, "aspect": aspect, **cells})


def _refuse_gone(typed: Cells, before: Cells) -> None:
    """Another took the row away that the person saw and changed.

    Raises
    ------
    Conflict
        holding what the person typed and that nothing stands there.
    """
    disputed = tuple(
        Disputed(name, before=before[name], theirs="", yours=text)
        for name, text in typed.items()
        if before.get(name, "").strip() and before[name].strip() != text.strip()
    )
    if disputed:
        raise Conflict(
            "somebody else took this grade away meanwhile", disputed=disputed, where="survey"
        )


def _rows_of(rows: Iterable[KeptRow], item: str) -> list[KeptRow]:
    return [row for row in rows if row.cells.get("item", "").strip() == item]


def _row(rows: Sequence[KeptRow], aspect: str) -> KeptRow | None:
    """The row of an aspect; of several the worst, which is the one that counts."""
    found = [row for row in rows if row.cells.get("aspect", "").strip() == aspect]
    return max(found, key=lambda row: row.cells.get("grade", ""), default=None)


def _aspect(item: str, name: str, looked: Looked | None, row: KeptRow | None) -> Aspect:
    return Aspect(
        item=item,
        aspect=name,
        grade=looked.grade if looked else None,
        said=_said(looked) if looked else "",
        cells=row.cells if row else {},
        key=row.key if row else "",
        looks=tuple(_looks(name)),
    )


def _said(looked: Looked) -> str:
    counted = ", by the strands left" if looked.by_strands else ""
    return (
        f"{looked.grade} {GRADES[looked.grade]}{counted}: {looked.looks_like}. "
        f"Usually: {looked.verdict}."
    )


def _looks(aspect: str) -> Iterator[tuple[str, str]]:
    for step, word in enumerate(GRADES):
        yield f"{step} {word}", standards.grade(aspect, step).looks_like

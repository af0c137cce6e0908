"""The history of a job as it was noted with every write, and how a change is undone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from loomwright.loom import NotFound
from loomwright.loom.errors import Conflict
from loomwright.services.change_words import PICTURE, Change, Kind
from loomwright.services.entering import enter, take_away
from loomwright.services.kept_rows import Cells
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.database import changed, kept_job
from loomwright.workshop.models import KeptPhoto, KeptRow
from loomwright.workshop.photo_store import original
from loomwright.workshop.translating import translated

_KINDS: dict[str, Kind] = {"+": "added", "~": "changed", "-": "taken away"}
_BACK = "back"
"""How a change is marked that undid another; before the row it put back, if it put one back."""
_FIELDS = (
    "history_id", "id", "history_type", "history_date", "history_user__username",
    "history_change_reason",
)  # fmt: skip


def changes(job: str) -> tuple[Change, ...]:
    """All changes of a job, the newest first; those that changed no cell are left out.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    with translated():
        kept = kept_job(job)
        rows = KeptRow.history.filter(job_id=kept.pk).order_by("history_id")
        photos = KeptPhoto.history.filter(job_id=kept.pk).order_by("history_id")
        found = [
            *_changes(rows.values_list(*_FIELDS, "table", "cells").iterator()),
            *_changes(
                (*told, PICTURE, {"name": name, "digest": digest})
                for *told, name, digest in photos.values_list(*_FIELDS, "name", "digest").iterator()
            ),
        ]
    return tuple(sorted(found, key=lambda each: (each.at, each.number), reverse=True))


def change(job: str, table: str, number: int) -> Change:
    """One of them.

    Raises
    ------
    NotFound
        when there is no such change.
    """
    for each in changes(job):
        if each.number == number and (each.table == PICTURE) == (table == PICTURE):
            return each
    raise NotFound(f"there is no change {number}")


def undo(
    job: str, undone: Change, *, typed: Cells | None = None, seen: Cells | None = None
) -> None:
    """Bring a row or a photo back to what it was before a change.

    Parameters
    ----------
    typed : what each changed column shall hold; what it held before by default
    seen : what each held when the person asked; what the change wrote by default

    Raises
    ------
    Conflict
        when the same field was changed again since, or the row came or went.
    InputProblems
        when the job would not hold together.
    NotFound, StorageFailed
        when the job is gone, or the storage fails.
    """
    with BENCH.rows.held(job):
        if undone.table == PICTURE:
            _undo_photo(job, undone)
        elif undone.kind == "changed":
            _change_back(job, undone, typed or undone.before, seen or undone.after)
        elif undone.kind == "added":
            _take_back(job, undone)
        else:
            _put_back(job, undone)


def _change_back(job: str, undone: Change, typed: Cells, seen: Cells) -> None:
    key = _now(job, undone.key)
    wanted = {name: typed.get(name, undone.before.get(name, "")) for name in undone.columns}
    before = {name: seen.get(name, undone.after.get(name, "")) for name in undone.columns}
    enter(BENCH, job, undone.table, wanted, key=key, before=before)
    _mark(KeptRow, key, _BACK)


def _take_back(job: str, undone: Change) -> None:
    key = _now(job, undone.key)
    standing = {row.key: row.cells for row in BENCH.rows.rows(job, undone.table)}
    if key not in standing:
        raise Conflict("it is not there any more", where=undone.table)
    if standing[key] != undone.after:
        raise Conflict("it was changed since it was added; undo that first", where=undone.table)
    take_away(BENCH, job, undone.table, key)
    _mark(KeptRow, key, _BACK)


def _put_back(job: str, undone: Change) -> None:
    key = _now(job, undone.key)
    if KeptRow.objects.filter(pk=key).exists():
        raise Conflict("it is there again already", where=undone.table)
    fresh = enter(BENCH, job, undone.table, undone.before).key
    _mark(KeptRow, fresh, f"{_BACK} {key}")
    place = KeptRow.history.get(history_id=undone.number).place
    KeptRow.objects.filter(pk=fresh).update(place=place)
    changed(kept_job(job))


def _undo_photo(job: str, undone: Change) -> None:
    name = undone.cells["name"]
    now = kept_job(job).photos.filter(name=name).values_list("digest", flat=True).first()
    if (now or "") != undone.after.get("digest", ""):
        raise Conflict("another photo has that name now" if now else "it is not there any more")
    if undone.kind == "added":
        key = undone.key
        PHOTOS.remove(job, name)
    else:
        PHOTOS.write(job, name, _file(undone.before["digest"]))
        key = str(kept_job(job).photos.get(name=name).pk)
    _mark(KeptPhoto, key, _BACK)


def _file(digest: str) -> bytes:
    try:
        return original(digest).read_bytes()
    except OSError as failure:
        raise NotFound("the file of that photo is gone") from failure


def _now(job: str, key: str) -> str:
    """The key under which a row stands now: each time it was put back it got another."""
    marks = KeptRow.history.filter(
        job_id=kept_job(job).pk, history_change_reason__startswith=f"{_BACK} "
    ).order_by("history_id")
    for fresh, mark in marks.values_list("id", "history_change_reason"):
        if mark == f"{_BACK} {key}":
            key = str(fresh)
    return key


def _mark(model: Any, key: str, mark: str) -> None:
    """Note with the last change of a record that it undid another."""
    last = model.history.filter(id=int(key)).order_by("-history_id").first()
    model.history.filter(history_id=last.history_id).update(history_change_reason=mark)


def _changes(told: Iterator[tuple[Any, ...]]) -> Iterator[Change]:
    """Changes of records told in the order in which they happened."""
    standing: dict[int, dict[str, str]] = {}
    for number, key, sign, at, by, mark, table, cells in told:
        before = standing.get(key, {}) if sign != "-" else cells
        after = {} if sign == "-" else cells
        standing[key] = after
        if before != after:
            yield Change(
                number=number, table=table, key=str(key), kind=_KINDS[sign], at=at, by=by or "",
                before=before, after=after, back=(mark or "").startswith(_BACK),
            )  # fmt: skip

"""Rows of jobs in memory, one at a time."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager

import attrs

from loomwright.loom import NotFound, Sheet
from loomwright.services.kept_rows import Cells, KeptRow, filled
from loomwright.services.ports import JobRef
from loomwright.storage.assembling import check_cells

Kept = dict[str, tuple[Sheet, ...]]
"""Sheets by name of the job."""


class MemoryRows:
    """Single rows of the jobs in `kept`, which a `JobMemory` shares."""

    def __init__(self, kept: Kept) -> None:
        self._kept = kept
        self._keys: dict[tuple[str, str], list[str]] = {}
        self._count = 0

    @contextmanager
    def held(self, ref: JobRef) -> Iterator[None]:
        """See `services.kept_rows.Rows.held`."""
        sheets = kept_sheets(self._kept, ref)
        keys_before = {name: [*keys] for name, keys in self._keys.items()}
        done = False
        try:
            yield
            done = True
        finally:
            if not done:
                self._kept[os.fspath(ref)] = sheets
                self._keys = keys_before

    def rows(self, ref: JobRef, table: str) -> tuple[KeptRow, ...]:
        """See `services.kept_rows.Rows.rows`."""
        sheet = self._sheet(ref, table)
        return tuple(
            KeptRow(key, filled(dict(zip(sheet.header, row, strict=True))))
            for key, row in zip(self._keys_of(ref, sheet), sheet.rows, strict=True)
        )

    def put(self, ref: JobRef, table: str, key: str | None, cells: Cells) -> str:
        """See `services.kept_rows.Rows.put`."""
        check_cells(table, cells)
        sheet = self._sheet(ref, table)
        keys = self._keys_of(ref, sheet)
        header = (*sheet.header, *(name for name in cells if name not in sheet.header))
        rows = [row + ("",) * (len(header) - len(row)) for row in sheet.rows]
        row = tuple(cells.get(name, "") for name in header)
        if key is None:
            key = self._fresh()
            keys, rows = [*keys, key], [*rows, row]
        else:
            rows[self._place(keys, key, table)] = row
        self._keep(ref, attrs.evolve(sheet, header=header, rows=tuple(rows)), keys)
        return key

    def remove(self, ref: JobRef, table: str, key: str) -> None:
        """See `services.kept_rows.Rows.remove`."""
        sheet = self._sheet(ref, table)
        keys = self._keys_of(ref, sheet)
        place = self._place(keys, key, table)
        rows = sheet.rows[:place] + sheet.rows[place + 1 :]
        self._keep(ref, attrs.evolve(sheet, rows=rows), keys[:place] + keys[place + 1 :])

    def _sheet(self, ref: JobRef, table: str) -> Sheet:
        return next(each for each in kept_sheets(self._kept, ref) if each.name == table)

    def _keep(self, ref: JobRef, sheet: Sheet, keys: list[str]) -> None:
        sheets = kept_sheets(self._kept, ref)
        self._kept[os.fspath(ref)] = tuple(
            sheet if each.name == sheet.name else each for each in sheets
        )
        self._keys[os.fspath(ref), sheet.name] = keys

    def _keys_of(self, ref: JobRef, sheet: Sheet) -> list[str]:
        """Keys of the rows; new ones when the whole job was written since."""
        keys = self._keys.get((os.fspath(ref), sheet.name), [])
        if len(keys) != len(sheet.rows):
            keys = [self._fresh() for _ in sheet.rows]
            self._keys[os.fspath(ref), sheet.name] = keys
        return keys

    def _fresh(self) -> str:
        self._count += 1
        return str(self._count)

    @staticmethod
    def _place(keys: list[str], key: str, table: str) -> int:
        if key not in keys:
            raise NotFound(f'there is no row "{key}" in {table}')
        return keys.index(key)


def kept_sheets(kept: Kept, ref: JobRef) -> tuple[Sheet, ...]:
    """The sheets of a job.

    Raises
    ------
    NotFound
        when no such job is kept.
    """
    try:
        return kept[os.fspath(ref)]
    except KeyError as failure:
        raise NotFound(f'no job is kept as "{os.fspath(ref)}"') from failure

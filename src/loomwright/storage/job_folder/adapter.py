"""Jobs kept as files; the path says in which form."""

from __future__ import annotations

import os
from pathlib import Path

from loomwright.loom import InputProblems, Job, Problem, Where
from loomwright.services.ports import JobRef
from loomwright.storage.assembling import (
    Contents,
    job_and_problems,
    job_or_refusal,
    writable_sheets,
)
from loomwright.storage.job_folder.csv_text import bytes_from_sheet
from loomwright.storage.job_folder.data_package import DESCRIPTOR, descriptor_bytes
from loomwright.storage.job_folder.folder import holds_tables, read_folder, write_folder
from loomwright.storage.job_folder.workbook import read_workbook
from loomwright.storage.job_folder.workbook_writing import write_workbook
from loomwright.storage.job_folder.zipped import read_zip, write_zip

_OTHER_FILES = {
    ".csv": "give the folder it is in",
    ".json": "give the folder it is in",
    ".xls": "save it as .xlsx",
    ".xlsm": "save it as .xlsx",
    ".xlsb": "save it as .xlsx",
    ".ods": "save it as .xlsx",
}


class JobFolder:
    """Jobs as folders of CSV tables, as .zip of such a folder, and as .xlsx workbooks."""

    def read(self, ref: JobRef) -> Job:
        """See `services.ports.Jobs.read`."""
        return job_or_refusal(_contents(Path(ref)))

    def inspect(self, ref: JobRef) -> tuple[Job, tuple[Problem, ...]]:
        """See `services.ports.Jobs.inspect`."""
        return job_and_problems(_contents(Path(ref)))

    def write(self, ref: JobRef, job: Job) -> None:
        """See `services.ports.Jobs.write`."""
        path = Path(ref)
        _refuse_other_files(path, creating=not path.is_dir())
        sheets = writable_sheets(job)
        if path.suffix.lower() == ".xlsx":
            write_workbook(path, sheets)
            return
        files = {f"{sheet.name}.csv": bytes_from_sheet(sheet) for sheet in sheets}
        files[DESCRIPTOR] = descriptor_bytes(job.about.title, sheets)
        if path.suffix.lower() == ".zip":
            write_zip(path, files)
        else:
            write_folder(path, files)

    def exists(self, ref: JobRef) -> bool:
        """See `services.ports.Jobs.exists`."""
        path = Path(ref)
        return os.path.isfile(path) or holds_tables(path)

    def table_label(self, ref: JobRef, table: str) -> str:
        """See `services.ports.Jobs.table_label`."""
        return table if Path(ref).suffix.lower() == ".xlsx" else f"{table}.csv"


def _contents(path: Path) -> Contents:
    suffix = path.suffix.lower()
    if suffix == ".xlsx":
        return read_workbook(path)
    if suffix == ".zip":
        return read_zip(path)
    try:
        _refuse_other_files(path)
    except InputProblems as refusal:
        return Contents((), refusal.problems)
    return read_folder(path)


def _refuse_other_files(path: Path, *, creating: bool = False) -> None:
    suffix = path.suffix.lower()
    known = suffix in (".xlsx", ".zip")
    if not known and (os.path.isfile(path) or (creating and suffix in _OTHER_FILES)):
        cure = _OTHER_FILES.get(suffix, "give a folder, a .zip or an .xlsx file")
        raise InputProblems([Problem(Where(path.name), "this is not a job", cure)])

"""The small job as a workbook, written once a process, and one of a few tables alone."""

from __future__ import annotations

import io
import tempfile
import zipfile
from functools import cache
from pathlib import Path

import attrs
import openpyxl

from loomwright.loom import Job
from loomwright.storage.job_folder import JobFolder
from sample import jobs as sample

FEW = ("job", "plugs", "wires", "devices", "elements", "curves", "readings", "joints")
"""Tables of the smaller one: numbers, texts, dates, choices and references are in them."""


@cache
def whole() -> bytes:
    """The small job as a workbook with all its sheets."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.xlsx"
        JobFolder().write(path, sample.job())
        return path.read_bytes()


@cache
def few_tables() -> bytes:
    """The same with the sheets of a few tables alone, so that it is quickly read."""
    book, made = openpyxl.load_workbook(io.BytesIO(whole())), io.BytesIO()
    for name in set(book.sheetnames) - {*FEW}:
        del book[name]
    book.save(made)
    return made.getvalue()


def job_of_few() -> Job:
    """The job that the smaller workbook holds."""
    job = sample.job()
    kept = {name: getattr(job, name) for name in FEW if name != "job"}
    return attrs.evolve(Job(about=job.about), **kept)


def parts(book: bytes) -> dict[str, bytes]:
    """The parts of a workbook by name."""
    with zipfile.ZipFile(io.BytesIO(book)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}

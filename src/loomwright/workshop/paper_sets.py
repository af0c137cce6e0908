"""The papers of each job in the data folder: a whole set at a time, one file names the set.

`papers/<job>/set.json` says which folder beside it holds the set that counts. It is replaced in
one go when a new set is complete, so there is never half of one; folders of others are left over
from making that was cut short, and go at the next occasion.
"""

from __future__ import annotations

import json
import secrets
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import attrs

from loomwright.loom import NotFound, StorageFailed
from loomwright.storage.paper_folder import PaperFolder, plain_name
from loomwright.workshop.data_folder import data_folder

_SET = "set.json"
_PAPERS = "papers"


@attrs.frozen(kw_only=True)
class KeptPaper:
    """A paper that was made.

    Attributes
    ----------
    file : name of its file
    kind : name of its kind, as `documents.pack.KINDS` has it
    title : what it is
    pages, size : how many pages, and how large the file is [byte]
    """

    file: str
    kind: str
    title: str
    pages: int
    size: int


@attrs.frozen(kw_only=True)
class PaperSet:
    """Papers that were made together.

    Attributes
    ----------
    folder : name of the folder that holds them
    made_at : when, as `services.moments` writes it
    stamp : of the job that they tell of
    sheet : the paper they are set for, `a4` or `letter`
    papers : the papers, in the order of the pack
    without : kinds that were asked for and that the job gives nothing for
    """

    folder: str
    made_at: str
    stamp: int
    sheet: str
    papers: tuple[KeptPaper, ...]
    without: tuple[str, ...]


def kept_set(job: str) -> PaperSet | None:
    """The papers of a job; None where none were made, or what names them is damaged."""
    try:
        told = json.loads((_place(job) / _SET).read_text(encoding="utf-8"))
        return _read(told)
    except (OSError, ValueError, KeyError, TypeError):
        return None  # they are made again by one touch


def paper_content(job: str, file: str) -> bytes:
    """A paper of the set that counts.

    Raises
    ------
    NotFound
        when there is no such paper.
    """
    known = kept_set(job)
    if known is None or file not in {each.file for each in known.papers}:
        raise NotFound(f'there is no paper "{file[:80]}"', expected="make the papers again")
    try:
        return (_place(job) / plain_name(known.folder) / plain_name(file)).read_bytes()
    except (OSError, StorageFailed) as failure:
        raise NotFound(f'the paper "{file}" is gone', expected="make the papers again") from failure


def new_folder(job: str) -> tuple[str, PaperFolder]:
    """A folder for a set in the making: its name, and where its papers are put."""
    name = secrets.token_hex(8)
    return name, PaperFolder(_place(job) / name)


def keep_set(job: str, made: PaperSet) -> None:
    """Let a set count from now on; the one before goes.

    Raises
    ------
    StorageFailed
        when the disk or a permission stops it; the set before counts on.
    """
    text = json.dumps(attrs.asdict(made), ensure_ascii=False, indent=1)
    PaperFolder(_place(job)).put(_SET, text.encode())
    clear(job)


def clear(job: str) -> None:
    """Take away every folder but the one that counts; what is being read stays until next time."""
    known = kept_set(job)
    try:
        folders = [each for each in _place(job).iterdir() if each.is_dir()]
    except OSError:
        return  # there is none yet, or putting papers there will tell what is wrong
    for folder in folders:
        if known is None or folder.name != known.folder:
            shutil.rmtree(folder, ignore_errors=True)


def _place(job: str) -> Path:
    return data_folder() / _PAPERS / plain_name(job)


def _read(told: Mapping[str, Any]) -> PaperSet:
    return PaperSet(
        folder=str(told["folder"]),
        made_at=str(told["made_at"]),
        stamp=int(told["stamp"]),
        sheet=str(told["sheet"]),
        papers=tuple(KeptPaper(**each) for each in told["papers"]),
        without=tuple(map(str, told["without"])),
    )

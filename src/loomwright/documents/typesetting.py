"""A paper as PDF: its context goes into a Typst template of the house style.

PDF/A-2a (ISO 19005-2, conformance level A) for keeping, and PDF/UA-1 (ISO 14289-1) for reading
with any reader. The same context gives the same bytes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import UTC, date, datetime
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import attrs
import font_source_sans_pro
import typst

from loomwright.loom import Job, NotFound
from loomwright.services.words import SAFETY

_PAGE_TREE = re.compile(rb"/Type */Pages */Count (\d+)")
SIZES = {"a4": "a4", "letter": "us-letter"}
"""Sheets a paper can be set on, by the name a person gives."""


@attrs.frozen(kw_only=True)
class Context:
    """What every template is given; papers add their own fields.

    Attributes
    ----------
    title : of the paper
    job, vehicle : of the job, the vehicle empty when not written down
    made_on : day it was printed, ISO 8601
    safety : what stands at the foot of every page
    """

    title: str
    job: str
    vehicle: str
    made_on: str
    safety: str = SAFETY


@attrs.frozen(kw_only=True)
class Paper:
    """A paper that can be set.

    Attributes
    ----------
    name : file name without its ending
    template : name of the template
    context : what the template is given
    pictures : SVG text by file name
    """

    name: str
    template: str
    context: Context
    pictures: Mapping[str, str] = attrs.field(factory=dict)


def headed(job: Job, title: str, made_on: str) -> dict[str, str]:
    """The fields of `Context` that every paper of a job fills in alike."""
    return {
        "title": title,
        "job": job.about.title,
        "vehicle": job.about.vehicle or "",
        "made_on": made_on,
    }


def pdf(paper: Paper, *, size: str = "a4") -> bytes:
    """The paper as PDF.

    Parameters
    ----------
    paper : what is set
    size : `a4` or `letter`

    Raises
    ------
    NotFound
        when there is no such size of sheet.
    """
    check_size(size)
    sources = {
        "main.typ": _main(paper.template, SIZES[size]),
        "house.typ": _template("house"),
        f"{paper.template}.typ": _template(paper.template),
        "context.json": json.dumps(plain(paper.context)).encode(),
    }
    sources |= {f"pictures/{name}": text.encode() for name, text in paper.pictures.items()}
    by_name: Any = sources  # the package's stub does not know that it takes files by name
    made: bytes = typst.compile(
        by_name,
        format="pdf",
        font_paths=_fonts(),
        ignore_system_fonts=True,
        pdf_standards=["a-2a", "ua-1"],
        timestamp=_noon(paper.context.made_on),
    )
    return made


def check_size(size: str) -> None:
    """See that there is such a size of sheet.

    Raises
    ------
    NotFound
        when there is none.
    """
    if size not in SIZES:
        raise NotFound(
            f'there is no sheet "{size}"', where="paper", expected=f"give {' or '.join(SIZES)}"
        )


def pages(made: bytes) -> int:
    """How many pages a PDF made here has, by the root of its page tree (ISO 32000-1, 7.7.3.2)."""
    found = _PAGE_TREE.search(made)
    return int(found.group(1)) if found else 0


def plain(value: Any) -> Any:
    """A record as dictionaries, lists and plain values, for a template."""
    if attrs.has(type(value)):
        return {each.name: plain(getattr(value, each.name)) for each in attrs.fields(type(value))}
    if isinstance(value, Mapping):
        return {str(key): plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    return value


def _main(template: str, size: str) -> bytes:
    return (
        f'#import "{template}.typ": page-of\n#page-of(json("context.json"), size: "{size}")\n'
    ).encode()


@cache
def _template(name: str) -> bytes:
    return (files("loomwright.documents") / "templates" / f"{name}.typ").read_bytes()


@cache
def _fonts() -> typst.Fonts:
    folder = Path(font_source_sans_pro.font_directory)
    return typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])


def _noon(day: str) -> int:
    """Seconds since 1970 at noon of that day, so that the same day gives the same file."""
    parsed = date.fromisoformat(day)
    return int(datetime(parsed.year, parsed.month, parsed.day, 12, tzinfo=UTC).timestamp())

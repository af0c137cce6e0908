"""A paper as PDF: its context goes into a Typst template of the house style.

PDF/A-2a (ISO 19005-2, conformance level A) for keeping, and PDF/UA-1 (ISO 14289-1) for reading
with any reader. The same context gives the same bytes.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import Any

import attrs
import font_source_sans_pro
import typst

from loomwright.loom import Job, NotFound
from loomwright.services.words import SAFETY

_PAGE_TREE = re.compile(rb"/Type */Pages */Count (\d+)")
_NO_LETTER = re.compile(r'the text `"(.+?)"` could not be displayed')
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")
_STAND_IN = "□"
_TEMPLATES = Path(__file__).parent / "templates"
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
    templates = {
        "main.typ": _main(paper.template, SIZES[size]),
        "house.typ": _template("house"),
        f"{paper.template}.typ": _template(paper.template),
    }
    texts = {"context.json": json.dumps(plain(paper.context), ensure_ascii=False)}
    texts |= {f"pictures/{name}": text for name, text in paper.pictures.items()}
    lacking: dict[str, str] = {}
    while True:
        told = {name: _spelt(text, lacking).encode() for name, text in texts.items()}
        try:
            return _compiled(templates | told, paper.context.made_on)
        except typst.TypstError as failure:
            more = _stand_ins(failure)
            if more.keys() <= lacking.keys():
                raise
            lacking |= more


def _spelt(text: str, lacking: Mapping[str, str]) -> str:
    return text.translate({ord(letter): other for letter, other in lacking.items()})


def _stand_ins(failure: typst.TypstError) -> dict[str, str]:
    """What takes the place of letters that no font here has, as a person may write any."""
    found = {}
    for told in _NO_LETTER.findall(failure.diagnostic):
        for letter in _ESCAPED.sub(lambda code: chr(int(code[1], 16)), told):
            unseen = unicodedata.category(letter) in ("Cc", "Cf", "Mn", "Me")
            found[letter] = "" if unseen else _STAND_IN
    return found


def can_be_set(drawing: str) -> bool:
    """Whether a drawing (SVG) that came from outside can be set at all.

    A font may lack its letters, or it may want another file.
    """
    page = (
        '#set document(title: "drawing")\n#set text(lang: "en")\n'
        '#image("drawing.svg", alt: "drawing", width: 50mm)'
    )
    try:
        _compiled({"main.typ": page.encode(), "drawing.svg": drawing.encode()}, "2000-01-01")
    except typst.TypstError:
        return False
    return True


def _compiled(sources: Mapping[str, bytes], day: str) -> bytes:
    by_name: Any = sources  # the package's stub does not know that it takes files by name
    made: bytes = typst.compile(
        by_name,
        root=str(_TEMPLATES),  # a drawing from outside finds no picture there
        format="pdf",
        font_paths=_fonts(),
        ignore_system_fonts=True,
        pdf_standards=["a-2a", "ua-1"],
        timestamp=_noon(day),
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
    return (_TEMPLATES / f"{name}.typ").read_bytes()


@cache
def _fonts() -> typst.Fonts:
    folder = Path(font_source_sans_pro.font_directory)
    return typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])


def _noon(day: str) -> int:
    """Seconds since 1970 at noon of that day, so that the same day gives the same file."""
    parsed = date.fromisoformat(day)
    return int(datetime(parsed.year, parsed.month, parsed.day, 12, tzinfo=UTC).timestamp())

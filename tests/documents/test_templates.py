"""Templates and their context records name the same fields, and every template has a paper."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from importlib.resources import files
from typing import Any

import attrs
import pytest

from loomwright.documents.pack import KINDS
from loomwright.documents.typesetting import Context

TEMPLATES = {
    entry.name.removesuffix(".typ"): entry.read_text(encoding="utf-8")
    for entry in (files("loomwright.documents") / "templates").iterdir()
}
HOUSE = TEMPLATES.pop("house")
ALL = (*KINDS, "cover worked", "cards worked", "report worked")
EVERY = {each.name for each in attrs.fields(Context)}


def uncommented(text: str) -> str:
    return re.sub(r"//.*", "", text)


def asked(text: str) -> set[str]:
    """Names that a template takes from its context."""
    return set(re.findall(r"(?<!\w)(?<!\w\.)d\.([a-z_]\w*)", uncommented(text)))


def named(text: str) -> set[str]:
    """Every name that stands behind a dot."""
    return set(re.findall(r"\.([a-z_]\w*)", uncommented(text)))


def records(value: Any) -> Iterator[Any]:
    """A record and those inside it."""
    if attrs.has(type(value)):
        yield value
        for each in attrs.fields(type(value)):
            yield from records(getattr(value, each.name))
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from records(each)
    elif isinstance(value, list | tuple):
        for each in value:
            yield from records(each)


def fields(kind: type) -> set[str]:
    return {each.name for each in attrs.fields(kind)}


def test_the_house_asks_for_what_every_paper_has() -> None:
    assert asked(HOUSE) == EVERY


@pytest.mark.parametrize("kind", ALL)
def test_a_template_asks_for_what_its_record_holds_and_for_all_of_it(kind: str, press: Any) -> None:
    papers = press.papers(kind)
    assert papers, "the example job shows every kind"
    for paper in papers:
        names = asked(TEMPLATES[paper.template])
        assert names <= fields(type(paper.context))
        assert fields(type(paper.context)) - EVERY <= names


@pytest.mark.parametrize("kind", ALL)
def test_every_field_of_the_records_inside_is_printed(kind: str, press: Any) -> None:
    for paper in press.papers(kind):
        behind_dots = named(TEMPLATES[paper.template]) | named(HOUSE)
        inside = {type(each) for each in records(paper.context)} - {type(paper.context)}
        for record in inside:
            assert fields(record) <= behind_dots, f"{record.__name__} in {paper.template}"


@pytest.mark.parametrize("kind", ALL)
def test_every_field_says_what_it_is(kind: str, press: Any) -> None:
    for paper in press.papers(kind):
        for record in {type(each) for each in records(paper.context)}:
            if record.__module__.startswith("loomwright.documents"):
                told = record.__doc__ or ""
                for name in {each.name for each in attrs.fields(record)} - EVERY:
                    assert re.search(rf"\b{name}\b", told), f"{record.__name__}.{name}"


def test_every_template_belongs_to_a_kind(press: Any) -> None:
    used = {paper.template for kind in KINDS for paper in press.papers(kind)}
    # One sheet as large as the board is for a plotter, by the command of its own.
    assert used | {"board-long"} == set(TEMPLATES)


def test_papers_have_names_of_their_own(press: Any) -> None:
    names = [paper.name for kind in KINDS for paper in press.papers(kind)]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("kind", ALL)
def test_every_picture_is_shown_and_every_one_shown_is_there(kind: str, press: Any) -> None:
    for paper in press.papers(kind):
        told = str(attrs.asdict(paper.context))
        assert [name for name in paper.pictures if repr(name) not in told] == []

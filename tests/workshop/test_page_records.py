"""A page shows what its record says, all of it and nothing else."""

from __future__ import annotations

import importlib
import pkgutil
import re
from pathlib import Path

import attrs
import pytest

from loomwright.workshop import pages
from loomwright.workshop.pages.page import PAGES

TEMPLATES = Path(pages.__file__).parents[1] / "templates" / "workshop"
for found in pkgutil.iter_modules(pages.__path__):
    importlib.import_module(f"{pages.__name__}.{found.name}")


def whole(name: str, seen: frozenset[str] = frozenset()) -> str:
    """A template with everything that it includes and extends."""
    text = (TEMPLATES / name).read_text(encoding="utf-8")
    others = set(re.findall(r'{% (?:include|extends) "workshop/([^"]+)"', text)) - seen
    return text + "".join(whole(each, seen | {name}) for each in others)


@pytest.mark.parametrize("template", sorted(PAGES))
def test_a_template_uses_the_fields_of_its_record(template: str) -> None:
    used = set(re.findall(r"(?<!/)\bpage\.(\w+)", whole(template)))
    fields = {field.name for field in attrs.fields(PAGES[template])}
    assert used == fields


@pytest.mark.parametrize("template", sorted(PAGES))
def test_every_field_says_what_it_holds(template: str) -> None:
    for field in attrs.fields(PAGES[template]):
        assert field.metadata["help"], field.name


def test_every_template_is_some_pages_or_a_frame() -> None:
    plain = {path.name for path in TEMPLATES.glob("*.html")}
    assert plain - set(PAGES) <= {
        "frame.html",
        "job_frame.html",
        "closed.html",
        "away.html",
        "pattern.html",
    }

"""Print what each page of the workshop shows; `generate.py` runs it in a process of its own.

Django must be told where its settings are before this starts.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator
from types import ModuleType

import attrs
import django
from django.urls import URLPattern, get_resolver

django.setup()

from loomwright.workshop import pages  # noqa: E402 - the pages need Django's settings
from loomwright.workshop.pages.page import PAGES  # noqa: E402


def document() -> str:
    """Every module of pages with its addresses, its templates and what they may use."""
    return "\n\n".join(part for module in _modules() for part in _told(module))


def _modules() -> Iterator[ModuleType]:
    for found in pkgutil.iter_modules(pages.__path__):
        yield importlib.import_module(f"{pages.__name__}.{found.name}")


def _told(module: ModuleType) -> Iterator[str]:
    records = [(name, each) for name, each in PAGES.items() if each.__module__ == module.__name__]
    addresses = _addresses()[module.__name__]
    if not records and not addresses:
        return  # a piece that pages share
    yield f"## `{module.__name__.rpartition('.')[2]}.py`"
    yield inspect.getdoc(module) or ""
    if addresses:
        yield "\n".join(f"- `/{address}` ({name})" for address, name in addresses)
    for name, record in records:
        yield f"### `{name}`"
        yield inspect.getdoc(record) or ""
        yield "\n".join(_rows(attrs.fields(record)))


def _addresses() -> dict[str, list[tuple[str, str]]]:
    """The addresses that each module answers, with their names."""
    found: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for each in get_resolver().url_patterns:
        if isinstance(each, URLPattern):
            found[each.callback.__module__].append((str(each.pattern), each.name or ""))
    return found


def _rows(fields: Iterable[attrs.Attribute[object]]) -> Iterator[str]:
    yield "| field | of type | what it holds |"
    yield "|---|---|---|"
    for field in fields:
        kind = str(field.type).replace("|", r"\|")
        yield f"| `{field.name}` | `{kind}` | {field.metadata['help']} |"


if __name__ == "__main__":
    sys.stdout.write(document() + "\n")

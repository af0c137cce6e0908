"""Documents are true: what is generated is up to date, what is written names what there is."""

from __future__ import annotations

import importlib.util
import inspect
import re
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest
import typer

import loomwright.physics
from loomwright.cli.app import app
from loomwright.repair import plug_fit
from loomwright.services import buy, expect, judge, sees, suspects, trace

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
GROUP = typer.main.get_command(app)


def generator() -> ModuleType:
    spec = importlib.util.spec_from_file_location("generate", DOCS / "generate.py")
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


GENERATE = generator()
TEXTS = [name for name in GENERATE.DOCUMENTS if name.endswith(".md")]
PICTURES = [name for name in GENERATE.DOCUMENTS if name.endswith(".svg")]
WRITTEN = [
    path
    for path in (*ROOT.glob("*.md"), *DOCS.glob("*.md"), *ROOT.glob("examples/*.md"))
    if path.name not in TEXTS
]


@pytest.mark.parametrize("name", TEXTS)
def test_generated_text_is_up_to_date(name: str) -> None:
    kept = (DOCS / name).read_text(encoding="utf-8")
    assert kept == GENERATE.DOCUMENTS[name](), "run `make docs`"


def without_figures(svg: str) -> str:
    """The words of a picture; last digits may differ from machine to machine."""
    words = re.sub(r"<[^>]+>", " ", svg.split("</defs>")[1])
    return " ".join(re.sub(r"[\d.]+", "0", words).split())


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_show_what_the_command_says(name: str) -> None:
    kept = (DOCS / name).read_text(encoding="utf-8")
    assert without_figures(kept) == without_figures(GENERATE.DOCUMENTS[name]()), "run `make docs`"
    assert "http" not in kept.replace("http://www.w3.org/2000/svg", "")


def test_every_command_and_option_is_documented() -> None:
    told = (DOCS / "commands.md").read_text(encoding="utf-8")
    json_told = (DOCS / "json.md").read_text(encoding="utf-8")
    assert set(GENERATE.COMMANDS) == set(GROUP.commands)  # type: ignore[attr-defined]
    for name, command in GROUP.commands.items():  # type: ignore[attr-defined]
        section = told.split(f"## `loomwright {name}`")[1].split("\n## ")[0]
        for parameter in command.params:
            for option in parameter.opts:
                word = option if option.startswith("-") else parameter.metavar
                assert word in section
            if "--json" in parameter.opts:
                assert f"## `{name}`" in json_told


def fields(module: ModuleType) -> Iterator[str]:
    """Keys of the objects that a service's results become."""
    for match in re.finditer(r'^\s+"(\w+)": ', inspect.getsource(module), re.MULTILINE):
        yield match[1]


@pytest.mark.parametrize(
    "module", [buy, expect, judge, plug_fit, sees, suspects, trace], ids=lambda m: m.__name__
)
def test_every_field_of_the_json_is_documented(module: ModuleType) -> None:
    told = (DOCS / "json.md").read_text(encoding="utf-8")
    found = set(fields(module))
    assert found
    assert {name for name in found if f"`{name}`" not in told} == set()


def test_every_service_stands_in_the_map_once() -> None:
    told = (DOCS / "map.md").read_text(encoding="utf-8").split("The services, by topic:")[1]
    rows = [row.split("|")[2] for row in told.splitlines() if row.startswith("|")]
    named = re.findall(r"`(\w+)`", "".join(rows[2:]))
    services = ROOT / "src" / "loomwright" / "services"
    assert sorted(named) == sorted(each.stem for each in services.glob("[!_]*.py"))


def public_parameters() -> Iterator[tuple[str, str]]:
    for name in loomwright.physics.__all__:
        if name == "quantities":
            continue
        module = importlib.import_module(f"loomwright.physics.{name}")
        for thing in vars(module).values():
            if getattr(thing, "__module__", "") != module.__name__ or thing.__name__[0] == "_":
                continue
            if inspect.isfunction(thing):
                yield from (
                    (f"{name}.{thing.__name__}", each)
                    for each in inspect.signature(thing).parameters
                )
            for field in getattr(thing, "__attrs_attrs__", ()):
                if not field.name.startswith("_"):
                    yield f"{name}.{thing.__name__}", field.name


def test_quantities_have_one_name_each() -> None:
    told = (DOCS / "nomenclature.md").read_text(encoding="utf-8")
    names: list[str] = []
    for row in told.splitlines():
        if row.startswith("| ") and row.count("|") == 5:
            names += re.findall(r"`(\w+)`", row)
    assert len(names) == len(set(names))
    used = {name: where for where, name in public_parameters()}
    assert {name: where for name, where in used.items() if name not in names} == {}
    assert set(names) - set(used) == set()


@pytest.mark.parametrize("path", WRITTEN, ids=lambda path: path.name)
def test_links_lead_somewhere(path: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+)", path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), target


@pytest.mark.parametrize("path", WRITTEN, ids=lambda path: path.name)
def test_files_that_are_named_are_there(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for named in re.findall(r"`((?:src|docs|tests|examples)/[\w./-]+)`", text):
        assert (ROOT / named).exists(), named

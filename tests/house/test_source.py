"""Habits of the source: errors are never swallowed, input is never asserted."""

from __future__ import annotations

import ast
import builtins
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).resolve().parents[2] / "src" / "loomwright"
FILES = sorted(SOURCE.rglob("*.py"))
RENDERERS = {SOURCE / "cli" / "__init__.py"}
"""Where any failure may be caught, to be told in words."""
VAGUE = {"utils", "helpers", "common", "base", "manager", "misc"}


def nodes(path: Path) -> Iterator[ast.AST]:
    return ast.walk(ast.parse(path.read_text(encoding="utf-8")))


def names(node: ast.expr | None) -> set[str]:
    parts = node.elts if isinstance(node, ast.Tuple) else [node]
    return {part.id for part in parts if isinstance(part, ast.Name)}


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_a_file_keeps_the_habits(path: Path) -> None:
    for node in nodes(path):
        assert not isinstance(node, ast.Assert), f"assert in line {node.lineno}"
        if isinstance(node, ast.ExceptHandler) and path not in RENDERERS:
            assert node.type is not None, f"bare except in line {node.lineno}"
            caught = names(node.type) & {"Exception", "BaseException"}
            assert not caught, f"catches everything in line {node.lineno}"
        if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
            builtin = names(node.exc.func) & set(dir(builtins))
            assert not builtin or len(node.exc.args) <= 1, f"two messages in line {node.lineno}"


def test_everything_is_caught_in_the_renderer_only() -> None:
    for path in RENDERERS:
        handlers = [node for node in nodes(path) if isinstance(node, ast.ExceptHandler)]
        assert any("Exception" in names(handler.type) for handler in handlers)


def test_imports_inside_functions_are_for_quick_starts_only() -> None:
    """Commands may do it; storage for the workbook library, bootstrap for the site."""
    late = {(path.relative_to(SOURCE).parts[0], name) for path in FILES for name in inner(path)}
    computing = ("build", "repair", "physics")
    assert {room for room, _ in late} <= {"bootstrap.py", "cli", "storage", *computing}
    assert {name for room, name in late if room == "bootstrap.py"} <= {"loomwright"}
    assert {name for room, name in late if room == "storage"} <= {"openpyxl"}
    # Heavy to load, and few commands need it.
    heavy = {name.partition(".")[0] for room, name in late if room in computing}
    assert heavy <= {"scipy"}


def inner(path: Path) -> Iterator[str]:
    """Packages imported inside the functions of a file."""
    for function in nodes(path):
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
            for node in ast.walk(function):
                if isinstance(node, ast.Import):
                    yield from (each.name.partition(".")[0] for each in node.names)
                if isinstance(node, ast.ImportFrom):
                    yield (node.module or "").partition(".")[0]


def test_no_module_has_a_vague_name() -> None:
    assert {path.stem for path in FILES} & VAGUE == set()


def test_every_module_says_what_it_is() -> None:
    for path in FILES:
        assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))), path

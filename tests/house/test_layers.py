"""Imports point downward only."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_the_import_linter_is_content() -> None:
    program = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports())"
    run = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT, capture_output=True, encoding="utf-8", timeout=120,
    )  # fmt: skip
    assert run.returncode == 0, run.stdout + run.stderr


def test_a_wrong_import_would_be_found() -> None:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    rooms = {path.parent.name for path in (ROOT / "src" / "loomwright").glob("*/__init__.py")}
    assert {
        room
        for room in rooms
        if f'"loomwright.{room}' not in text and f"loomwright.{room} |" not in text
    } == set()

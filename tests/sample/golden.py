"""Golden files: every message in one place, so that a person reads them all."""

from __future__ import annotations

import difflib
import os
from collections.abc import Iterable
from pathlib import Path

REWRITE = "LOOMWRIGHT_REWRITE_GOLDEN"
"""Set this variable to write the files anew; then read what has changed."""


def assert_golden(path: Path, lines: Iterable[str]) -> None:
    """Compare with the file, line by line."""
    told = list(lines)
    if os.environ.get(REWRITE):
        path.write_text("\n".join(told) + "\n", encoding="utf-8")
    kept = path.read_text(encoding="utf-8").split("\n")[:-1]
    changes = "\n".join(difflib.unified_diff(kept, told, path.name, "now", n=0, lineterm=""))
    assert not changes, changes

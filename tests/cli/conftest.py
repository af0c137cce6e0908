"""Commands run in this process, their words caught; what only reads is run once."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Callable
from functools import cache
from pathlib import Path

import attrs
import pytest

from loomwright.cli import main

ROOT = Path(__file__).resolve().parents[2]


@attrs.frozen
class Ran:
    """What came of a command."""

    code: int
    out: str
    err: str


def run_command(*arguments: str) -> Ran:
    """Run a command as a plain terminal of 80 columns would."""
    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(ROOT)
        patch.setenv("COLUMNS", "80")
        patch.setenv("NO_COLOR", "1")
        patch.delenv("FORCE_COLOR", raising=False)
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = main(arguments)
    return Ran(code, out.getvalue(), err.getvalue())


@pytest.fixture(scope="session")
def run() -> Callable[..., Ran]:
    return run_command


@pytest.fixture(scope="session")
def seen() -> Callable[..., Ran]:
    """The same, each command line once a session: for what only reads."""
    return cache(run_command)

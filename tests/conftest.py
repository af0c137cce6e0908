"""How the process that runs the tests looks for garbage."""

from __future__ import annotations

import gc

import pytest

ALLOCATED = 20_000
"""So many things more before the youngest are looked through, for Python's 700."""


def pytest_configure() -> None:
    """Modules, tests and fixtures live as long as the process: seldom is there any garbage."""
    gc.set_threshold(ALLOCATED, 20, 50)


@pytest.hookimpl(trylast=True)
def pytest_collection_finish() -> None:
    """What was loaded to collect the tests is not looked through again and again."""
    gc.collect()
    gc.freeze()

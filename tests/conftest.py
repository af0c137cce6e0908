"""How the process that runs the tests orders them and looks for garbage."""

from __future__ import annotations

import gc

import pytest

ALLOCATED = 20_000
"""So many things more before the youngest are looked through, for Python's 700."""


def pytest_configure() -> None:
    """Modules, tests and fixtures live as long as the process: seldom is there any garbage."""
    gc.set_threshold(ALLOCATED, 20, 50)


SLOW = ("e2e", "house", "test_scripts_in_browser.py", "test_keeping.py")
"""Folders and files that wait for browsers, servers and programs of their own."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The slow ones first, so that no worker is left alone with them at the end."""
    items.sort(key=lambda item: not set(item.path.parts) & set(SLOW))


@pytest.hookimpl(trylast=True)
def pytest_collection_finish() -> None:
    """What was loaded to collect the tests is not looked through again and again."""
    gc.collect()
    gc.freeze()

"""The examples in the docstrings are true."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from loomwright.drawings import insulation, svg, views
from loomwright.services import draw


@pytest.mark.parametrize(
    "module", [svg, insulation, views, draw], ids=lambda module: module.__name__
)
def test_the_examples_run(module: ModuleType) -> None:
    found = doctest.testmod(module)
    assert found.attempted > 0
    assert found.failed == 0

"""Figures that divide a length cannot be nothing; all that are too small are told at once."""

from __future__ import annotations

import pytest

from loomwright import standards
from loomwright.build.figures import LEAST, usable
from loomwright.loom import InputProblems
from loomwright.services.build import build
from sample.new_looms import branch, figures, new_loom


def test_the_shipped_figures_are_usable() -> None:
    usable(standards.values())


def test_every_figure_that_is_too_small_is_named() -> None:
    job = new_loom((branch("B1 a b 100"),), (), settings=figures(**dict.fromkeys(LEAST, 0.0)))
    with pytest.raises(InputProblems) as caught:
        build(job)
    assert [each.where.column for each in caught.value.problems] == list(LEAST)
    assert caught.value.problems[0].sentence == (
        "settings, splice_grid: 0 mm is not possible. Give 1 mm or more, or leave it out."
    )

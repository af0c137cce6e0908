"""The fan always goes."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from loomwright.build.board_fan import fan
from loomwright.build.board_layout import faults
from loomwright.build.board_lines import line_length
from loomwright.build.board_plan import trunk_of
from loomwright.loom import Branch
from sample.boards import BOUNDS, boxes, trees


@settings(max_examples=60, deadline=None)
@given(trees(most=14, longest=4000.0))
def test_any_tree_is_laid_without_a_crossing(branches: tuple[Branch, ...]) -> None:
    layout = fan(branches, trunk_of(branches, {}), boxes(branches), BOUNDS)
    assert faults(layout) == []
    assert 0 < layout.clear_mm <= BOUNDS.clear_mm
    for run in layout.runs:
        assert line_length(run.points) == pytest.approx(run.branch.length_mm, abs=1e-6)

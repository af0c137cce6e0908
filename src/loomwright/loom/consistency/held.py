"""Clips and grommets: each on its branch."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.errors import Problem, Where


def fixings_beyond(evidence: Evidence) -> Iterator[Problem]:
    """A clip or grommet farther along than its branch is long."""
    lengths = {branch.branch: branch.length_mm for branch in evidence.job.branches}
    for fixing in evidence.job.fixings:
        length = lengths.get(fixing.branch)
        if fixing.at_mm is not None and length is not None and fixing.at_mm > length:
            yield Problem(
                Where("fixings", fixing.row, "at_mm"),
                f'"{fixing.at_mm:g}" mm is beyond the end of branch "{fixing.branch}"',
                f"give at most {length:g} mm, counted from its from_place",
            )

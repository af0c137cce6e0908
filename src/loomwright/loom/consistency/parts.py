"""Parts of the catalogue: ranges the right way round, dies that are dies."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.loom.cells import cell_text
from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.errors import Problem, Where

RANGES = (
    ("section_min_mm2", "section_max_mm2", "mm²"),
    ("insulation_min_mm", "insulation_max_mm", "mm"),
    ("bore_mm", "bore_max_mm", "mm"),
)
"""Columns that are the two ends of one range, with their unit."""


def reversed_ranges(evidence: Evidence) -> Iterator[Problem]:
    """A range whose upper end lies below its lower one."""
    for part in evidence.job.catalogue:
        for low, high, unit in RANGES:
            least, most = getattr(part, low), getattr(part, high)
            if least is not None and most is not None and most < least:
                yield Problem(
                    Where("catalogue", part.row, high),
                    f'"{cell_text(most)}" {unit} is below the {low} of {cell_text(least)} {unit}',
                    "give the larger of the two here",
                )


def unknown_dies(evidence: Evidence) -> Iterator[Problem]:
    """A die that is not in the catalogue, or is another kind of part there."""
    kinds = {part.part: part.kind for part in evidence.job.catalogue}
    dies = [name for name, kind in kinds.items() if kind == "die"]
    for part in evidence.job.catalogue:
        if part.die is None or part.die in evidence.unread or kinds.get(part.die) == "die":
            continue
        where = Where("catalogue", part.row, "die")
        if part.die in kinds:
            what = f'"{part.die}" is a {kinds[part.die]}'
            yield Problem(where, what, "name a part of the kind die")
        else:
            what = f'there is no die "{part.die}"'
            yield Problem(where, what, evidence.cure(part.die, dies, ["catalogue"]))

"""What was done and its pictures: items that are there, file names that stay in their folder.

That a picture names a plug, wire, joint or device follows from the schema (`naming.unknown_names`).
"""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.loom.consistency.naming import Evidence
from loomwright.loom.errors import Problem, Where
from loomwright.loom.schema.work_tables import WHOLE_LOOM

ITEM_TABLES = ("plugs", "wires", "joints", "devices", "branches")
"""Tables whose rows work can be done on."""
_NOT_IN_NAMES = frozenset('/\\:*?"<>|')
"""Path marks, and what some file systems refuse: a job folder travels between machines."""


def steps_at_nothing(evidence: Evidence) -> Iterator[Problem]:
    """Work on an item that is not there; it may have been taken out of the loom since."""
    for row in evidence.job.tasks:
        if row.item is None or row.item == WHOLE_LOOM:
            continue
        problem = evidence.unknown(row.item, ITEM_TABLES, Where("tasks", row.row, "item"))
        if problem:
            asked = problem.expected if problem.expected.endswith("?") else f"{problem.expected}."
            cure = f"{asked} Keep it if the item was taken out since"
            yield Problem(problem.where, problem.what, cure, warning=True)


def unplain_photos(evidence: Evidence) -> Iterator[Problem]:
    """A picture whose name leads out of its folder, or that not every machine can keep."""
    for row in evidence.job.photos:
        if not plain_file_name(row.photo):
            yield Problem(
                Where("photos", row.row, "photo"),
                f'"{row.photo}" is not a plain file name',
                "write the name alone of a file in the folder photos, such as te-torn-boot.jpg, "
                'without a folder, two dots in a row or any of / \\ : * ? " < > |',
            )


def plain_file_name(name: str) -> bool:
    """Whether it is a file name without a path, the same on every machine."""
    marked = ".." in name or not _NOT_IN_NAMES.isdisjoint(name)
    edges = name != name.strip() or name.startswith(".") or name.endswith(".")
    return bool(name) and name.isprintable() and not marked and not edges

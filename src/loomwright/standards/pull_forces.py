"""Least force a crimp must bear before it gives way, by standard and conductor section."""

from __future__ import annotations

from functools import cache
from math import isclose

import attrs

from loomwright.loom.errors import NotFound, OutOfRange
from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced

_WIDEST_STEP = 1.65  # one row up the coarsest table, two AWG numbers apart
_SAME = 0.02  # sections of one name differ in the third digit


@attrs.frozen(kw_only=True)
class PullForce(Sourced):
    """Least pull-out force of one size.

    Attributes
    ----------
    standard : key of the standard
    section_mm2 : conductor section the row holds for; of an AWG row that of the solid wire
    awg : AWG number, 0 for 1/0; None in a table by sections
    pull_n : least force [N]
    """

    standard: str
    section_mm2: float
    awg: int | None
    pull_n: float


@cache
def pull_forces() -> tuple[PullForce, ...]:
    """All rows, by standard and section."""
    found = (
        PullForce(
            standard=row.text("standard"),
            section_mm2=row.number("section_mm2"),
            awg=row.whole("awg") if row.text("awg") else None,
            pull_n=row.number("pull_n"),
            **sourced(row),
        )
        for row in rows("pull_forces")
    )
    return tuple(sorted(found, key=lambda row: (row.standard, row.section_mm2)))


def pull_standards() -> tuple[str, ...]:
    """Keys of the standards there are."""
    return tuple(dict.fromkeys(row.standard for row in pull_forces()))


def pull_force(section_mm2: float, *, standard: str) -> PullForce:
    """The row of a section [mm²], or of the next larger one where a table steps over it.

    The next larger size asks for more force, so a crimp is never let through by the choice; the
    row tells its own section.

    Raises
    ------
    OutOfRange : the section is not above 0
    NotFound : there is no such standard, or no row close enough above the section
    """
    if not section_mm2 > 0:
        raise OutOfRange(
            f"{section_mm2:g} mm² is not possible",
            where="section",
            expected="give a section above 0",
        )
    family = [row for row in pull_forces() if row.standard == standard]
    if not family:
        raise not_found("pull standard", standard, pull_standards(), where="pull_forces")
    for row in family:
        same = isclose(row.section_mm2, section_mm2, rel_tol=_SAME)
        if same or section_mm2 < row.section_mm2 <= _WIDEST_STEP * section_mm2:
            return row
    sizes = ", ".join(f"{row.section_mm2:g}" for row in family)
    raise NotFound(
        f"{standard} has no least pull for {section_mm2:g} mm²",
        where="pull_forces",
        expected=f"it lists {sizes} mm²; choose another standard, or compare with the bare wire",
    )

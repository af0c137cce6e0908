"""What a survey grade looks like and what usually follows from it.

The five steps and the verdicts are common practice, no published source; the words are our own.
"""

from __future__ import annotations

from functools import cache

import attrs

from loomwright.loom.errors import OutOfRange
from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class Grade(Sourced):
    """One grade of one aspect.

    Attributes
    ----------
    aspect : `insulation`, `boot`, `shell`, `terminal` or `strands`
    grade : 0 as new … 4 danger
    looks_like : what eye and hand find
    verdict : what is usually done about it
    lost_up_to_pct : of `strands`, the largest share of broken strands [%]; None elsewhere
    """

    aspect: str
    grade: int
    looks_like: str
    verdict: str
    lost_up_to_pct: float | None


@cache
def all_grades() -> tuple[Grade, ...]:
    """All rows, by aspect and grade."""
    return tuple(
        Grade(
            aspect=row.text("aspect"),
            grade=row.whole("grade"),
            looks_like=row.text("looks_like"),
            verdict=row.text("verdict"),
            lost_up_to_pct=row.number_or_none("lost_up_to_pct"),
            **sourced(row),
        )
        for row in rows("grades")
    )


def grade(aspect: str, step: int) -> Grade:
    """What an aspect at a grade looks like, and what usually follows.

    Raises
    ------
    NotFound : the aspect is not in the table
    OutOfRange : the grade is not 0 to 4
    """
    family = {row.grade: row for row in all_grades() if row.aspect == aspect}
    if not family:
        raise not_found("survey aspect", aspect, {row.aspect for row in all_grades()},
                        where="grades")  # fmt: skip
    if step not in family:
        raise OutOfRange(
            f"grade {step} is not possible",
            where=f"grades, {aspect}",
            expected="give a grade from 0 (as new) to 4 (danger)",
        )
    return family[step]


def strands_grade(strands: int, *, left: int) -> Grade:
    """The grade of a wire by the share of its strands that is broken.

    Parameters
    ----------
    strands : strands when new, above 0
    left : strands still whole

    Raises
    ------
    OutOfRange : there are no strands, or more or fewer left than there can be
    """
    if strands < 1 or not 0 <= left <= strands:
        raise OutOfRange(
            f"{left} strands left of {strands} is not possible",
            where="grades, strands",
            expected="give strands from 1 up, and from 0 to as many left",
        )
    lost_pct = 100.0 * (strands - left) / strands
    family = [row for row in all_grades() if row.aspect == "strands"]
    return next(
        row for row in family if row.lost_up_to_pct is not None and lost_pct <= row.lost_up_to_pct
    )

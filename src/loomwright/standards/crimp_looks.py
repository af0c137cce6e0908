"""What a good crimp of an open barrel looks like, in words and figures."""

from __future__ import annotations

from functools import cache

import attrs

from loomwright.standards.csv_table import rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class CrimpLook(Sourced):
    """One thing to look at.

    Attributes
    ----------
    feature : its name
    words : what is looked at
    section_from_mm2, section_to_mm2 : sections it holds for, the first excluded; None for all
    least, most : its limits in `unit`; None where there is none
    unit : of the limits; blank without any
    """

    feature: str
    words: str
    section_from_mm2: float | None
    section_to_mm2: float | None
    least: float | None
    most: float | None
    unit: str

    def holds_for(self, section_mm2: float | None) -> bool:
        """Whether it is told for that section; for one not known only what holds for all."""
        low, high = self.section_from_mm2, self.section_to_mm2
        if low is None or high is None:
            return True
        return section_mm2 is not None and low < section_mm2 <= high


@cache
def all_crimp_looks() -> tuple[CrimpLook, ...]:
    """All rows, in file order."""
    return tuple(
        CrimpLook(
            feature=row.text("feature"),
            words=row.text("words"),
            section_from_mm2=row.number_or_none("section_from_mm2"),
            section_to_mm2=row.number_or_none("section_to_mm2"),
            least=row.number_or_none("least"),
            most=row.number_or_none("most"),
            unit=row.text("unit"),
            **sourced(row),
        )
        for row in rows("crimp_looks")
    )


def crimp_looks(section_mm2: float | None) -> tuple[CrimpLook, ...]:
    """What to look at on a conductor of that section [mm²]; None where it is not known.

    Examples
    --------
    >>> next(each.most for each in crimp_looks(0.75) if each.feature == "bellmouth")
    0.6
    """
    return tuple(each for each in all_crimp_looks() if each.holds_for(section_mm2))

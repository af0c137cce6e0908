"""What slides over a bundle: tubes of one bore, and woven sleeves that widen."""

from __future__ import annotations

from functools import cache

import attrs

from loomwright.standards.csv_table import not_found, rows
from loomwright.standards.provenance import Sourced, sourced


@attrs.frozen(kw_only=True)
class Sleeve(Sourced):
    """A size of sleeve.

    Attributes
    ----------
    kind : `vinyl tube`, `glass-silicone sleeve` or `woven sleeve`
    bore_mm : inside diameter, at rest
    bore_max_mm : widened as far as it goes; None where it does not widen
    highest_c : temperature it bears [°C]
    """

    kind: str
    bore_mm: float
    bore_max_mm: float | None
    highest_c: float


@cache
def all_sleeves() -> tuple[Sleeve, ...]:
    """All sizes, kind by kind, the smallest of each first."""
    return tuple(
        Sleeve(
            kind=row.text("kind"),
            bore_mm=row.number("bore_mm"),
            bore_max_mm=row.number_or_none("bore_max_mm"),
            highest_c=row.number("highest_c"),
            **sourced(row),
        )
        for row in rows("sleeves")
    )


def sleeve_kinds() -> tuple[str, ...]:
    """The kinds, in the order of the table."""
    return tuple(dict.fromkeys(each.kind for each in all_sleeves()))


def sleeves(kind: str) -> tuple[Sleeve, ...]:
    """The sizes of a kind, the smallest first.

    Raises
    ------
    NotFound : the kind is not in the table
    """
    found = tuple(each for each in all_sleeves() if each.kind == kind)
    if not found:
        raise not_found("kind of sleeve", kind, sleeve_kinds(), where="sleeves")
    return found

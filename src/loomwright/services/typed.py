"""What a person types on a number pad, as a cell wants it."""

from __future__ import annotations

import re
from decimal import Decimal

from loomwright.loom.schema import OVER_RANGE, Column

_SCALES = {"": "1", "R": "1", "Ω": "1", "k": "1e3", "K": "1e3", "M": "1e6", "m": "1e-3"}
_SIGN = r"(?P<sign>[+-]?)"
_SCALED = re.compile(
    _SIGN + r"(?P<whole>\d+(?:[.,]\d+)?|[.,]\d+)\s*(?P<scale>[RkKMmΩ]?)(?:Ω|ohms?|V|volts?)?\Z"
)
_MARKED = re.compile(_SIGN + r"(?P<whole>\d+)(?P<scale>[RkKM])(?P<part>\d+)\Z")
"""The letter in place of the decimal mark, `4k7`: the code of IEC 60062:2016, clause 4."""
_GROUPED = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_OVER = re.compile(r"[o0]\.?l\.?|over|∞", re.IGNORECASE)


def as_cell(column: Column, text: str) -> str:
    """The text of a cell; what is no number stays as it was typed, for the reader to refuse.

    Examples
    --------
    >>> from loomwright.loom import schema
    >>> value = schema.table("readings").column("value")
    >>> [as_cell(value, text) for text in ("1.2k", "4k7", "0,35", "ol", "12")]
    ['1200', '4700', '0,35', 'OL', '12']
    """
    trimmed = text.strip().replace("\u2212", "-")
    if column.kind == "measured" and _OVER.fullmatch(trimmed):
        return OVER_RANGE
    if column.kind not in ("measured", "number"):
        return text
    found = _MARKED.fullmatch(trimmed) or _SCALED.fullmatch(trimmed)
    if not found:
        return text
    part = found.groupdict().get("part")
    if not part and (not found["scale"] or _GROUPED.fullmatch(found["whole"])):
        # 1,200 may be 1200 or 1.2: the reader of cells asks which.
        return text if found["scale"] else found["sign"] + found["whole"]
    digits = found["whole"].replace(",", ".") + (f".{part}" if part else "")
    value = Decimal(found["sign"] + digits) * Decimal(_SCALES[found["scale"]])
    return _plain(value)


def _plain(value: Decimal) -> str:
    """All digits, without an exponent and without needless zeros."""
    whole = format(value, "f")
    return (whole.rstrip("0").rstrip(".") if "." in whole else whole) or "0"

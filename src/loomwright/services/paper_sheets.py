"""The sheets of labels that can be asked for, in words, each with the paper it comes on."""

from __future__ import annotations

import attrs

from loomwright import standards
from loomwright.loom import InputProblems, NotFound, Problem, Where
from loomwright.services.labelling import check_sheet

__all__ = ["SheetChoice", "check_label_sheet", "sheet_choices"]

_PAPER_WORDS = {"a4": "A4", "letter": "Letter"}


@attrs.frozen
class SheetChoice:
    """A sheet of labels, cut beforehand.

    Attributes
    ----------
    name : labels across and down, `3x7`
    words : its labels' size, and on which paper it comes
    """

    name: str
    words: str


def sheet_choices() -> tuple[SheetChoice, ...]:
    """All sheets of labels, those most used first."""
    return tuple(
        SheetChoice(
            each.name,
            f"{each.columns} × {each.rows} labels of {each.label_width_mm:.4g} × "
            f"{each.label_height_mm:.4g} mm, on {_PAPER_WORDS[each.paper]}",
        )
        for each in standards.label_sheets()
    )


def check_label_sheet(size: str, name: str) -> None:
    """See that the paper has such a sheet of labels; a blank name is the usual one.

    Raises
    ------
    InputProblems
        naming the field of the form, when it has none.
    """
    try:
        check_sheet(size, name)
    except NotFound as wrong:
        problem = Problem(Where("papers", column="label_sheet"), wrong.what, wrong.expected)
        raise InputProblems([problem]) from wrong

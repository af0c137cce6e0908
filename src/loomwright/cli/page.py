"""A page of text on the terminal: headings, hanging paragraphs, tables, at the console's width."""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING

from loomwright.cli.screen import clean, console

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

_HOLD = "\u00a0"
_BEFORE_UNIT = re.compile(r"(?<=[\d.]) (?=(?:[kMm]?Ω|°C|%|[VKA]|ms|min|bits?|mm²?)(?!\w))")
_AFTER_SIGN = re.compile(r"(?<=[±<>]) (?=\d)")


class Page:
    """What a command prints, line by line."""

    def __init__(self) -> None:
        self.out = console()

    def title(self, text: str) -> None:
        """The name of the job."""
        self.say(text, style="head")

    def heading(self, text: str) -> None:
        """A heading with a blank line above."""
        self.gap()
        self.say(text, style="head")

    def gap(self) -> None:
        """A blank line."""
        self.out.print()

    def say(self, text: str, *, lead: str = "", style: str = "") -> None:
        """A paragraph; what follows its first line stands below the end of `lead`.

        Parameters
        ----------
        text : the words
        lead : what stands before the first line, blanks included
        style : of all of it
        """
        self.out.print(folded(text, self.out.width, lead=lead), style=style or None, soft_wrap=True)

    def show(self, thing: RenderableType) -> None:
        """A table or a panel."""
        self.out.print(thing)


def folded(text: str, width: int, *, lead: str = "") -> str:
    """Text broken into lines, a number never parted from its unit.

    Parameters
    ----------
    text : the words
    width : of the lines [columns]
    lead : what stands before the first line; the others are indented as far
    """
    held = _AFTER_SIGN.sub(_HOLD, _BEFORE_UNIT.sub(_HOLD, clean(text)))
    lines = textwrap.wrap(
        held,
        max(width, len(lead) + 20),
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_on_hyphens=False,
    )
    return "\n".join(lines).replace(_HOLD, " ") if lines else lead.rstrip()


def table(*columns: tuple[str, str, int]) -> Table:
    """An empty table.

    Parameters
    ----------
    columns : heading, `left` or `right`, and the largest width of each
    """
    from rich.box import SIMPLE_HEAD
    from rich.table import Table

    made = Table(
        box=SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0), header_style="head", show_edge=False
    )
    for name, side, width in columns:
        made.add_column(
            name, justify="right" if side == "right" else "left", max_width=width, overflow="fold"
        )
    return made

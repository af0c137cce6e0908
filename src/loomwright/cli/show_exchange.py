"""`netlist` and `wire-list`: the netlist itself, or where a file stands now."""

from __future__ import annotations

from loomwright.cli.page import Page
from loomwright.cli.screen import clean, console
from loomwright.services.words import SAFETY


def show_netlist(text: str) -> None:
    """The netlist as it is, for another program to read."""
    console().print(text, end="", soft_wrap=True, markup=False, highlight=False)


def show_put(place: str) -> None:
    """Name the file that was made."""
    page = Page()
    page.out.print(f"Made {clean(place)}", soft_wrap=True, markup=False)
    page.say(f"Hold it against the car before a wire is cut by it. {SAFETY}")

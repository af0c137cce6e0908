"""What `draw` says: which drawings were made, and what they need of the person."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.cli.page import Page
from loomwright.services.counting import counted


def show_draw(places: Sequence[str]) -> None:
    """Name the files, one in a line.

    Parameters
    ----------
    places : where each drawing was put
    """
    page = Page()
    page.say(f"Made {counted(len(places), 'drawing')}:")
    for place in places:
        page.out.print(f"  {place}", soft_wrap=True)
    page.say(
        "Before you work by a drawing, hold it against the plug: seen from which side, and where "
        "cavity 1 is. A browser shows and prints it."
    )

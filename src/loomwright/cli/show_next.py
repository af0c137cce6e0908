"""Readings worth taking: their steps with the cautions, and what each suspect would give."""

from __future__ import annotations

from loomwright.cli.page import Page
from loomwright.services.reading_words import ONE_BIT, expected, numbered, worth
from loomwright.services.suspects import SuspectsReport

LETTERS = "ABCDEFGH"
COLUMN = 19
"""Where the values begin that a suspect would give."""


def show_next(page: Page, report: SuspectsReport) -> None:
    """Each reading as a block, the best first.

    Parameters
    ----------
    page : where it goes
    report : what is believed of the job
    """
    page.heading("What to measure next: the best first, one of them is enough for now")
    for letter, reading in zip(LETTERS, report.next_readings, strict=False):
        page.say(worth(reading), lead=f"{letter}  ", style="head")
        for mark, text in numbered(reading.words, reading.cautions):
            page.say(text, lead=f"   {mark} ", style="care" if mark == "!" else "")
        for who, text in expected(reading):
            page.say(text, lead=f"     {who}  ".ljust(COLUMN))
        page.gap()
    page.say(ONE_BIT)

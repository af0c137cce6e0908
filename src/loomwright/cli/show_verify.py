"""What `verify` says: the lines with their limits, isolation, and what the list lets pass."""

from __future__ import annotations

from loomwright.cli.page import Page, table
from loomwright.services.numbers import shown
from loomwright.services.verify import CAUTIONS, VerifyReport
from loomwright.services.verify_words import (
    ENOUGH,
    FIRST,
    all_seen,
    fails_words,
    fixture_words,
    hand_words,
    how_many,
    isolation_limits,
    leads,
    limit_words,
    rests_on,
    seen_words,
    surely,
    unseen_words,
)
from loomwright.services.words import SAFETY, sentence

_ROOM = "_" * 6


def show_verify(report: VerifyReport) -> None:
    """The whole list.

    Parameters
    ----------
    report : the list and what it is worth
    """
    page = Page()
    page.title(report.job)
    page.say(how_many(report))
    if report.nets:
        for caution in CAUTIONS:
            page.say(caution, lead="! ", style="care")
        _continuity(page, report)
        _isolation(page, report)
        _unseen(page, report)
        page.heading("What this rests on")
        for line in rests_on(report):
            page.say(line)
    page.gap()
    page.say(SAFETY)


def _continuity(page: Page, report: VerifyReport) -> None:
    page.heading("Continuity")
    page.say(FIRST)
    page.say(leads(report))
    page.say(surely(report))
    rows = table(
        ("No.", "right", 4), ("stays at", "left", 12), ("goes to", "left", 12),
        ("wires", "left", 16), ("at most", "right", 14), ("read", "left", 6),
        ("moved", "left", 6),
    )  # fmt: skip
    for line in report.lines:
        rows.add_row(
            str(line.number), line.start, line.end, " ".join(line.wires), limit_words(line),
            _ROOM, _ROOM,
        )  # fmt: skip
    page.show(rows)
    highest = max((line.two_lead_ohm for line in report.lines), default=0.0)
    page.say(f"With two leads, zeroed, no line may read above {shown(highest)}.")


def _isolation(page: Page, report: VerifyReport) -> None:
    if not report.by_hand:
        return
    page.heading("Isolation")
    for line in isolation_limits(report):
        page.say(line)
    page.say(ENOUGH)
    page.say(fixture_words(report))
    for test in report.fixture:
        page.say(f"red {', '.join(test.red)}", lead=f"{test.number:>3}  ")
        page.say(fails_words(test), lead="     ", style="quiet")
    page.say(hand_words(report))


def _unseen(page: Page, report: VerifyReport) -> None:
    page.heading("What this list lets pass")
    page.say(seen_words(report))
    if all_seen(report):
        page.say(all_seen(report))
    for tried in report.unseen:
        page.say(sentence(unseen_words(tried)), lead="· ")
        page.say(tried.instead, lead="  → ")

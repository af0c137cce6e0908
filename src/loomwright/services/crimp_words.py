"""Trial crimps in words: what a set-up is, whether its pull is proved, and what is still to try."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.services.card_parts import CrimpLine
from loomwright.services.counting import counted
from loomwright.services.crimps import SetUp
from loomwright.services.job_cards import Work

__all__ = ["is_of", "section_words", "set_up_words", "unchosen", "untried", "verdict"]

_CRIMPED = {"terminal", "splice"}
"""Kinds of parts that are crimped."""


def section_words(mm2: float | None) -> str:
    """`0.75 mm²`; empty where it is not known."""
    return "" if mm2 is None else f"{mm2:g} mm²"


def set_up_words(terminal: str | None, section_mm2: float | None, die: str | None) -> str:
    """What a set-up is: `flat 2.8 x 0.8, 0.75 mm², die B2`."""
    told = (terminal, section_words(section_mm2), die and f"die {die}")
    return ", ".join(part for part in told if part)


def verdict(each: SetUp) -> tuple[str, str]:
    """Whether the pull is proved, with how many more it takes, and the kind: good, watch or bad.

    Proved means that the bound of `SetUp.bound_n` reaches the least force; a pull alone does not
    prove a crimp, so a set-up with warnings stays one to watch.
    """
    if each.least is None:
        return "no least force is known for it", "watch"
    if each.bound_n is None:
        count = 2 - len(each.pulls.values)
        return f"not shown yet: pull at least {counted(count, 'more crimp')}", "watch"
    if each.passes:
        return ("pull shown, but see the warnings", "watch") if each.warnings else (
            "pull shown", "good")  # fmt: skip
    if each.proof.by_measuring:
        more = counted(each.proof.by_measuring, "more pull")
        return f"not shown yet: {more} like these", "watch"
    return "not shown: more pulls like these will not show it; mend height or die first", "bad"


def untried(work: Work) -> Iterator[CrimpLine]:
    """Terminals that the work needs and that no trial was made of, each section once."""
    seen = set()
    for line in (line for card in work.cards for line in card.crimps):
        key = (line.part.part, line.section_mm2)
        if line.set_up is None and key not in seen:
            seen.add(key)
            yield line


def is_of(line: CrimpLine) -> str:
    """What the trial of a card's crimp would be called, as a set-up."""
    return set_up_words(line.part.part, line.section_mm2, line.crimping.die)


def unchosen(work: Work) -> tuple[str, ...]:
    """Items that get new terminals or splices, of which none in the catalogue is known to fit."""
    return tuple(card.item for card in work.cards if not _CRIMPED.isdisjoint(card.missing))

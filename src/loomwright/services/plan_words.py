"""What a plan says, in sentences: what an offer does, and what would change the choice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from loomwright.services.labels import Labels
from loomwright.services.plan import CURE_WORDS, Offered, PlanReport
from loomwright.services.words import listed, sure


def kind_words(names: str) -> str:
    """`extend + re_terminate` as a person says it: `splice and new terminals`."""
    return listed([CURE_WORDS[name] for name in names.split(" + ")])


def by_kind(cures: Iterable[str]) -> dict[str, list[str]]:
    """Where each kind of work is done, kinds in the order met."""
    found: dict[str, list[str]] = {}
    for cure in cures:
        kind, _, where = cure.rpartition(" ")
        found.setdefault(kind_words(kind), []).append(where)
    return found


def by_item(cures: Iterable[str]) -> dict[str, list[str]]:
    """What is done at each item, items in the order met."""
    found: dict[str, list[str]] = {}
    for cure in cures:
        kind, _, where = cure.rpartition(" ")
        found.setdefault(where, []).append(kind_words(kind))
    return found


def does(offer: Offered) -> str:
    """What an offer does: `new terminals at TE; new boot at TT.`"""
    if offer.choice is None:
        return f"not possible: {offer.why_not}."
    if not offer.choice.cures:
        return "nothing is done."
    kinds = by_kind(offer.choice.cures).items()
    return "; ".join(f"{kind} at {listed(where)}" for kind, where in kinds) + "."


def flips_said(report: PlanReport) -> Iterator[str]:
    """What would change the choice, a sentence each."""
    usual = set(report.pays.choice.cures) if report.pays.choice else set()
    for flip in report.flips:
        more = sorted(set(flip.instead) - usual)
        less = sorted(usual - set(flip.instead))
        said = [f"also {listed(_plain(more))}"] if more else []
        said += [f"no longer {listed(_plain(less))}"] if less else []
        money = flip.unknown.kind == "comeback cost"
        value = f"{flip.beyond:.0f} {report.currency}".strip() if money else sure(flip.beyond)
        way = "below" if flip.down else "above"
        yield f"{flip.unknown.name}, {way} {value}: {', '.join(said)}."


def _plain(cures: Sequence[str]) -> list[str]:
    parts = (cure.rpartition(" ") for cure in cures)
    return [f"{kind_words(kind)} at {where}" for kind, _, where in parts]


def line_words(words: str, labels: Labels) -> str:
    """A line of a quote as its owner reads it: `Throttle switch plug (TH): new boot`."""
    kinds, _, where = words.rpartition(" ")
    if not all(kind in CURE_WORDS for kind in kinds.split(" + ")):
        return words
    return f"{labels.called(where)}: {kind_words(kinds)}"

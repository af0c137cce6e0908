"""What a plan says, in sentences: what an offer does, and what would change the choice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from loomwright.repair.large_cures import NEW_LOOM
from loomwright.services.labels import Labels
from loomwright.services.plan import CURE_WORDS, CureFacts, Offered, PlanReport
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


def done_at(kind: str, where: Sequence[str]) -> str:
    """`new boot at TT`; a new loom is the whole of it, so no place is told."""
    return kind if kind == CURE_WORDS[NEW_LOOM] else f"{kind} at {listed(list(where))}"


def does(offer: Offered) -> str:
    """What an offer does: `new terminals at TE; new boot at TT.`"""
    if offer.choice is None:
        return f"not possible: {offer.why_not}."
    if not offer.choice.cures:
        return "nothing is done."
    kinds = by_kind(offer.choice.cures).items()
    return "; ".join(done_at(kind, where) for kind, where in kinds) + "."


def cure_words(fact: CureFacts) -> str:
    """A cure as a person says it: `new terminals at TE`."""
    kind, _, where = fact.cure.rpartition(" ")
    return done_at(kind_words(kind), [where])


def life_words(fact: CureFacts) -> str:
    """How long a cure is likely to last: `7 years`; a dash where nothing is known."""
    return "–" if fact.life_years is None else f"{fact.life_years:g} years"


def rests_on(facts: Iterable[CureFacts]) -> Iterator[str]:
    """What each cure rests on, those alike in one sentence: `new boot at I1: boot of grade 2.`"""
    alike: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for fact in facts:
        kind, _, where = fact.cure.rpartition(" ")
        alike.setdefault((kind_words(kind), fact.because), []).append(where)
    for (kind, because), places in alike.items():
        yield f"{done_at(kind, places)}: {'; '.join(because)}."


def weak_points(facts: Iterable[CureFacts]) -> Iterator[str]:
    """What is likely to go wrong, once a kind: `splice, weak point: a joint in a hot place.`"""
    said: dict[str, None] = {}
    for fact in facts:
        names = fact.cure.rpartition(" ")[0].split(" + ")
        for name, point in zip(names, fact.weak_points, strict=True):
            said[f"{kind_words(name)}, weak point: {point}."] = None
    yield from said


def lives_rest_on(facts: Iterable[CureFacts]) -> str:
    """Standing of the likely lives, kind by kind where they differ; empty where none is known."""
    by_standing: dict[str, dict[str, None]] = {}
    for fact in facts:
        if fact.life_years is not None:
            kind = kind_words(fact.cure.rpartition(" ")[0])
            by_standing.setdefault(fact.life_standing, {})[kind] = None
    if len(by_standing) < 2:
        return f"Standing of the likely lives: {''.join(by_standing)}." if by_standing else ""
    parts = (f"{standing} for {listed(list(kinds))}" for standing, kinds in by_standing.items())
    return f"Standing of the likely lives: {'; '.join(parts)}."


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
    return [done_at(kind_words(kind), [where]) for kind, _, where in parts]


def line_words(words: str, labels: Labels) -> str:
    """A line of a quote as its owner reads it: `Throttle switch plug (TH): new boot`."""
    kinds, _, where = words.rpartition(" ")
    if not all(kind in CURE_WORDS for kind in kinds.split(" + ")):
        return words
    return f"{labels.called(where)}: {kind_words(kinds)}"

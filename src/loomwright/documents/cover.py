"""The cover page: what the owner asked, what was found, done and left, and when to look again."""

from __future__ import annotations

from collections.abc import Collection, Iterator

import attrs

from loomwright.documents.done_part import how_far
from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.services.counting import counted
from loomwright.services.effect_words import effects
from loomwright.services.finding_words import about, certainty, overall, worth_naming
from loomwright.services.judge import seen_bad
from loomwright.services.look_again import LookAgain
from loomwright.services.plan_words import by_kind
from loomwright.services.words import listed, sentence, sure
from loomwright.services.workup import WorkUp

MOST_SEEN, _MOST_NAMED = 6, 4


@attrs.frozen(kw_only=True)
class Finding:
    """A suspect that is named.

    Attributes
    ----------
    surely : whether it may be acted on
    where : the place in words
    what : what is wrong there and how much
    certainty : how sure that is, in a sentence
    """

    surely: bool
    where: str
    what: str
    certainty: str


@attrs.frozen(kw_only=True)
class Row:
    """A thing and what is said of it.

    Attributes
    ----------
    name : what the owner calls it
    words : what is said of it
    """

    name: str
    words: str


@attrs.frozen(kw_only=True)
class Visit:
    """One time to look again.

    Attributes
    ----------
    when : in words, with the day where it is known
    what : what is looked at
    """

    when: str
    what: str


@attrs.frozen(kw_only=True)
class Cover(Context):
    """What the template is given.

    Attributes
    ----------
    complaint : in the owner's words
    overall : what holds of the whole loom, empty where the findings say it
    findings : what the readings say
    seen : what the eye found, worst first
    seen_more : how many more there are, in a sentence; empty where there are none
    effects : what it does to fuel and running
    offer : the offer that is followed, in a sentence
    work : what is done, by kind of work
    left : what stays as it is
    left_note : the rest of it and its risk, in sentences
    proof : what the readings after the work show, in a line
    proof_note : what is still open of it, empty where nothing is
    visits : when to look again
    visits_note : what these figures rest on
    papers : what else is in the pack
    """

    complaint: str
    overall: str
    findings: tuple[Finding, ...]
    seen: tuple[Row, ...]
    seen_more: str
    effects: tuple[str, ...]
    offer: str
    work: tuple[Row, ...]
    left: tuple[Row, ...]
    left_note: str
    proof: str
    proof_note: str
    visits: tuple[Visit, ...]
    visits_note: str
    papers: tuple[str, ...]


def cover(known: WorkUp, made_on: str, papers: Collection[str] = ()) -> Iterator[Paper]:
    """The page; there always is one.

    Parameters
    ----------
    known : the job and what is known of it
    made_on : the day, ISO 8601
    papers : what else is in the pack, a few words each
    """
    report, again = known.suspects, known.look_again
    seen = list(_seen(known))
    more = len(seen) - MOST_SEEN
    choice = known.plan.chosen.choice
    cures = choice.cures if choice is not None else ()
    yield Paper(
        name="cover",
        template="cover",
        context=Cover(
            **headed(known.job, "For the owner", made_on),
            complaint=known.job.about.complaint or "No complaint is written down.",
            overall=overall(report),
            findings=tuple(_findings(known)),
            seen=tuple(seen[:MOST_SEEN]),
            seen_more=f"And {more} more; the job cards name them." if more > 0 else "",
            effects=_effects(known),
            offer=_offer(known),
            work=tuple(
                Row(name=sentence(kind), words=_done(known, kind, where))
                for kind, where in by_kind(cures).items()
            ),
            left=tuple(_left(known)),
            left_note=_left_note(known),
            proof=known.proof.verdict,
            proof_note=_proof_note(known),
            visits=tuple(
                Visit(
                    when=sentence(each.when) + (f": by {each.by}" if each.by else ""),
                    what=f"{sentence(each.what)}.",
                )
                for each in again.visits
            ),
            visits_note=f"These times are {again.standing}."
            if again.visits
            else "Nothing is to be done and nothing was left, so no time is set.",
            papers=tuple(f"{sentence(each)}." for each in papers),
        ),
    )  # fmt: skip


def _findings(known: WorkUp) -> Iterator[Finding]:
    report = known.suspects
    for number, suspect in worth_naming(report):
        yield Finding(
            surely=number == report.claimed,
            where=sentence(known.labels.place(suspect.items, suspect.kind)),
            what=f"{sentence(about(suspect))}.",
            certainty=sentence(certainty(report, number)),
        )


def _seen(known: WorkUp) -> Iterator[Row]:
    """What the eye found bad, item by item, in the person's own words where there are some."""
    for item, bad in seen_bad(known.job, known.judge):
        said = "; ".join(_state(each.aspect, each.note or each.looks_like) for each in bad)
        yield Row(name=known.labels.called(item), words=f"{sentence(said)}.")


def _state(aspect: str, words: str) -> str:
    """What a part looks like, its name said once."""
    return words if aspect in words.casefold() else f"{aspect} {words}"


def _effects(known: WorkUp) -> tuple[str, ...]:
    seen = known.sees
    if seen is None:
        return ("Not known: no reading has been taken yet.",)
    if not seen.sensors and not seen.injectors:
        return ("Not known: the job tells nothing of the control unit's inputs.",)
    said = effects(seen, known.labels)
    return tuple(said) or (
        "What the control unit believes and drives is within what good parts may be off by.",
    )


def _offer(known: WorkUp) -> str:
    offer = known.plan.chosen
    if offer.choice is None:
        return f"The offer “{offer.name}” is not possible: {offer.why_not}."
    if not offer.choice.cures:
        return f"The offer “{offer.name}”: nothing is to be done by what is known so far."
    if known.done.begun:
        return f"The offer “{offer.name}”: {_so_far(known)}"
    if known.job.proof:
        return f"The offer “{offer.name}”; the signed job cards show what was done and when."
    return f"The offer “{offer.name}”: this is what is to be done."


def _so_far(known: WorkUp) -> str:
    """How far the work is, and at which items."""
    open_ = [each for each in known.done.open if each.item]
    others = sum(not each.begun for each in open_)
    said = [
        how_far(known),
        *_at(known, "Finished", known.done.whole),
        *_at(known, "Begun and not finished", [each.item for each in open_ if each.begun]),
        *([f"{counted(others, 'item')} not begun"] if others else []),
    ]
    return f"{'. '.join(said)}."


def _at(known: WorkUp, word: str, items: Collection[str]) -> Iterator[str]:
    if items:
        names = [known.labels.called(item) for item in items]
        more = [f"{len(names) - _MOST_NAMED} more"] if len(names) > _MOST_NAMED else []
        yield f"{word}: {listed([*names[:_MOST_NAMED], *more])}"


def _left(known: WorkUp) -> Iterator[Row]:
    """What stays, what looks alike and is as likely to come back together."""
    alike: dict[tuple[str, str, str], list[str]] = {}
    for each in known.look_again.left:
        state = each.looks_like if each.grade is not None else "suspected by the readings"
        alike.setdefault((each.aspect, state, sure(each.chance)), []).append(each.item)
    for (aspect, state, chance), items in alike.items():
        said = f"Chance that {'it' if len(items) == 1 else 'each'} comes back: {chance}."
        yield Row(name=sentence(_state(aspect, state)), words=f"{_named(known, items)} {said}")


def _named(known: WorkUp, items: Collection[str]) -> str:
    """`Throttle switch plug (TH); Injector plug, cylinder 1 (I1).`"""
    return "; ".join(known.labels.called(item) for item in items) + "."


def _left_note(known: WorkUp) -> str:
    again = known.look_again
    if again.comebacks is None:
        return "The offer is not possible, so nothing is weighed against what stays."
    if not known.job.survey:
        return "Not known: nothing was looked at by eye, no survey is written down."
    parts = []
    if again.small:
        things = "thing" if again.small == 1 else "things"
        more = "more " if again.left else ""
        parts.append(
            f"{again.small} {more}{things}, each with a chance below {sure(again.small_chance)} "
            "to come back."
        )
    elif not again.left:
        parts.append("Nothing that was looked at.")
    parts.append(
        f"Over all that is done and left, about {again.comebacks:.1f} comebacks are reckoned with; "
        "the chances are assumed, there are no counts. What was not looked at is not in it."
    )
    return " ".join(parts)


def _proof_note(known: WorkUp) -> str:
    report = known.proof
    if not report.proofs:
        return "The test sheet has room for the readings after the work."
    if report.proved:
        return "The report before and after shows every reading."
    open_ = [f"not read again: {listed(list(report.unproved))}"] if report.unproved else []
    if report.set_aside:
        open_.append(f"set aside: {listed([name for name, _ in report.set_aside])}")
    if report.still_open:
        open_.append(f"not in order or no change shown: {listed(list(report.still_open))}")
    return f"{sentence('; '.join(open_))}. The report before and after says more."


def _done(known: WorkUp, kind: str, where: Collection[str]) -> str:
    return " ".join((_named(known, where), *_life(known.look_again, kind)))


def _life(again: LookAgain, kind: str) -> Iterator[str]:
    """How long a kind of work is likely to last, where a figure is known."""
    for each in again.lasting:
        if each.words == kind and each.years is not None:
            yield f"Likely life about {each.years:.0f} years ({each.standing})."

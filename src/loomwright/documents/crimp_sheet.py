"""The crimp sheet: trials of every set-up, what they prove, room for more, what to look at."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.loom import CrimpTrial
from loomwright.services.crimps import (
    CrimpLook,
    PullForce,
    SetUp,
    good_crimp,
    height_tolerance,
    least_pull,
    shown_good,
)
from loomwright.services.job_cards import CrimpLine
from loomwright.services.words import sentence
from loomwright.services.workup import WorkUp

BLANKS, FIRST_BLANKS = 5, 8
"""Empty lines after trials that were made, and where none was."""


@attrs.frozen(kw_only=True)
class TrialRow:
    """One trial.

    Attributes
    ----------
    trial : its name
    height, mean_height, width, pull, mean_pull : as measured, and the means so far
    gave_way, look : where it gave way, how it looks
    note : what was written
    """

    trial: str
    height: str
    mean_height: str
    width: str
    pull: str
    mean_pull: str
    gave_way: str
    look: str
    note: str


@attrs.frozen(kw_only=True)
class SetUpPart:
    """One set-up.

    Attributes
    ----------
    heading : terminal, wire and die; empty where they are to be written in
    asked, source : the force asked for, and where it stands and how far that can be trusted
    trials : those made so far
    blanks : numbers of the empty lines
    facts : means and limits
    proves : what the trials show, in sentences
    warnings : what speaks against them, in sentences
    """

    heading: str
    asked: str
    source: str
    trials: tuple[TrialRow, ...]
    blanks: tuple[int, ...]
    facts: tuple[tuple[str, str], ...]
    proves: tuple[str, ...]
    warnings: tuple[str, ...]


@attrs.frozen(kw_only=True)
class LookRow:
    """One thing to look at.

    Attributes
    ----------
    feature, words : its name, and what is looked at
    limit : its limits with their unit, empty without any
    standing : how far that can be trusted
    """

    feature: str
    words: str
    limit: str
    standing: str


@attrs.frozen(kw_only=True)
class CrimpSheet(Context):
    """What the template is given.

    Attributes
    ----------
    how : how trials are made
    cautions : what spoils a crimp, before anything else
    set_ups : the set-ups with their trials
    looks : what a good crimp looks like
    notes : what the figures rest on, and how little few trials show
    """

    how: str
    cautions: tuple[str, ...]
    set_ups: tuple[SetUpPart, ...]
    looks: tuple[LookRow, ...]
    notes: tuple[str, ...]


def crimp_sheet(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """One sheet with every set-up that was tried, and those that the planned work needs."""
    tried = known.crimps.set_ups
    needed = tuple(_untried(known))
    parts = [_tried(known, each) for each in tried] + [_needed(line) for line in needed]
    sections = [each.section_mm2 for each in tried] + [line.section_mm2 for line in needed]
    yield Paper(
        name="crimp-sheet",
        template="crimp-sheet",
        context=CrimpSheet(
            **headed(known.job, "Crimp sheet", made_on),
            how="Make three to five trials of every terminal, wire and die; look, measure the "
            "height, then pull with the insulation barrel open.",
            cautions=(
                "No solder after the crimp: the wire turns stiff and breaks where the solder ends.",
                "No strand cut away to fit: take the terminal of this section.",
                "No other die than the terminal's own: its numbers hold for that die alone.",
            ),
            set_ups=tuple(parts or [_nothing_known()]),
            looks=tuple(_looks(sections)),
            notes=tuple(_notes(known)),
        ),
    )


def _untried(known: WorkUp) -> Iterator[CrimpLine]:
    """Terminals that the work needs and that no trial was made of."""
    seen = set()
    for card in known.work.cards:
        for line in card.crimps:
            if line.set_up is None and (line.part.part, line.section_mm2) not in seen:
                seen.add((line.part.part, line.section_mm2))
                yield line


def _tried(known: WorkUp, each: SetUp) -> SetUpPart:
    told = (each.terminal, _section(each.section_mm2), each.die and f"die {each.die}")
    made = len(each.trials)
    return SetUpPart(
        heading=f"{each.set_up}: {', '.join(part for part in told if part)}",
        asked=_asked(each.least, each.why_none),
        source=_source(each.least),
        trials=tuple(_rows(each)),
        blanks=tuple(range(made + 1, made + 1 + BLANKS)),
        facts=tuple(_facts(known, each)),
        proves=each.said,
        warnings=each.warnings,
    )


def _needed(line: CrimpLine) -> SetUpPart:
    die, least = line.crimping.die, least_pull(line.section_mm2)
    told = (line.part.part, _section(line.section_mm2), f"die {die}" if die else "")
    lack = "" if line.section_mm2 else "The conductor's section is not known: no force is told."
    return SetUpPart(
        heading=f"No trial yet: {', '.join(part for part in told if part)}",
        asked=_asked(least, lack),
        source=_source(least),
        trials=(),
        blanks=tuple(range(1, FIRST_BLANKS + 1)),
        facts=(),
        proves=("The work needs this crimp, and nothing is shown of it yet.",),
        warnings=tuple(f"{sentence(reason)}." for reason in line.crimping.reasons),
    )


def _nothing_known() -> SetUpPart:
    return SetUpPart(
        heading="",
        asked="The force asked for goes by the conductor's section: write it in first.",
        source="",
        trials=(),
        blanks=tuple(range(1, FIRST_BLANKS + 1)),
        facts=(),
        proves=("No trial crimp is written down, so nothing is shown.",),
        warnings=(),
    )


def _section(mm2: float | None) -> str:
    return "" if mm2 is None else f"{mm2:g} mm²"


def _asked(least: PullForce | None, lack: str) -> str:
    if least is None:
        return lack or "No least force is known for this section."
    return f"At least {least.pull_n:g} N is asked for."


def _source(least: PullForce | None) -> str:
    if least is None:
        return ""
    size = f"{least.section_mm2:g} mm²" + ("" if least.awg is None else f", AWG {least.awg}")
    note = f" {sentence(least.note)}." if least.note else ""
    where = f"{least.source.body}, {least.source.title}"
    return f"The row for {size} of: {where}. Standing: {least.standing}.{note}"


def _rows(each: SetUp) -> Iterator[TrialRow]:
    heights, pulls = iter(each.heights.running_mean), iter(each.pulls.running_mean)
    for row in each.trials:
        yield TrialRow(
            trial=row.trial,
            height=_measured(row.height_mm, 2),
            mean_height="" if row.height_mm is None else f"{next(heights):.3f}",
            width=_measured(row.width_mm, 2),
            pull=_measured(row.pull_n, 0),
            mean_pull="" if row.pull_n is None else f"{next(pulls):.1f}",
            gave_way=_gave_way(row),
            look=row.look or "not told",
            note=row.note or "",
        )


def _gave_way(row: CrimpTrial) -> str:
    return "" if row.pull_n is None and row.failed_at is None else row.failed_at or "not told"


def _measured(value: float | None, digits: int) -> str:
    return "" if value is None else f"{value:.{digits}f}"


def _facts(known: WorkUp, each: SetUp) -> Iterator[tuple[str, str]]:
    usual = height_tolerance(known.job)
    if each.heights.mean is not None:
        limits = each.heights.limits
        own = (
            f"; limits of its own series {limits.low:.2f} to {limits.high:.2f} mm" if limits else ""
        )
        yield (
            "Height",
            f"mean {each.heights.mean:.3f} mm{own}; ±{usual.value:g} {usual.unit} is usual "
            f"({usual.standing})",
        )
    if each.pulls.mean is not None:
        limits = each.pulls.limits
        own = (
            f"; limits of its own series {limits.low:.0f} to {limits.high:.0f} N" if limits else ""
        )
        yield "Pull", f"mean {each.pulls.mean:.1f} N, least {each.pulls.worst:.0f} N{own}"


def _looks(sections: list[float | None]) -> Iterator[LookRow]:
    """What holds for any of the sections, each once."""
    found = dict.fromkeys(look for each in sections or [None] for look in good_crimp(each))
    features = list(dict.fromkeys(look.feature for look in found))
    for look in sorted(found, key=lambda each: features.index(each.feature)):
        yield LookRow(
            feature=sentence(look.feature),
            words=_look_words(look),
            limit=_limit(look),
            standing=f"{look.standing}; {look.note}"
            if look.note == "from memory"
            else look.standing,
        )


def _look_words(look: CrimpLook) -> str:
    low, high = look.section_from_mm2, look.section_to_mm2
    if low is None or high is None:
        return look.words
    return f"{look.words}; for {low:g} to {high:g} mm²"


def _limit(look: CrimpLook) -> str:
    unit = look.unit if look.unit == "°" else f" {look.unit}"
    if look.least is None and look.most is None:
        return ""
    if look.least is None:
        return f"at most {look.most:g}{unit}"
    if look.most is None:
        return f"at least {look.least:g}{unit}"
    return f"{look.least:g} to {look.most:g}{unit}"


def _notes(known: WorkUp) -> Iterator[str]:
    few, many = (100 * shown_good(count) for count in (5, 30))
    yield (
        f"Five good crimps in a row show only that at least {few:.0f} of 100 are good, thirty that "
        f"{many:.0f} are, with 95 % confidence: counting proves little, so measure."
    )
    yield (
        "A pull force alone does not prove a good crimp: look and height come first. Limits of a "
        "series are those of single values and their moving range."
    )
    yield (
        f"A crimp is taken to fail about {100 * known.crimps.scrap:.0f} times in 100, by the "
        "trials and common practice together."
    )
    yield "A hand tool's heights are its own; those of a machine do not hold for it."

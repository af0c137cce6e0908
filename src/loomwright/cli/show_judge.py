"""What `judge` says: plugs worst first, wires and joints, branches, parts, what is open."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from loomwright.cli.page import Page, table
from loomwright.loom import Job, Topology
from loomwright.services import words
from loomwright.services.counting import counted
from loomwright.services.judge import (
    FITS,
    IN_PART,
    MISFIT,
    RENEWED_FROM,
    UNKNOWN,
    BranchCondition,
    Crimping,
    ItemCondition,
    JudgeReport,
    PartFit,
)
from loomwright.services.words import BEFORE_OPENING, SAFETY, listed

if TYPE_CHECKING:
    from rich.text import Text

_STYLES = ("good", "good", "care", "bad", "bad")
GRADES: dict[int, tuple[str, str]] = {
    grade: (f"{grade} {word}", style)
    for grade, (word, style) in enumerate(zip(words.GRADES, _STYLES, strict=True))
}
"""Word and style of each grade."""
KINDS = (("boot", "Boots"), ("terminal", "Terminals"), ("shell", "Shells"))
MOST_NAMES = 8
"""Names told one by one; the rest are counted."""


def show_judge(report: JudgeReport, job: Job) -> None:
    """Conditions, branches, fit, and what was not looked at.

    Parameters
    ----------
    report : what the survey and the catalogue say
    job : for the labels of plugs
    """
    page = Page()
    page.title(report.job)
    seen = [item for item in report.items if item.worst is not None]
    if not seen:
        page.say("Nothing was graded yet: write what eye and hand find into the table survey.")
    _plugs(page, [item for item in seen if item.kind == "plug"], job)
    _others(page, [item for item in seen if item.kind != "plug"])
    if seen:
        _branches(page, report)
    _fit(page, report, known=bool(job.catalogue))
    _crimping(page, report.crimping)
    _open(page, report)
    page.gap()
    page.say("Grades and what follows from them are common practice; your own judgement counts.")
    page.say(f"! {BEFORE_OPENING}")
    page.say(SAFETY)


def _plugs(page: Page, items: Sequence[ItemCondition], job: Job) -> None:
    if not items:
        return
    labels = {name: plug.label or "" for name, plug in Topology(job).plugs.items()}
    made = table(
        ("Plug", "left", 5),
        ("", "left", 24),
        ("Boot", "left", 4),
        ("Shell", "left", 5),
        ("Term.", "left", 5),
        ("Worst", "left", 8),
        ("Verdict", "left", 24),
    )
    for item in items:
        grades = [_grade(item.grade(aspect)) for aspect in ("boot", "shell", "terminal")]
        made.add_row(item.item, labels[item.item], *grades, _worst(item), item.verdict)
    page.heading("Plugs, worst first")
    page.show(made)
    _notes(page, items)


def _others(page: Page, items: Sequence[ItemCondition]) -> None:
    if not items:
        return
    made = table(
        ("Item", "left", 6),
        ("", "left", 7),
        ("Aspect", "left", 22),
        ("Worst", "left", 8),
        ("Verdict", "left", 34),
    )
    for item in items:
        aspects = ", ".join(f"{each.aspect} {each.grade}" for each in item.looked)
        made.add_row(item.item, item.kind, aspects, _worst(item), item.verdict)
    page.heading("Wires, joints and devices, worst first")
    page.show(made)
    _notes(page, items)


def _notes(page: Page, items: Sequence[ItemCondition]) -> None:
    """What was found where it is bad, in the person's own words."""
    found = [(item.item, said) for item in items for said in _said(item)]
    if found:
        page.gap()
    for name, said in found:
        page.say(said, lead=f"{name}  ")


def _said(item: ItemCondition) -> Iterator[str]:
    for each in item.looked:
        if each.by_strands:
            note = f"; {each.note}" if each.note else ""
            yield f"strands: graded by those left{note}."
        elif each.grade > RENEWED_FROM:
            yield f"{each.aspect}: {each.note or each.looks_like}."


def _worst(item: ItemCondition) -> Text:
    from rich.text import Text

    word, style = GRADES[item.worst or 0]
    return Text(word, style=style)


def _grade(grade: int | None) -> Text:
    from rich.text import Text

    if grade is None:
        return Text("·", style="quiet")
    return Text(str(grade), style=GRADES[grade][1])


def _branches(page: Page, report: JudgeReport) -> None:
    page.heading("Branches")
    if not report.branches:
        page.say("No branches are given, so the rules for branches and loom cannot be applied.")
        return
    for branch in report.branches:
        if branch.bad or branch.verdict == "keep":
            page.say(_branch(branch), lead=f"{branch.branch}  ", style=_branch_style(branch))
    unseen = [each.branch for each in report.branches if not each.bad and each.verdict != "keep"]
    if unseen:
        page.say(f"{_few(unseen)}: not decided, too few of their wires were looked at.")
    page.say(_loom(report))


def _branch(branch: BranchCondition) -> str:
    bad = f"{len(branch.bad)} of {counted(len(branch.wires), 'wire')} bad"
    names = f" ({_few(branch.bad)})" if branch.bad else ""
    unseen = f", {len(branch.not_looked_at)} not looked at" if branch.not_looked_at else ""
    verdict = {"replace": "replace the branch", "keep": "keep the branch"}.get(
        branch.verdict, f"not decided; replaced from {branch.limit} bad on"
    )
    return f"{bad}{names}{unseen}: {verdict}."


def _branch_style(branch: BranchCondition) -> str:
    return {"replace": "bad", "keep": "good"}.get(branch.verdict, "care")


def _loom(report: JudgeReport) -> str:
    loom = report.loom
    rule = f"a whole loom is priced from {loom.limit} branches to replace on"
    if loom.verdict == "replace":
        return f"Loom: {_few(loom.replace)} to replace: price a whole loom beside them."
    if loom.verdict == "keep":
        return f"Loom: mend it branch by branch ({rule})."
    return f"Loom: not decided ({rule})."


def _fit(page: Page, report: JudgeReport, *, known: bool) -> None:
    """Parts for what is worn, then what is amiss anywhere."""
    page.heading("Parts")
    if not known:
        page.say("No part is in the catalogue yet: write those at hand into the table catalogue.")
    for kind, heading in KINDS:
        wanted = [
            item.item
            for item in report.items
            if item.kind == "plug" and (item.grade(kind) or 0) >= RENEWED_FROM
        ]
        if wanted:
            page.say(f"{heading} to renew: {listed(wanted)}.")
            for line in _choices(report, kind, wanted):
                page.say(line, lead="  ")
    for problem, plugs in _problems(report):
        page.say(f"{problem}.", lead=f"! {_few(plugs)}: ", style="care")
    for opening, plugs in _openings(report):
        page.say(f"Terminals of {_few(plugs)}: {opening}.")


def _choices(report: JudgeReport, kind: str, wanted: Sequence[str]) -> Iterator[str]:
    """`BOOT2-S fits TE and CV; not known at AV (…)`, a line per part."""
    at: dict[str, dict[str, list[tuple[str, PartFit]]]] = defaultdict(lambda: defaultdict(list))
    for fit in report.fits:
        for part in fit.parts:
            if part.kind == kind and fit.plug in wanted:
                at[part.part][part.outcome].append((fit.plug, part))
    for name, outcomes in at.items():
        said = [f"fits {_plugs_of(outcomes[FITS])}"] if FITS in outcomes else []
        if IN_PART in outcomes:
            said.append(f"fits some cavities of {_plugs_of(outcomes[IN_PART])}")
        if UNKNOWN in outcomes:
            fits = outcomes[UNKNOWN]
            why = next(fits[0][1].reasons(UNKNOWN)).check.reason
            said.append(f"not known at {_plugs_of(fits)} ({why})")
        if said:
            yield f"{name} {'; '.join(said)}."
    if at and not any(set(outcomes) - {MISFIT} for outcomes in at.values()):
        yield "None in the catalogue fits."


def _plugs_of(fits: Sequence[tuple[str, PartFit]]) -> str:
    return _few([plug for plug, _ in fits])


def _problems(report: JudgeReport) -> Iterator[tuple[str, list[str]]]:
    """Each problem once, with the plugs that have it."""
    found: dict[str, list[str]] = defaultdict(list)
    for fit in report.fits:
        for problem in fit.problems:
            found[problem].append(fit.plug)
    yield from found.items()


def _openings(report: JudgeReport) -> Iterator[tuple[str, list[str]]]:
    """How terminals come out, for plugs whose terminals or shell are to be renewed."""
    worn = {
        item.item
        for item in report.items
        if any((item.grade(kind) or 0) >= RENEWED_FROM for kind in ("terminal", "shell"))
    }
    found: dict[str, list[str]] = defaultdict(list)
    for fit in report.fits:
        if fit.opening and fit.plug in worn:
            found[fit.opening].append(fit.plug)
    yield from found.items()


def _crimping(page: Page, crimping: Sequence[Crimping]) -> None:
    if not crimping:
        return
    page.heading("Crimping")
    for each in crimping:
        strip = "strip length not known"
        if each.strip_mm is not None:
            strip = f"strip {each.strip_mm[0]:g} to {each.strip_mm[1]:g} mm"
        die = f"die {each.die}: {each.outcome}" if each.die else "die not known"
        why = f" ({'; '.join(each.reasons)})" if each.reasons and each.die else ""
        page.say(f"{strip}; {die}{why}.", lead=f"{each.part}  ")


def _open(page: Page, report: JudgeReport) -> None:
    if not report.not_looked_at:
        return
    page.heading("Not looked at")
    for (kind, aspect), names in report.not_looked_at.items():
        total = sum(item.kind == kind for item in report.items)
        page.say(f"{len(names)} of {total}: {_few(names)}.", lead=f"{aspect} of {kind}s: ")


def _few(names: Sequence[str]) -> str:
    """Names, the first few of many: `A, B and 7 more`."""
    if len(names) <= MOST_NAMES:
        return listed(list(names))
    shown = list(names[: MOST_NAMES - 1])
    return listed([*shown, f"{len(names) - len(shown)} more"])

"""Heat and life on paper: what to inspect by when, plugs by zone, boots tried, current, fuses."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import attrs

from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.drawings.heat_course import heat_course
from loomwright.drawings.warming_plot import warming_plot
from loomwright.services.currents_words import STANDING as CURRENT_STANDING
from loomwright.services.currents_words import headline as currents_headline
from loomwright.services.heat import HeatReport
from loomwright.services.heat_rows import (
    URGENT,
    CurrentRow,
    GuardRow,
    LifeRow,
    ZoneRow,
    current_rows,
    guard_rows,
    later_rows,
    life_rows,
    zone_row,
)
from loomwright.services.heat_words import HOT, course_words, glance, runs_words
from loomwright.services.life_words import STANDING as LIFE_STANDING
from loomwright.services.life_words import headline as life_headline
from loomwright.services.plug_heat_words import DERIVED, not_told_line
from loomwright.services.shield_curves import shield_curves
from loomwright.services.shield_test import CAUTIONS, ShieldTest
from loomwright.services.shield_test_words import constant_words, rise_line, verdict_line
from loomwright.services.words import sentence
from loomwright.services.workup import WorkUp

_COURSE = "course.svg"


@attrs.frozen(kw_only=True)
class Picture:
    """A drawing on the paper.

    Attributes
    ----------
    name : of its file
    words : for those who cannot see it
    """

    name: str
    words: str


@attrs.frozen(kw_only=True)
class ShieldPart:
    """One boot that was tried.

    Attributes
    ----------
    plug : its name
    picture : readings and curves
    said : the verdict and what it rests on, a sentence each
    open : what is not told, and what to measure instead
    """

    plug: str
    picture: Picture
    said: tuple[str, ...]
    open: tuple[str, ...]


@attrs.frozen(kw_only=True)
class LifePart:
    """Wires or boots of like life, with a box to tick when they were looked at.

    Attributes
    ----------
    mark : how urgent
    name : which they are
    left, why : what is left of their life, and why
    inspect : by when to look at them
    buys : what would help, and how far
    """

    mark: str
    name: str
    left: str
    why: str
    inspect: str
    buys: tuple[str, ...]


@attrs.frozen(kw_only=True)
class HeatSheet(Context):
    """What the template is given.

    Attributes
    ----------
    glance : a word and its sentences each
    cautions : what can hurt whoever looks at the loom
    zones : hottest first
    course : the hottest plug after a hot stop; None without one
    not_told : plugs of which nothing is known; may be blank
    shields : boots that were tried
    shield_cautions : what to mind when one is tried; empty without any
    life_summary : how much is due
    life : what is due or to be watched, worst first
    later : the others, each with what is left
    currents_summary, currents_caution : how many are not right, and what to take care of
    currents : wires that run too warm or nearly so
    fuses : every wire that the battery feeds
    notes : what it rests on
    """

    glance: tuple[tuple[str, tuple[str, ...]], ...]
    cautions: tuple[str, ...]
    zones: tuple[ZoneRow, ...]
    course: Picture | None
    not_told: str
    shields: tuple[ShieldPart, ...]
    shield_cautions: tuple[str, ...]
    life_summary: str
    life: tuple[LifePart, ...]
    later: tuple[tuple[str, str], ...]
    currents_summary: str
    currents_caution: str
    currents: tuple[CurrentRow, ...]
    fuses: tuple[GuardRow, ...]
    notes: tuple[str, ...]


def heat_sheet(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The sheet; none where the job tells neither zones nor warming runs.

    Parameters
    ----------
    known : the job and what is known of it
    made_on : the day from which lives are counted, ISO 8601
    """
    if not known.job.zones and not known.job.warmings:
        return
    report = known.heat(date.fromisoformat(made_on))
    yield Paper(
        name="heat",
        template="heat",
        context=_context(known, report, made_on),
        pictures=dict(_pictures(known, report)),
    )


def _context(known: WorkUp, report: HeatReport, made_on: str) -> HeatSheet:
    hottest = report.hottest
    tried = bool(report.shields)
    return HeatSheet(
        **headed(known.job, "Heat and life", made_on),
        glance=glance(report),
        cautions=(HOT,),
        zones=tuple(zone_row(each) for each in report.plugs.zones),
        course=Picture(name=_COURSE, words=course_words(hottest)) if hottest else None,
        not_told=not_told_line(report.plugs),
        shields=tuple(_shield(n, each) for n, each in enumerate(report.shields)),
        shield_cautions=CAUTIONS if tried else (),
        life_summary=f"{sentence(life_headline(report.life))}.",
        life=tuple(_life(each) for each in life_rows(report) if each.level in URGENT),
        later=tuple((sentence(name), left) for name, left in later_rows(report)),
        currents_summary=f"{sentence(currents_headline(report.currents))}.",
        currents_caution=report.currents.caution,
        currents=tuple(each for each in current_rows(report) if each.level in URGENT),
        fuses=guard_rows(report),
        notes=(DERIVED, LIFE_STANDING, CURRENT_STANDING),
    )


def _pictures(known: WorkUp, report: HeatReport) -> Iterator[tuple[str, str]]:
    hottest = report.hottest
    for zone in report.plugs.zones:
        if hottest is not None and hottest.zone == zone.course.zone:
            yield _COURSE, heat_course(hottest, zone.course, course_words(hottest))
    for number, test in enumerate(report.shields):
        curves = shield_curves(known.job, test)
        yield _file(number), warming_plot(test.plug, curves, runs_words(test))


def _file(number: int) -> str:
    return f"warming-{number}.svg"


def _shield(number: int, test: ShieldTest) -> ShieldPart:
    constants = (
        f"Time constant: bare {constant_words(test.bare)}; with the boot "
        f"{constant_words(test.shielded)}."
    )
    return ShieldPart(
        plug=test.plug or "A plug without a name",
        picture=Picture(name=_file(number), words=runs_words(test)),
        said=tuple(filter(None, (verdict_line(test), rise_line(test), constants))),
        open=tuple(sentence(each) for each in (*test.not_told, *test.measure)),
    )


def _life(row: LifeRow) -> LifePart:
    return LifePart(
        mark={"bad": "✗", "watch": "!", "good": "✓"}.get(row.level, "·"),
        name=sentence(row.name),
        left=row.left,
        why=sentence(row.why),
        inspect=row.inspect,
        buys=row.buys,
    )

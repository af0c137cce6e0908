"""The list that proves a finished loom: lines to fill in, isolation, what the list lets pass."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.services.verify import CAUTIONS, VerifyReport
from loomwright.services.verify_words import (
    AT_HIGH_VOLTAGE,
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
from loomwright.services.words import sentence
from loomwright.services.workup import WorkUp


@attrs.frozen(kw_only=True)
class LineRow:
    """One line of continuity.

    Attributes
    ----------
    number : from 1
    start, end : where one probe stays, where the other goes
    wires : on the way
    limit : the most that may be read
    """

    number: str
    start: str
    end: str
    wires: str
    limit: str


@attrs.frozen(kw_only=True)
class SplitRow:
    """One isolation test with a fixture.

    Attributes
    ----------
    number : from 1
    red : points tied to the red lead, all others to the black one
    fails : what to do when it fails
    """

    number: str
    red: str
    fails: str


@attrs.frozen(kw_only=True)
class PassRow:
    """A mistake that the list lets pass.

    Attributes
    ----------
    words : what is wrong, and at how many places it would pass
    instead : what finds it
    """

    words: str
    instead: str


@attrs.frozen(kw_only=True)
class VerificationList(Context):
    """What the template is given.

    Attributes
    ----------
    how : how many lines there are, and in which order things are done
    cautions : what can hurt people or parts
    leads : how the ohms are measured
    lines : continuity
    limits : what isolation must show
    fixture_how, splits : the tests with a fixture
    hand_how : the tests by hand; empty where there is one net only
    tried : what was tried, and what the list shows of it
    passing : what it lets pass, with a box to tick
    notes : what the limits rest on
    """

    how: tuple[str, ...]
    cautions: tuple[str, ...]
    leads: tuple[str, ...]
    lines: tuple[LineRow, ...]
    limits: tuple[str, ...]
    fixture_how: str
    splits: tuple[SplitRow, ...]
    hand_how: str
    tried: tuple[str, ...]
    passing: tuple[PassRow, ...]
    notes: tuple[str, ...]


def verification(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The list of a job's loom; none where no wire joins two of its points."""
    report = known.verified
    if not report.nets:
        return
    apart = bool(report.by_hand)
    yield Paper(
        name="verification",
        template="verification",
        context=VerificationList(
            **headed(known.job, "Verification list", made_on),
            how=(how_many(report), FIRST),
            cautions=(*CAUTIONS, f"With an insulation tester: {AT_HIGH_VOLTAGE}"),
            leads=(leads(report), surely(report)),
            lines=tuple(_lines(report)),
            limits=(*isolation_limits(report), ENOUGH) if apart else (),
            fixture_how=fixture_words(report) if apart else "",
            splits=tuple(_splits(report)),
            hand_how=hand_words(report) if apart else "",
            tried=tuple(filter(None, (seen_words(report), all_seen(report)))),
            passing=tuple(
                PassRow(words=sentence(unseen_words(each)), instead=sentence(each.instead))
                for each in report.unseen
            ),
            notes=tuple(rests_on(report)),
        ),
    )


def _lines(report: VerifyReport) -> Iterator[LineRow]:
    for line in report.lines:
        yield LineRow(
            number=str(line.number),
            start=line.start,
            end=line.end,
            wires=" ".join(line.wires),
            limit=limit_words(line),
        )


def _splits(report: VerifyReport) -> Iterator[SplitRow]:
    for test in report.fixture:
        yield SplitRow(
            number=str(test.number), red=", ".join(test.red), fails=sentence(fails_words(test))
        )

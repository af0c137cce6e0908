"""The list that proves a finished loom: continuity with limits, isolation, and what it cannot see.

Two lists of isolation tests are given, with a fixture and by hand; either shows every pair of nets
apart. Every single mistake is put into the loom, so that it is known which ones the list lets pass.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Any

import attrs

from loomwright import standards
from loomwright.build.continuity import ContinuityTest, FinishedLoom, finest_range
from loomwright.build.isolation import Split, group_tests, hand_tests
from loomwright.build.mistake_kinds import KINDS, verdicts
from loomwright.build.mistakes import Maker, Verdict
from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job
from loomwright.services.build import build
from loomwright.services.diagnose import Progress, go_on
from loomwright.services.numbers import plain
from loomwright.standards import Default

__all__ = ["CAUTIONS", "Line", "Sides", "Tried", "VerifyReport", "new_lengths", "verify"]

CAUTIONS = (
    "The loom is out of the car, the battery and every plug off: no control unit, relay, sensor or "
    "ignition module is on it.",
    "Never an insulation tester while anything is plugged in: its voltage kills a control unit.",
    "Probe with a blade that fits, or from the wire side: a fat probe opens the spring.",
)
"""What to mind before the first test; common practice, no published source."""

_FIGURES = (
    "contact_resistance", "crimp_resistance", "splice_resistance", "lay_allowance",
    "four_lead_percent", "four_lead_doubt", "four_lead_current", "short_test_least",
    "insulation_test_voltage", "insulation_test_time", "insulation_least", "wire_too_long",
)  # fmt: skip
_AT_ONCE = 500  # mistakes between two looks at whether the person has stopped it


@attrs.frozen(kw_only=True)
class Line:
    """One continuity test.

    Attributes
    ----------
    number : from 1
    start, end : where one probe stays, and where the other goes
    wires : on the way
    sound_ohm, limit_ohm : what it has, and the most that may be read with four leads [Ω]
    two_lead_ohm : the most that may be read with two leads, the meter zeroed [Ω]
    two_leads_tell : whether two leads are exact enough for this line
    known : whether section and length of its wires are written down; usual ones are taken if not
    """

    number: int
    start: str
    end: str
    wires: tuple[str, ...]
    sound_ohm: float
    limit_ohm: float
    two_lead_ohm: float
    two_leads_tell: bool
    known: bool


@attrs.frozen(kw_only=True)
class Sides:
    """One isolation test.

    Attributes
    ----------
    number : from 1
    red, black : a point of every net on each side
    more : tests that halving takes at most when this one fails
    """

    number: int
    red: tuple[str, ...]
    black: tuple[str, ...]
    more: int


@attrs.frozen(kw_only=True)
class Tried:
    """One kind of mistake, tried at every place.

    Attributes
    ----------
    kind, words : its name, and what is wrong
    made : at how many places
    passing : where the list would let it pass: names of wires, cavities or plugs
    passing_two : at how many places it would pass with two leads
    instead : what finds it
    """

    kind: str
    words: str
    made: int
    passing: tuple[tuple[str, ...], ...]
    passing_two: int
    instead: str


@attrs.frozen(kw_only=True)
class VerifyReport:
    """The list and what it is worth.

    Attributes
    ----------
    job : title
    meter : the meter whose doubt the limits for two leads hold; empty for a usual one
    nets : a point of every net
    lines : continuity, in the order in which the probes move least
    fixture, by_hand : isolation, either of which is enough
    mistakes : what was tried, kind by kind
    surely_ohm : what has to come on top of a line at most until it surely shows [Ω]
    figures : what the limits rest on, the job's own in place of the shipped ones
    """

    job: str
    meter: str
    nets: tuple[str, ...]
    lines: tuple[Line, ...]
    fixture: tuple[Sides, ...]
    by_hand: tuple[Sides, ...]
    mistakes: tuple[Tried, ...]
    surely_ohm: float
    figures: Mapping[str, Default]

    @cached_property
    def unseen(self) -> tuple[Tried, ...]:
        """Kinds of which the list would let some pass."""
        return tuple(each for each in self.mistakes if each.passing)

    @property
    def two_leads_tell(self) -> bool:
        """Whether two leads are exact enough for every line."""
        return all(line.two_leads_tell for line in self.lines)

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "cautions": list(CAUTIONS),
            "meter": self.meter,
            "nets": list(self.nets),
            "continuity": [_line(each) for each in self.lines],
            "isolation": {
                "fixture": [_sides(each) for each in self.fixture],
                "by_hand": [_sides(each) for each in self.by_hand],
            },
            "mistakes": [_tried(each) for each in self.mistakes],
            "surely_ohm": plain(self.surely_ohm, 3),
            "figures": {
                name: {"value": each.value, "unit": each.unit, "standing": each.standing}
                for name, each in self.figures.items()
            },
        }


def verify(
    job: Job, progress: Progress | None = None, *, lengths: Mapping[str, float] | None = None
) -> VerifyReport:
    """The fewest tests that prove a finished loom, out of the car with nothing plugged in.

    Parameters
    ----------
    job : plugs, joints and wires
    progress : told how far it is
    lengths : what the wires are cut to, by their names [mm]; where none is given the job's own

    Raises
    ------
    Stopped
        when `progress` answers False.
    """
    go_on(progress, "the nets", 0.0)
    finished = FinishedLoom(job, own_values(job), dict(lengths or {}))
    hubs = tuple(str(hub) for hub in finished.hubs)
    row = finest_range(job)
    return VerifyReport(
        job=job.about.title,
        meter="" if row is None else str(row.meter),
        nets=hubs,
        lines=tuple(_told(number, test) for number, test in enumerate(finished.tests, start=1)),
        fixture=_named(group_tests(len(hubs)), hubs),
        by_hand=_named(hand_tests(len(hubs)), hubs),
        mistakes=_tries(finished, progress),
        surely_ohm=max((_surely(finished, test) for test in finished.tests), default=0.0),
        figures=_figures(job),
    )


def new_lengths(job: Job) -> dict[str, float]:
    """How long the wires of a new loom are when it is made, by the branches [mm], by name.

    A wire whose length cannot be told is left out.

    Raises
    ------
    InputProblems
        when the branches are no tree that a loom can be laid out by.
    """
    return {each.wire: each.made_mm for each in build(job).wires}


def _surely(finished: FinishedLoom, test: ContinuityTest) -> float:
    return test.limit_ohm + finished.four_leads.doubt_ohm(test.limit_ohm) - test.sound_ohm


def _told(number: int, test: ContinuityTest) -> Line:
    return Line(
        number=number,
        start=str(test.hub),
        end=str(test.far),
        wires=test.wires,
        sound_ohm=test.sound_ohm,
        limit_ohm=test.limit_ohm,
        two_lead_ohm=test.two_lead_ohm,
        two_leads_tell=test.two_lead_tells,
        known=test.known,
    )


def _named(tests: tuple[Split, ...], hubs: tuple[str, ...]) -> tuple[Sides, ...]:
    return tuple(
        Sides(
            number=number,
            red=tuple(hubs[net] for net in test.red),
            black=tuple(hubs[net] for net in test.black),
            more=test.more,
        )
        for number, test in enumerate(tests, start=1)
    )


def _tries(finished: FinishedLoom, progress: Progress | None) -> tuple[Tried, ...]:
    maker = Maker(finished)
    tried = []
    for number, (name, kind) in enumerate(KINDS.items()):
        share = number / len(KINDS)
        found: list[Verdict] = []
        for verdict in verdicts(maker, name):
            if len(found) % _AT_ONCE == 0:
                go_on(progress, f"mistakes: {kind.words}", share)
            found.append(verdict)
        tried.append(
            Tried(
                kind=name,
                words=kind.words,
                made=len(found),
                passing=tuple(each.mistake.items for each in found if not each.shown),
                passing_two=sum(not each.shown_by_two for each in found),
                instead=kind.instead,
            )
        )
    return tuple(tried)


def _figures(job: Job) -> dict[str, Default]:
    own = {row.name: row.value for row in job.settings}
    shipped = {name: standards.default(name) for name in _FIGURES}
    return {
        name: attrs.evolve(each, value=own[name], note="of this job") if name in own else each
        for name, each in shipped.items()
    }


def _line(line: Line) -> dict[str, Any]:
    return {
        "number": line.number,
        "from": line.start,
        "to": line.end,
        "wires": list(line.wires),
        "sound_ohm": plain(line.sound_ohm),
        "limit_ohm": plain(line.limit_ohm),
        "two_lead_ohm": plain(line.two_lead_ohm),
        "two_leads_tell": line.two_leads_tell,
        "known": line.known,
    }


def _sides(sides: Sides) -> dict[str, Any]:
    return {
        "number": sides.number,
        "red": list(sides.red),
        "black": list(sides.black),
        "more": sides.more,
    }


def _tried(tried: Tried) -> dict[str, Any]:
    return {
        "kind": tried.kind,
        "words": tried.words,
        "made": tried.made,
        "passing": [list(items) for items in tried.passing],
        "passing_two_leads": tried.passing_two,
        "instead": tried.instead,
    }

"""The list that proves a finished loom, in words: cautions, limits, isolation, what passes."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.services.counting import counted
from loomwright.services.numbers import shown
from loomwright.services.verify import Line, Sides, Tried, VerifyReport
from loomwright.services.words import listed
from loomwright.standards import Default

NAMED = 6
"""So many places of a mistake are named; beyond that they are counted."""

AT_HIGH_VOLTAGE = (
    "Its voltage hurts: the loom hangs free of metal, hands off; short the nets together after it."
)
FIRST = (
    "First look, and push, click, pull: each terminal, in each plug. Then these lines, the second "
    "value while the plug is moved. The list comes from the diagram, not from the loom just built."
)
ENOUGH = "One of the two lists is enough: each shows every net apart from every other."
EYELETS = "Where several eyelets sit under one nut, bolt them together for the test."


def line_words(line: Line) -> str:
    """`CU.6 to TE.1`."""
    return f"{line.start} to {line.end}"


def limit_words(line: Line) -> str:
    """The limit with four leads; what rests on usual sections or lengths says so."""
    return f"{shown(line.limit_ohm)}{'' if line.known else ' (usual wire)'}"


def how_many(report: VerifyReport) -> str:
    """How many nets, lines and isolation tests there are."""
    if not report.nets:
        return "No wire joins two points of the loom, so there is nothing to prove."
    return (
        f"{counted(len(report.nets), 'net')}, {counted(len(report.lines), 'line')} of continuity: "
        "one fewer for each net than it has ends, and no fewer can join them."
    )


def leads(report: VerifyReport) -> str:
    """Whether two leads are exact enough, and what is."""
    if not report.lines:
        return ""
    current = report.figures["four_lead_current"]
    four = (
        f"Four leads, or {_figure(current)} from a limited supply and a millivolt range: "
        "at 1 A a millivolt is a milliohm."
    )
    if report.two_leads_tell:
        return f"Two leads, the meter zeroed with them shorted, tell every line. {four}"
    meter = f"the meter {report.meter}" if report.meter else "a usual meter"
    dull = sum(not line.two_leads_tell for line in report.lines)
    return (
        f"{counted(dull, 'line')} cannot be judged with two leads: {meter} and its probes are "
        f"off by more than the limit itself, even zeroed, and find an open line only. {four}"
    )


def surely(report: VerifyReport) -> str:
    """From what a fault on surely shows."""
    return (
        f"With four leads {shown(report.surely_ohm)} on top of a line surely shows; less may pass."
    )


def fixture_words(report: VerifyReport) -> str:
    """How the tests with a fixture are made."""
    return (
        f"With a fixture that ties points together: {counted(len(report.fixture), 'test')}. Red on "
        "the points named, black on one point of every other net."
    )


def hand_words(report: VerifyReport) -> str:
    """How the tests by hand are made."""
    first, last = report.nets[0], report.nets[-1]
    most = max((test.more for test in report.by_hand), default=0)
    return (
        f"By hand: {counted(len(report.by_hand), 'test')}. Tie one point of every net together. "
        f"Untie {first} and test it against the rest, leave it off, untie the next, and so on to "
        f"{last}, in the order of the lines. When one fails, untie half of the rest, then half of "
        f"what is left: {counted(most, 'more test')} at most."
    )


def fails_words(test: Sides) -> str:
    """What to do when a test with a fixture fails."""
    return f"fails: halve red, then black; {counted(test.more, 'more test')} at most"


def isolation_limits(report: VerifyReport) -> Iterator[str]:
    """What the isolation tests must show, and the insulation test after them."""
    figures = report.figures
    least, volt = figures["short_test_least"], figures["insulation_test_voltage"]
    minutes, high = figures["insulation_test_time"], figures["insulation_least"]
    yield (
        f"With an ordinary meter over-range, or at least {_figure(least)} dry ({least.standing}). "
        "Every loom gets this test (IPC/WHMA-A-620, by published tables)."
    )
    yield (
        f"With an insulation tester {_figure(volt)} d.c. for {_figure(minutes)} ({volt.standing}): "
        f"at least {_figure(high)} ({high.standing}), a clean dry new loom ten times as much. "
        f"{AT_HIGH_VOLTAGE}"
    )


def unseen_words(tried: Tried) -> str:
    """`a wire of another colour: 64 of 64; look: compare each colour …`."""
    where = "" if len(tried.passing) == tried.made else f" ({places(tried)})"
    return f"{tried.words}: {len(tried.passing)} of {tried.made}{where}"


def places(tried: Tried) -> str:
    """The first places at which a mistake passes, and how many more there are."""
    named = [" with ".join(items) for items in tried.passing[:NAMED]]
    more = len(tried.passing) - len(named)
    return listed([*named, f"{more} more"] if more else named)


def seen_words(report: VerifyReport) -> str:
    """How many mistakes were tried and how many the list shows."""
    made = sum(each.made for each in report.mistakes)
    passing = sum(len(each.passing) for each in report.mistakes)
    two = sum(each.passing_two for each in report.mistakes)
    return (
        f"{made} single mistakes were tried: the list shows {made - passing} with four leads, "
        f"{made - two} with two."
    )


def all_seen(report: VerifyReport) -> str:
    """Kinds of which the list lets none pass."""
    kinds = [each.words for each in report.mistakes if each.made and not each.passing]
    return f"Shown wherever it happens: {'; '.join(kinds)}." if kinds else ""


def rests_on(report: VerifyReport) -> Iterator[str]:
    """What the limits are made of, with how far that can be trusted."""
    figures = report.figures
    contact, splice = figures["contact_resistance"], figures["splice_resistance"]
    doubt, percent = figures["four_lead_doubt"], figures["four_lead_percent"]
    yield (
        "A limit is copper by section and length at the day's temperature, times "
        f"{figures['lay_allowance'].value:g}, with {_figure(contact)} for each crimp and contact "
        f"({contact.standing}), {_figure(splice)} for each splice crimp ({splice.standing}) and "
        f"the doubt of four leads, {percent.value:g} % and {_figure(doubt)} ({doubt.standing})."
    )
    if not all(line.known for line in report.lines):
        yield "Where section or length of a wire is not known, usual ones are taken."
    yield (
        f"A wire cut too long is taken to have {figures['wire_too_long'].value:g} times its length "
        f"({figures['wire_too_long'].standing})."
    )
    yield EYELETS


def _figure(figure: Default) -> str:
    return f"{figure.value:g} {figure.unit}"

"""Whether a part fits: one check per thing that must agree, each with its reason.

A check says `fits`, `does not fit` or `not known`, and why in one sentence. A wider range of a part
never makes it stop fitting. What a plug needs of its parts is told in `needs`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs

from loomwright.loom import Part
from loomwright.repair.needs import Boring, CavityNeeds, PlugNeeds, Span

FITS, MISFIT, UNKNOWN = "fits", "does not fit", "not known"
_EXACT = 1e-9

OPENING: dict[str, str] = {
    "tongue": (
        "released from the mating side with a thin flat tool, not wider than 1.6 mm; after once or "
        "twice the terminal is renewed"
    ),
    "finger": "released by lifting the shell's finger with a pick; an old finger cracks",
    "staked": "staked: the posts must be cut, once, and the shell closed again with screws or pins",
    "moulded": "moulded in one piece: it cannot be opened and is cut off and replaced",
}
"""How terminals come out of a plug, by its lock; common practice, no published source."""


@attrs.frozen(kw_only=True)
class Check:
    """One thing that must agree.

    Attributes
    ----------
    what : `conductor`, `insulation`, `tab`, `ways`, `form`, `bore`, `lock` or `die`
    outcome : `fits`, `does not fit` or `not known`
    reason : why, in one sentence without its full stop
    """

    what: str
    outcome: str
    reason: str


def overall(checks: Iterable[Check]) -> str:
    """`does not fit` if any check says so, else `not known` if any is, else `fits`."""
    outcomes = {check.outcome for check in checks}
    if MISFIT in outcomes:
        return MISFIT
    return UNKNOWN if UNKNOWN in outcomes or not outcomes else FITS


def terminal_fit(
    part: Part, cavity: CavityNeeds, plug: PlugNeeds, *, value: Mapping[str, float]
) -> tuple[Check, ...]:
    """A terminal against the conductor and insulation of a cavity, and the tab it goes on.

    Parameters
    ----------
    part : the terminal
    cavity : the wire, or wires, in it
    plug : for the tab
    value : defaults by name: `tab_width_play`, `tab_thickness_play` [mm]
    """
    return (
        conductor_fit(part, cavity.conductor_mm2),
        insulation_fit(part, cavity),
        tab_fit(part, plug, value=value),
    )


def conductor_fit(part: Part, conductor_mm2: Span | None) -> Check:
    """A terminal's, splice's or die's range against a conductor section."""
    if conductor_mm2 is None:
        return Check(what="conductor", outcome=UNKNOWN, reason="the conductor section is not known")
    limits = (part.section_min_mm2, part.section_max_mm2)
    return _within("conductor", conductor_mm2, limits, unit="mm²", of=f"the {part.kind}'s")


def insulation_fit(part: Part, cavity: CavityNeeds) -> Check:
    """A terminal's insulation grip against the outside diameter of the one wire in it."""
    if len(cavity.wires) > 1:
        reason = "two or more wires share the barrel, and the grip is told for one: try it"
        return Check(what="insulation", outcome=UNKNOWN, reason=reason)
    if cavity.outside_mm is None:
        reason = "the outside diameter of the insulation is not known: measure it"
        return Check(what="insulation", outcome=UNKNOWN, reason=reason)
    limits = (part.insulation_min_mm, part.insulation_max_mm)
    return _within("insulation", cavity.outside_mm, limits, unit="mm", of=f"the {part.kind}'s")


def tab_fit(part: Part, plug: PlugNeeds, *, value: Mapping[str, float]) -> Check:
    """A terminal against the tab: width and thickness both, or there is no contact force."""
    sizes = (
        ("wide", part.tab_width_mm, plug.tab_width_mm, value["tab_width_play"]),
        ("thick", part.tab_thickness_mm, plug.tab_thickness_mm, value["tab_thickness_play"]),
    )
    for way, own, tab, play in sizes:
        if own is not None and tab is not None and abs(own - tab) > play + _EXACT:
            reason = f"the tab is {tab:g} mm {way} and the terminal is for {own:g} mm"
            if way == "thick":
                reason += ", which has no grip" if own > tab else ", which it forces open"
            return Check(what="tab", outcome=MISFIT, reason=reason)
    for way, own, tab, _ in sizes:
        if own is None:
            reason = f"the catalogue does not say how {way} a tab the terminal is for"
            return Check(what="tab", outcome=UNKNOWN, reason=reason)
        if tab is None:
            reason = f"how {way} the tab is, is not known: measure it"
            return Check(what="tab", outcome=UNKNOWN, reason=reason)
    reason = f"the tab is {plug.tab_width_mm:g} x {plug.tab_thickness_mm:g} mm as it must be"
    return Check(what="tab", outcome=FITS, reason=reason)


def boot_fit(part: Part, plug: PlugNeeds, *, value: Mapping[str, float]) -> tuple[Check, ...]:
    """A boot against the shape and ways of the plug, and what must pass through it.

    Parameters
    ----------
    part : the boot
    plug : what it goes over
    value : defaults by name: `tape_wall` [mm]
    """
    return (
        _same("form", part.form, plug.form, of="boot"),
        _same("ways", part.ways, plug.ways, of="boot"),
        bore_fit(part, plug.passes, tape_wall_mm=value["tape_wall"]),
    )


def bore_fit(part: Part, passes: Boring | None, *, tape_wall_mm: float) -> Check:
    """A boot's opening, at rest and stretched, against the wires, and against wires with tape."""
    if passes is None:
        reason = "what must pass is not known: measure the wires together"
        return Check(what="bore", outcome=UNKNOWN, reason=reason)
    bare = passes.across_mm
    limits = (part.bore_mm, part.bore_max_mm)
    made = _within(f"width of {passes.words}", bare, limits, unit="mm", of="the boot's")
    if made.outcome == MISFIT and part.bore_mm is not None and bare.high < part.bore_mm:
        made = attrs.evolve(made, reason=f"{made.reason}: it does not seal")
    taped = bare.high + 2 * tape_wall_mm
    if made.outcome == FITS and part.bore_max_mm is not None and taped > part.bore_max_mm:
        reason = (
            f"{made.reason}; with tape {taped:.3g} mm is above it: end the tape before the boot"
        )
        made = attrs.evolve(made, reason=reason)
    return attrs.evolve(made, what="bore")


def shell_fit(part: Part, plug: PlugNeeds) -> tuple[Check, ...]:
    """A shell against the ways of the plug and the lock its terminals are made for."""
    lock = _same("lock", part.lock, plug.lock, of="shell")
    if plug.lock == "moulded":
        reason = "the old plug is moulded in one piece: a new shell takes new terminals as well"
        lock = Check(what="lock", outcome=UNKNOWN, reason=reason)
    return _same("ways", part.ways, plug.ways, of="shell"), lock


def die_fit(terminal: Part, die: Part | None, *, conductor_mm2: Span | None) -> tuple[Check, ...]:
    """A die against the terminal it is named for, and against the conductor.

    Parameters
    ----------
    terminal : terminal or splice to crimp
    die : the die at hand, None where there is none
    conductor_mm2 : of the wire, or wires, in the barrel
    """
    if terminal.die is None:
        reason = f"the catalogue names no die for {terminal.part}"
        return (Check(what="die", outcome=UNKNOWN, reason=reason),)
    if die is None:
        reason = f"the die {terminal.die} is not in the catalogue"
        return (Check(what="die", outcome=UNKNOWN, reason=reason),)
    same = terminal.die == die.part
    reason = f"{terminal.part} is crimped in {terminal.die}" + ("" if same else f", not {die.part}")
    named = Check(what="die", outcome=FITS if same else MISFIT, reason=reason)
    return named, conductor_fit(die, conductor_mm2)


def strip_mm(terminal: Part, *, value: Mapping[str, float]) -> tuple[float, float] | None:
    """How much insulation comes off [mm], least and most; None where the barrel is not known.

    `barrel + brush`, the brush being what shows before the conductor crimp; a barrel of 3.5 mm is
    stripped 4 to 4.5 mm. Source: common practice, no published source.
    """
    if terminal.barrel_mm is None:
        return None
    return terminal.barrel_mm + value["brush_least"], terminal.barrel_mm + value["brush_most"]


def _same(what: str, own: object, wanted: object, *, of: str) -> Check:
    """Two things that must be alike: `angled`, `2`."""
    if wanted is None:
        return Check(what=what, outcome=UNKNOWN, reason=f"the plug's {what} is not given")
    if own is None:
        reason = f"the catalogue does not give the {of}'s {what}"
        return Check(what=what, outcome=UNKNOWN, reason=reason)
    outcome = FITS if own == wanted else MISFIT
    reason = f"the {of}'s {what}: {own}, the plug's: {wanted}"
    return Check(what=what, outcome=outcome, reason=reason)


def _within(
    what: str, need: Span, limits: tuple[float | None, float | None], *, unit: str, of: str
) -> Check:
    """A span against the two ends of a part's range, either of which may be not known."""
    low, high = limits
    said = f"{what} {need.words(unit)}"

    def check(outcome: str, reason: str) -> Check:
        return Check(what=what, outcome=outcome, reason=reason)

    if high is not None and need.low > high + _EXACT:
        return check(MISFIT, f"{said} is above {of} {high:g} {unit}")
    if low is not None and need.high < low - _EXACT:
        return check(MISFIT, f"{said} is below {of} {low:g} {unit}")
    if low is None or high is None:
        ends = {(True, True): "range", (True, False): "least", (False, True): "most"}
        end = ends[low is None, high is None]
        return check(UNKNOWN, f"{said}: the catalogue does not give {of} {end}")
    if need.low >= low - _EXACT and need.high <= high + _EXACT:
        return check(FITS, f"{said} lies within {of} {low:g} to {high:g} {unit}")
    return check(
        UNKNOWN, f"{said} lies only partly within {of} {low:g} to {high:g} {unit}: measure it"
    )

"""Every figure that a workshop may replace by its own: what it is, how far to trust it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import attrs

from loomwright.loom import OwnFigure
from loomwright.standards.replaceable import Default, defaults, weights
from loomwright.standards.replaceable import figure as standard

__all__ = ["Figure", "FigureGroup", "figure", "figures", "found"]

_UNITS = {"1": "", "1/h": "an hour", "h": "hours", "d": "days", "month": "months", "a": "years"}
_GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Money and quotes", ("labour_rate", "parts_handling", "vat", "stop_and_call", "quote_valid",
                          "overrun", "access_least", "access_most", "unknown_span",
                          "leftover_value")),
    ("What comes back", ("comeback", "look_again")),
    ("Meter and probes", ("meter", "lead", "probe", "voltmeter", "ohmmeter")),
    ("Temperatures and supply", ("temperature", "supply", "inner_supply")),
    ("Sound ohms and wire", ("crimp_resistance", "contact_resistance", "splice_resistance",
                             "earth_joint", "battery", "closed_contact", "link_resistance",
                             "wire_section", "wire_length", "lay_allowance", "diode",
                             "cavity_pitch", "tolerance")),
    ("Minutes of measuring", ("minutes", "access_minutes", "back_probe", "turn_key",
                              "second_person", "warm_engine", "wrong_repair")),
    ("When to renew more", ("bad", "new_branch", "new_loom")),
    ("Fitting and crimping", ("bundle", "tab", "tape", "brush", "service_loop", "cut_back",
                              "retry", "equal_ends", "crimp", "finish", "spares", "wire_spare",
                              "extension", "tube", "sleeve", "grommet", "clip")),
    ("Ageing and current", ("ageing", "current")),
    ("Making a new loom", ("splice_plug", "splice_fork", "splice_stagger", "splice_fixing",
                           "splice_support", "splice_soak", "splice_heat", "splice_grid",
                           "lay_pitch", "strip_length", "shell_depth", "hand_allowance",
                           "engine_rock", "cut_rounding", "local_length", "old_loom",
                           "reel_length", "offcut_keep", "cut_search")),
    ("The board of a new loom", ("board",)),
    ("Proving a new loom", ("four_lead", "wire_too_long", "short_test", "insulation_test",
                            "insulation_least")),
    ("Heat of plugs", ("plug", "boot", "blower", "soak")),
    ("How sure before any reading", ("outlier", "false_over_range", "prior", "complaint")),
    ("How often each fault comes", ("rate",)),
    ("What a grade tells of faults", ("survey",)),
    ("What heat does", ("heat",)),
    ("What a complaint tells of faults", ("symptom",)),
)  # fmt: skip
"""Heading and the beginnings of names that stand under it; the longest beginning counts."""


@attrs.frozen(kw_only=True)
class Figure:
    """A figure that may be replaced.

    Attributes
    ----------
    name : as the table `settings` calls it
    words : the name as one reads it
    value : the shipped figure
    unit : its unit, blank for a plain number
    low, high : where a workshop's own figure is expected
    standing : how far the shipped one is to be trusted
    source : where it comes from
    about : what it is for
    own : the workshop's own figure; blank where the shipped one holds
    own_note : where that comes from
    group : the heading it stands under
    """

    name: str
    words: str
    value: str
    unit: str
    low: str
    high: str
    standing: str
    source: str
    about: str
    own: str
    own_note: str
    group: str


@attrs.frozen
class FigureGroup:
    """Figures under one heading."""

    title: str
    figures: tuple[Figure, ...]


def figures(own: Iterable[OwnFigure] = ()) -> tuple[Figure, ...]:
    """All of them, in the order of their headings.

    Parameters
    ----------
    own : figures that replace them
    """
    known = {each.name: each for each in own}
    made = [_figure(each, known) for each in (*defaults().values(), *weights().values())]
    order = [title for title, _ in _GROUPS]
    return tuple(sorted(made, key=lambda each: order.index(each.group)))


def figure(name: str, own: Iterable[OwnFigure] = ()) -> Figure:
    """The one of that name.

    Raises
    ------
    NotFound
        when there is none.
    """
    return _figure(standard(name), {each.name: each for each in own})


def found(all_: Iterable[Figure], wanted: str) -> tuple[FigureGroup, ...]:
    """Those in which every word stands, capitals aside, under their headings."""
    words = wanted.casefold().split()
    groups: dict[str, list[Figure]] = {}
    for each in all_:
        text = " ".join((each.name, each.words, each.about, each.standing, each.group)).casefold()
        if all(word in text for word in words):
            groups.setdefault(each.group, []).append(each)
    return tuple(FigureGroup(title, tuple(held)) for title, held in groups.items())


def _figure(row: Default, own: Mapping[str, OwnFigure]) -> Figure:
    mine = own.get(row.name)
    return Figure(
        name=row.name,
        words=row.name.replace("_", " ").replace("-", ", ").capitalize(),
        value=f"{row.value:g}",
        unit=_UNITS.get(row.unit, row.unit),
        low=f"{row.low:.3g}",
        high=f"{row.high:.3g}",
        standing=row.standing,
        source=row.source.citation,
        about=row.note[:1].upper() + row.note[1:],
        own=f"{mine.value:g}" if mine else "",
        own_note=(mine.note or "") if mine else "",
        group=_group(row.name),
    )


def _group(name: str) -> str:
    fits = [
        (len(start), title)
        for title, starts in _GROUPS
        for start in starts
        if name.startswith(start)
    ]
    return max(fits)[1]

"""Check a job: everything wrong with its tables, told at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache

import attrs

from loomwright.loom import (
    Job,
    NotFound,
    PackOnSale,
    Problem,
    StockRow,
    Where,
    Wire,
    schema,
)
from loomwright.services.ports import JobRef, Jobs
from loomwright.standards import (
    awg_sizes,
    colours,
    conductors,
    figure,
    strand_builds,
    vehicle_cables,
    wire_colour,
)

SAME_SECTION = 0.02
"""Sections nearer than this share count as the same; tables are rounded."""


@attrs.frozen
class CheckReport:
    """What a check found.

    Attributes
    ----------
    job : the job, or None when problems keep it from being used
    problems : what must be mended, in the order of the sheets
    warnings : what deserves a look
    counts : rows that could be read, by table
    """

    job: Job | None
    problems: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    counts: tuple[tuple[str, int], ...]

    @property
    def passed(self) -> bool:
        """Whether the job can be used."""
        return not self.problems


def check(jobs: Jobs, ref: JobRef) -> CheckReport:
    """Read a job as far as it can be read and tell everything wrong with it.

    Raises
    ------
    NotFound, StorageFailed
        when nothing is there, or it may not be read.
    """
    job, found = jobs.inspect(ref)
    told = {each.where for each in found}
    known = (
        *_against_standards(job, jobs.table_label(ref, "wires")),
        *_traded_colours(job.offers, jobs.table_label(ref, "offers")),
        *_traded_colours(job.stock, jobs.table_label(ref, "stock")),
        *_figures(job, jobs.table_label(ref, "settings")),
    )
    found += tuple(each for each in known if each.where not in told)
    problems = tuple(each for each in found if not each.warning)
    return CheckReport(
        job=None if problems else job,
        problems=problems,
        warnings=tuple(each for each in found if each.warning),
        counts=tuple((table.name, _count(job, table.name)) for table in schema.TABLES),
    )


def _count(job: Job, table: str) -> int:
    return len(job.rows(table)) if table != "job" else int(bool(job.about.title))


def _against_standards(job: Job, table: str) -> Iterator[Problem]:
    for wire in job.wires:
        yield from _colour_problems(wire, table)
        yield from _section_problems(wire, table)


def _traded_colours(rows: Iterable[PackOnSale | StockRow], table: str) -> Iterator[Problem]:
    """Colours of wire on sale or in the drawer; those of other parts are words."""
    for row in rows:
        if row.unit == "m":
            yield from _colour_problems(row, table)


def _figures(job: Job, table: str) -> Iterator[Problem]:
    """Own figures whose name is none that is shipped, or whose value is far from any workshop's."""
    for row in job.settings:
        try:
            usual = figure(row.name)
        except NotFound as unknown:
            yield Problem(Where(table, row.row, "name"), unknown.what, unknown.expected)
            continue
        if not usual.low <= row.value <= usual.high:
            where = Where(table, row.row, "value")
            what = f'"{row.value:g}" is outside the usual {usual.low:g} to {usual.high:g}'
            cure = f"the unit is {usual.unit}; keep it if it was measured"
            yield Problem(where, what, cure, warning=True)


def _colour_problems(wire: Wire | PackOnSale | StockRow, table: str) -> Iterator[Problem]:
    if wire.colour is None:
        return
    try:
        wire_colour(wire.colour)
    except NotFound as unknown:
        where = Where(table, wire.row, "colour")
        what = f'"{wire.colour}" is not made of IEC 60757 colour codes'
        meant = _codes_of_names(wire.colour)
        cure = f"write {meant}" if meant else unknown.expected
        yield Problem(where, what, cure, warning=True)


def _codes_of_names(text: str) -> str:
    """`BN/WH` for `brown, white`; nothing where a word is no colour's name or code."""
    codes = {each.name.casefold(): code for code, each in colours().items()}
    codes |= {code.casefold(): code for code in colours()}
    words = [word for word in re.split(r"[^a-z]+", text.casefold()) if word]
    return "/".join(codes[word] for word in words) if set(words) <= set(codes) else ""


def _section_problems(wire: Wire, table: str) -> Iterator[Problem]:
    section = wire.section_mm2
    if section is None:
        return
    known = known_sections()
    nearest = min(known, key=lambda each: abs(each - section))
    if abs(section - nearest) > SAME_SECTION * nearest:
        where = Where(table, wire.row, "section_mm2")
        what = f'"{section:g}" mm² is in no table of conductors'
        cure = f"the nearest is {nearest:g} mm²; keep it if it was measured"
        yield Problem(where, what, cure, warning=True)


@cache
def known_sections() -> tuple[float, ...]:
    """Every section in the tables of conductors, smallest first [mm²]."""
    tables: tuple[Iterable[float], ...] = (
        (row.section_mm2 for row in vehicle_cables()),
        (row.section_mm2 for row in conductors()),
        (row.called_mm2 for row in strand_builds()),
        (row.area_mm2 for row in awg_sizes().values()),
    )
    return tuple(sorted({section for sections in tables for section in sections}))

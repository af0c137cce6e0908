"""A warming run as a person types it: a line for each reading, seconds and temperature."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

import attrs

from loomwright.loom import InputProblems, Problem, Where, read_cell, schema
from loomwright.services.entering import Bench, enter_all, next_name
from loomwright.services.ports import JobRef
from loomwright.services.typed import as_cell

__all__ = ["POINTS", "Logged", "log_run"]

TABLE, POINTS = "warmings", "points"
"""Problems of the lines stand in a column of that name."""
_EXAMPLE = "20 31,5"
_SHARED = ("plug", "boot", "air_c", "note")
_BETWEEN = re.compile(r"\s*[;\t]\s*|\s+")
_COMMA = re.compile(r"\d,\s")
"""A comma that ends a number stands between the two, as in `20, 31.5`."""


@attrs.frozen(kw_only=True)
class Logged:
    """A run that was kept.

    Attributes
    ----------
    run : the name it got
    readings : how many temperatures
    warnings : what deserves a look since then
    """

    run: str
    readings: int
    warnings: tuple[Problem, ...]


def log_run(bench: Bench, ref: JobRef, told: Mapping[str, str], points: str) -> Logged:
    """Keep a run under the next free name, all of it or nothing.

    Parameters
    ----------
    told : `plug`, `boot`, `air_c` and `note` as they were typed
    points : a line for each reading: seconds and °C, blanks, a tab or a semicolon between;
        decimal point or comma

    Raises
    ------
    InputProblems
        holding all that is wrong, that of the lines in the column `points`.
    NotFound, StorageFailed
        when the job is not kept, or the storage fails.
    """
    problems = [*_missing(told), *_unreadable(told)]
    pairs = tuple(_pairs(points, problems))
    if not pairs and not problems:
        cure = f"write seconds and °C in a line for each reading, such as {_EXAMPLE}"
        problems.append(Problem(Where(TABLE, column=POINTS), "there is no reading", cure))
    if problems:
        raise InputProblems(problems)
    shared = {name: told.get(name, "").strip() for name in _SHARED}
    with bench.rows.held(ref):
        names = [row.cells.get("run", "") for row in bench.rows.rows(ref, TABLE)]
        run = next_name(names, schema.table(TABLE).column("run").example)
        rows = [
            {"run": run, **shared, "seconds": seconds, "temperature_c": celsius}
            | ({} if number == 0 else {"note": ""})
            for number, (seconds, celsius) in enumerate(pairs)
        ]
        warnings = enter_all(bench, ref, TABLE, rows)
    return Logged(run=run, readings=len(rows), warnings=warnings)


def _missing(told: Mapping[str, str]) -> Iterator[Problem]:
    for name, cure in (
        ("plug", "choose the plug that was warmed"),
        ("boot", "say whether its boot was on or slid back"),
    ):
        if not told.get(name, "").strip():
            yield Problem(Where(TABLE, column=name), "it is not told", cure)


def _unreadable(told: Mapping[str, str]) -> Iterator[Problem]:
    for name in _SHARED:
        yield from _refused(name, told.get(name, ""), Where(TABLE, column=name))


def _refused(name: str, text: str, where: Where) -> tuple[Problem, ...]:
    try:
        read_cell(schema.table(TABLE).column(name), text, where=where)
    except InputProblems as refusal:
        return refusal.problems
    return ()


def _pairs(points: str, problems: list[Problem]) -> Iterator[tuple[str, str]]:
    """Seconds and temperature of each line, as a cell wants them; what is wrong is added."""
    where = Where(TABLE, column=POINTS)
    seen: dict[str, int] = {}
    for number, line in enumerate(points.splitlines(), start=1):
        if not line.strip():
            continue
        cells = _BETWEEN.split(_COMMA.sub(lambda found: f"{found[0][0]} ", line.strip()))
        if len(cells) != 2:
            what = f'line {number}, "{line.strip()}", is not two numbers'
            problems.append(Problem(where, what, f"write seconds and °C, such as {_EXAMPLE}"))
            continue
        read = [
            as_cell(schema.table(TABLE).column(name), text)
            for name, text in zip(("seconds", "temperature_c"), cells, strict=True)
        ]
        for name, text in zip(("seconds", "temperature_c"), read, strict=True):
            problems += (
                attrs.evolve(each, what=f"line {number}: {each.what}")
                for each in _refused(name, text, where)
            )
        if read[0] in seen:
            what = f"lines {seen[read[0]]} and {number} are both at {read[0]} s"
            problems.append(Problem(where, what, "keep one temperature for each time"))
        seen.setdefault(read[0], number)
        yield read[0], read[1]

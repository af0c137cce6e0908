"""The error family. Every failure a person can meet is one of these.

    LoomwrightError
    ├── InputProblems   outside input is wrong; holds *all* problems of the file or form
    ├── NotFound        there is no such record
    ├── Conflict        two people changed one field; holds both values
    ├── OutOfRange      a formula was given the physically impossible (also a ValueError)
    ├── Refused         the harm gate says no; holds the caution and a safe alternative
    ├── StorageFailed   disk, lock or permission
    └── Stopped         the person stopped the work

A message is never typed as prose: each error holds fields (`what`, `where`, `got`,
`expected`), and `sentence` builds the words once, in the order
*where: what is wrong, with the value; what would be right*.
"""

from __future__ import annotations

from collections.abc import Iterable

import attrs


@attrs.frozen
class Where:
    """A place in a person's own sheet.

    Attributes
    ----------
    table : name of the table or file, `readings` or `readings.csv`
    row : row as a spreadsheet counts it (the header is row 1), or None for the whole table
    column : column name, or None for the whole row
    """

    table: str
    row: int | None = None
    column: str | None = None

    def __str__(self) -> str:
        parts = [self.table]
        if self.row is not None:
            parts.append(f"row {self.row}")
        if self.column is not None:
            parts.append(self.column)
        return ", ".join(parts)


@attrs.frozen
class Problem:
    """One thing wrong with outside input.

    Attributes
    ----------
    where : the place in the person's sheet
    what : what is wrong, a clause without a full stop, the value quoted as typed
    expected : what would be right, a clause without a full stop; may be empty
    warning : True when the work can go on all the same
    """

    where: Where
    what: str
    expected: str = ""
    warning: bool = False

    @property
    def sentence(self) -> str:
        """The whole message: `readings.csv, row 14, value: "1,2k" is not a number. Write ohms…`"""
        return _sentence(str(self.where), self.what, self.expected)


class LoomwrightError(Exception):
    """Base of the family: a failure that is not our own mistake.

    Parameters
    ----------
    what : what is wrong, with the value and unit
    where : the place, record or field
    expected : what would be right
    """

    exit_code = 2

    def __init__(self, what: str, *, where: str = "", expected: str = "") -> None:
        self.what = what
        self.where = where
        self.expected = expected
        super().__init__(_sentence(where, what, expected))


class InputProblems(LoomwrightError):
    """Outside input is wrong. `problems` holds everything found, in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        count = len(self.problems)
        super().__init__(f"{count} problem{'s' if count != 1 else ''} found in the input")


class NotFound(LoomwrightError):
    """There is no such job, file or record."""


@attrs.frozen
class Disputed:
    """One field that two people changed.

    Attributes
    ----------
    column : the field
    before : what stood there when both began
    theirs : what the other wrote, and what stands there now
    yours : what this person typed
    """

    column: str
    before: str
    theirs: str
    yours: str


class Conflict(LoomwrightError):
    """Two people changed one field, or one took away what the other changed.

    Parameters
    ----------
    disputed : the fields with both values; empty when the whole row is gone
    """

    def __init__(self, what: str, *, disputed: tuple[Disputed, ...] = (), where: str = "") -> None:
        self.disputed = disputed
        expected = "choose which value is right" if disputed else "look at it again"
        super().__init__(what, where=where, expected=expected)


class OutOfRange(LoomwrightError, ValueError):
    """A formula was given something physically impossible."""


class Refused(LoomwrightError):
    """The harm gate says no.

    Parameters
    ----------
    what : what is refused and why
    instead : what can safely be done
    """

    exit_code = 3

    def __init__(self, what: str, *, instead: str, where: str = "") -> None:
        self.instead = instead
        super().__init__(what, where=where, expected=instead)


class StorageFailed(LoomwrightError):
    """The disk, a lock or a permission stopped reading or writing."""

    exit_code = 4


class Stopped(LoomwrightError):
    """The person stopped the work."""

    exit_code = 130


def _sentence(where: str, what: str, expected: str) -> str:
    text = f"{where}: {what}" if where else what[:1].upper() + what[1:]
    text = text.rstrip(".") + "."
    if expected:
        ending = "" if expected.endswith("?") else "."
        text += f" {expected[:1].upper()}{expected[1:].rstrip('.')}{ending}"
    return text

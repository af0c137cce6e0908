"""Names of jobs in the workshop: they stand in addresses, so few letters may."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection

from loomwright.loom import InputProblems, Problem, Where

SHELF = "workshop-shelf"
"""The job that holds what every new job of the workshop begins with."""
NOT_FREE = (SHELF, "start", "bring")
"""Names that mean something else in an address."""
MOST_LETTERS = 60

_NAME = re.compile(r"[A-Za-z0-9_-]{1,80}\Z")


def slug(text: str) -> str:
    """The nearest name to a title or a file's name; blank when nothing of it can be used.

    Examples
    --------
    >>> slug("Kühler runs hot, 2.3 l")
    'kuhler-runs-hot-2-3-l'
    """
    plain = unicodedata.normalize("NFKD", text.casefold()).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain)[:MOST_LETTERS].strip("-")


def checked_name(name: str, *, where: str) -> str:
    """The name, when a job may be called so.

    Parameters
    ----------
    where : the field or option it was given in

    Raises
    ------
    InputProblems
        when it may not.
    """
    if name in NOT_FREE or not _NAME.match(name):
        what = f'"{name[:80]}" cannot be the name of a job here'
        cure = "use letters, digits, - and _, such as engine-runs-rich"
        if name in NOT_FREE:
            what, cure = f'"{name}" has a use of its own here', "choose another name"
        raise InputProblems([Problem(Where(where), what, cure)])
    return name


def job_name(title: str, taken: Collection[str]) -> str:
    """A name for a job's address, made of its title and not among those taken.

    Examples
    --------
    >>> job_name("Engine runs rich!", taken=("engine-runs-rich",))
    'engine-runs-rich-2'
    >>> job_name("Übler Geruch", taken=())
    'ubler-geruch'
    """
    stem = slug(title) or "job"
    name, number = stem, 1
    while name in taken or name in NOT_FREE:
        number += 1
        name = f"{stem}-{number}"
    return name

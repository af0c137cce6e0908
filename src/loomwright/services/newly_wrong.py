"""What is wrong with a job only since it was changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from loomwright.loom import Problem


def newly_wrong(before: Iterable[Problem], after: Iterable[Problem]) -> list[Problem]:
    """The problems that were not there before, warnings included, in their order.

    A problem is the same one though rows around it come and go: its row does not count.

    Parameters
    ----------
    before, after : all that is wrong with the job, without and with the change
    """
    known = Counter(map(_sign, before))
    found = []
    for problem in after:
        if known[_sign(problem)]:
            known[_sign(problem)] -= 1
        else:
            found.append(problem)
    return found


def _sign(problem: Problem) -> tuple[str, str | None, str, bool]:
    return (problem.where.table, problem.where.column, problem.what, problem.warning)

"""What `check` says: every problem, every warning, and what is there."""

from __future__ import annotations

from typing import Any

from loomwright.cli.page import Page
from loomwright.cli.show_new import typed
from loomwright.loom import Problem
from loomwright.services.check import CheckReport
from loomwright.services.counting import counted


def as_document(report: CheckReport) -> dict[str, Any]:
    """The check as the documented JSON."""
    return {
        "job": None if report.job is None else report.job.about.title,
        "passed": report.passed,
        "problems": [_problem(each) for each in report.problems],
        "warnings": [_problem(each) for each in report.warnings],
        "rows": dict(report.counts),
    }


def show_check(report: CheckReport, place: str) -> None:
    """Every problem, then the warnings, then what was read and whether it can be used.

    Parameters
    ----------
    report : what was found
    place : where the job is kept, as typed
    """
    page = Page()
    _list(page, "To mend", "✗ ", report.problems)
    _list(page, "Worth a look", "! ", report.warnings)
    rows = ", ".join(f"{table} {number}" for table, number in report.counts if number)
    page.say(f"Rows read: {rows or 'none'}.")
    looks = f", {counted(len(report.warnings), 'thing')} worth a look" if report.warnings else ""
    if report.passed:
        page.say(f"✓ The job can be used{looks}.", style="good")
        then = "suspects" if dict(report.counts)["readings"] else "expect --all"
        page.out.print(f"Next: loomwright {then} {typed(place)}", soft_wrap=True)
    else:
        page.say(f"✗ {counted(len(report.problems), 'problem')} to mend{looks}.", style="bad")


def _list(page: Page, heading: str, mark: str, problems: tuple[Problem, ...]) -> None:
    if not problems:
        return
    page.say(heading, style="head")
    for each in problems:
        page.say(each.sentence, lead=mark)
    page.gap()


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "table": problem.where.table,
        "row": problem.where.row,
        "column": problem.where.column,
        "what": problem.what,
        "expected": problem.expected,
    }

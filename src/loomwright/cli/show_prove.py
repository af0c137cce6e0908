"""What `prove` says: each reading after the work beside the one before it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from loomwright.cli.page import Page, table
from loomwright.loom import State
from loomwright.services.counting import counted
from loomwright.services.expect import Expectation
from loomwright.services.numbers import shown
from loomwright.services.prove import IN_ORDER, Proof, ProveReport
from loomwright.services.prove import counted as verdicts_of
from loomwright.services.words import SAFETY, band, degrees, listed

if TYPE_CHECKING:
    from rich.table import Table

MARKS: dict[str, tuple[str, str]] = {
    "better": ("✓", "good"),
    "same": ("=", "good"),
    "in order": ("✓", "good"),
    "not shown": ("?", "care"),
    "not in order": ("✗", "bad"),
    "worse": ("✗", "bad"),
}
"""Mark and style of each verdict; the word always stands beside the mark."""


def show_prove(report: ProveReport) -> None:
    """The table, what is still to be read, and what the words mean."""
    page = Page()
    page.title(report.job)
    if not report.proofs:
        page.say(
            "No reading after the work yet: take those that were not in order again and write "
            "them into proof, in the columns of readings."
        )
    else:
        page.gap()
        page.show(_table(report))
        page.gap()
        for lead, text in _notes(report):
            page.say(text, lead=lead)
    if report.unproved:
        page.say(
            f"{listed(list(report.unproved))}: not in order before the work and not read again.",
            lead="! ",
            style="care",
        )
    for reading, reason in report.set_aside:
        page.say(f"{reading} is set aside: {reason}.", lead="! ", style="care")
    page.say(_summary(report))
    page.say(SAFETY)


def _table(report: ProveReport) -> Table:
    from rich.text import Text

    made = table(
        ("", "left", 4),
        ("Red – black", "left", 15),
        ("Before", "right", 8),
        ("After", "right", 8),
        ("Sound would now read", "right", 20),
        ("Verdict", "left", 14),
    )
    for proof in report.proofs:
        mark, style = MARKS[proof.verdict]
        now = proof.after
        made.add_row(
            now.reading or "",
            f"{now.plus} – {now.minus}",
            "" if proof.before is None else _read(proof.before),
            _read(now),
            band(now.low, now.high, now.quantity),
            Text(f"{mark} {proof.verdict}", style=style),
        )
    return made


def _read(row: Expectation) -> str:
    return "" if row.taken is None else shown(row.taken, row.quantity)


def _notes(report: ProveReport) -> Iterator[tuple[str, str]]:
    """Each comparison in a sentence, at the same temperature."""
    for proof in report.proofs:
        yield f"{proof.after.reading or ''}  ", _sentence(proof)
    yield (
        "",
        "Each value is held against a sound loom's at its own temperature. Better and worse "
        "count from two standard uncertainties of the change; not shown is a smaller change, or "
        "none that helps.",
    )


def _sentence(proof: Proof) -> str:
    now, then = proof.after, proof.before
    if then is None:
        said = "in order" if now.verdict == IN_ORDER else now.verdict
        return f"{said}; there is no reading before to compare it with."
    if proof.change is None or proof.uncertainty is None:
        return f"before {then.verdict}, after {now.verdict}."
    off_then, off_now = _off(then), _off(now)
    change = shown(abs(proof.change), now.quantity)
    way = "down" if proof.change < 0 else "up"
    return (
        f"off by {off_then} before{_at(then)} and by {off_now} after{_at(now)}: "
        f"{way} {change}, give or take {shown(proof.uncertainty, now.quantity)}."
    )


def _at(row: Expectation) -> str:
    """The engine's temperature, where it was written: ` (82 °C)`."""
    engine = State.parse(row.state).settings.get("engine_c")
    return f" ({degrees(engine)})" if isinstance(engine, float) else ""


def _off(row: Expectation) -> str:
    """What a value is off by, with its sign: `+111 Ω`."""
    off = (row.taken or 0.0) - row.nominal
    return f"{'−' if off < 0 else '+'}{shown(abs(off), row.quantity)}"


def _summary(report: ProveReport) -> str:
    if not report.proofs:
        return report.verdict
    told = listed([f"{count} {word}" for word, count in verdicts_of(report)])
    head = f"{counted(len(report.proofs), 'reading')} after the work: {told}."
    return f"{head} {report.verdict}"

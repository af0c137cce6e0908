"""The spare wire on the work's page: each plug that is cut has an account that counts down."""

from __future__ import annotations

from collections.abc import Collection, Mapping

import attrs
from django.urls import reverse

from loomwright.loom import Job
from loomwright.services.labels import Labels
from loomwright.services.wire_use import Account, Count, account, uses
from loomwright.workshop.bench import BENCH
from loomwright.workshop.forms import Field
from loomwright.workshop.results import Worked


@attrs.frozen(kw_only=True)
class LedgerPart:
    """An account that counts down."""

    title: str
    unit: str
    rows: tuple[Count, ...]
    left_words: str
    left: str


@attrs.frozen(kw_only=True)
class WirePart:
    """The spare wire of one plug that is cut.

    Attributes
    ----------
    plug, title : its name, and what it is called
    ledger : the account; None where the spare is not known
    says : how far it goes, and when to stop
    offers : lengths that are counted off at a touch, each with what it is
    saw : the spare as it stands
    field : a length of one's own
    last : the row that counted last; blank where nothing is counted yet
    mend_url : the form of the plug, to write the spare down
    """

    plug: str
    title: str
    ledger: LedgerPart | None
    says: tuple[str, ...]
    offers: tuple[tuple[str, str], ...]
    saw: str
    field: Field
    last: str
    mend_url: str


def wire_parts(
    ref: str,
    worked: Worked,
    cut: Collection[str],
    problems: Mapping[str, str],
    typed: str = "",
) -> tuple[WirePart, ...]:
    """The wire of plugs that are cut, or were.

    Parameters
    ----------
    ref, worked : name of the job, and what is worked out of it
    cut : plugs that the planned work cuts
    problems : what is wrong with a length that was typed, by plug
    typed : that length
    """
    job, labels = worked.job, worked.results.labels
    plugs = {*cut, *(use.plug for use in uses(job.tasks))}
    return tuple(
        _wire(ref, job, labels, account(ledger, job.tasks), problems.get(ledger.plug, ""), typed)
        for ledger in worked.results.crimps.ledgers
        if ledger.plug in plugs
    )


def _wire(ref: str, job: Job, labels: Labels, found: Account, problem: str, typed: str) -> WirePart:
    row = next(row for row in BENCH.rows.rows(ref, "plugs") if row.cells.get("plug") == found.plug)
    used = tuple(uses(job.tasks, found.plug))
    back = reverse("work", args=[ref])
    return WirePart(
        plug=found.plug,
        title=labels.called(found.plug),
        ledger=_ledger(found),
        says=found.says,
        offers=found.offers_mm,
        saw=row.cells.get("spare_mm", ""),
        field=_length(problem, typed),
        last=used[-1].task if used else "",
        mend_url=f"{reverse('row', args=[ref, 'plugs', row.key])}?back={back}",
    )


def _length(problem: str, typed: str) -> Field:
    return Field(
        name="mm", label="Another length that was cut off", unit="mm", kind="number",
        inputmode="decimal", problem=problem, value=typed if problem else "",
    )  # fmt: skip


def _ledger(found: Account) -> LedgerPart | None:
    if found.left_mm is None:
        return None
    return LedgerPart(
        title="Spare wire", unit="mm", rows=found.rows, left_words="Left for tries",
        left=f"{found.left_mm:g}",
    )  # fmt: skip

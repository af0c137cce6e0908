"""A job at which some of the work was done: steps that were logged, and photos of it."""

from __future__ import annotations

import io
from collections.abc import Iterator

import attrs
from PIL import Image

from loomwright.loom import Job, PhotoRow, TaskRow
from loomwright.loom.identity import TaskId
from loomwright.services.job_cards import Work
from loomwright.services.work_log import LoggedStep, logged
from loomwright.services.workup import WorkUp

DAY = "2026-03-20"
KEPT = (
    "model", "diagnosed", "suspects", "sees", "sees_after", "weighed", "plan", "quote", "judge",
    "crimps", "work", "proof",
)  # fmt: skip
"""What steps that were logged, and photos, leave as it was."""
BY = "first bench"
DRAWING = b"<svg xmlns='http://www.w3.org/2000/svg' width='40' height='30'><path d='M0 0H9'/></svg>"


def ticked(work: Work, *, whole: str, half: str) -> tuple[TaskRow, ...]:
    """Rows of `tasks`: the frame before, all of one card, another as far as a hold that failed."""
    log = logged(work, ())
    before = [each for each in log.steps if each.step in work.before]
    done = [
        _row(each, "passed" if each.step.hold else "done") for each in (*before, *log.at(whole))
    ]
    return tuple(
        attrs.evolve(row, task=TaskId(f"D{number}"))
        for number, row in enumerate([*done, *_as_far_as_a_hold(log.at(half))], start=1)
    )


def all_ticked(work: Work) -> tuple[TaskRow, ...]:
    """Rows of `tasks` for every step of the work."""
    return tuple(
        attrs.evolve(_row(each, "passed" if each.step.hold else "done"), task=TaskId(f"D{number}"))
        for number, each in enumerate(logged(work, ()).steps, start=1)
    )


def _as_far_as_a_hold(steps: tuple[LoggedStep, ...]) -> Iterator[TaskRow]:
    for each in steps:
        if each.step.hold:
            yield _row(each, "failed", note="one terminal slid back")
            return
        yield _row(each, "done")


def _row(each: LoggedStep, state: str, note: str | None = None) -> TaskRow:
    return TaskRow(
        task=TaskId("D"), item=each.step.item or None, step=each.step.name, nth=each.nth,
        state=state, done_at=f"{DAY} 10:05", minutes=5.0, by=BY, note=note,
    )  # fmt: skip


def photo(name: str, item: str | None = None, face: str | None = None) -> PhotoRow:
    """A row of `photos`."""
    return PhotoRow(
        photo=name, item=item, face=face, taken_at=f"{DAY} 10:00", by=BY, note="as it was found"
    )


def jpeg(wide: int = 900, high: int = 600) -> bytes:
    """A photo of nothing, ready for paper."""
    made = io.BytesIO()
    Image.linear_gradient("L").resize((wide, high)).convert("RGB").save(made, "JPEG")
    return made.getvalue()


def worked(known: WorkUp, job: Job) -> WorkUp:
    """The work-up of a job that differs in nothing that plan, cards and proof rest on."""
    other = WorkUp(job, offer=known.offer)
    for part in KEPT:
        setattr(other, part, getattr(known, part))
    return other

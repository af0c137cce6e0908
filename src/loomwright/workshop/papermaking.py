"""Papers made beside the requests: one making a job at a time, with its progress and its stop.

The job is read before the making begins; a thread works it out, sets it in type and keeps files,
and never asks the database. The threads end with the site: a set that is not whole never counts.
"""

from __future__ import annotations

import atexit
import logging
import threading
import uuid
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from functools import cache, partial
from multiprocessing.pool import AsyncResult, ThreadPool
from typing import Literal

import attrs

from loomwright.documents.pack import KINDS, file_name, papers
from loomwright.documents.typesetting import SIZES, pages, pdf
from loomwright.loom import InputProblems, Job, Problem, Where
from loomwright.loom.errors import LoomwrightError, Stopped
from loomwright.services.moments import now_text
from loomwright.services.paper_sheets import check_label_sheet
from loomwright.services.shots import MOST_SHOWN, shots
from loomwright.services.wire_use import as_planned
from loomwright.services.words import listed, sentence
from loomwright.services.workup import WorkUp
from loomwright.storage.paper_folder import PaperFolder
from loomwright.storage.paper_photos import printable
from loomwright.storage.photo_names import kept_spelling
from loomwright.workshop.paper_sets import KeptPaper, PaperSet, clear, keep_set, new_folder
from loomwright.workshop.photo_store import kept_bytes

log = logging.getLogger(__name__)

_AT_ONCE = 2
"""Jobs whose papers are made at the same time; others wait for their turn."""


@attrs.frozen(kw_only=True)
class Asked:
    """What is to be made.

    Attributes
    ----------
    kinds : names of kinds, as `documents.pack.KINDS` has them
    sheet : the paper, `a4` or `letter`
    label_sheet : labels across and down, `3x8`; blank for the usual
    """

    kinds: tuple[str, ...]
    sheet: str
    label_sheet: str = ""


@attrs.define(eq=False, kw_only=True)
class Making:
    """A making and how far it is.

    Attributes
    ----------
    all, done : kinds of papers to make, and made
    words : what is being done
    state : how it stands
    said : how it ended, where it did not end well
    """

    all: int
    done: int = 0
    words: str = "Waits for its turn"
    state: Literal["running", "made", "stopped", "failed"] = "running"
    said: str = ""
    _stop: threading.Event = attrs.field(factory=threading.Event, init=False)
    _running: AsyncResult[None] | None = attrs.field(default=None, init=False)

    def run(self, work: Callable[[], None], failed: Callable[[BaseException], None]) -> None:
        """Begin in a thread; `failed` is told what ended it."""
        self._running = _threads().apply_async(work, error_callback=failed)

    def stop(self) -> None:
        """Stop at the next occasion; what was made before stays."""
        self._stop.set()

    def wait(self, seconds: float) -> bool:
        """Whether it ended within that time."""
        if self._running is not None:
            self._running.wait(seconds)
        return self.state != "running"

    def told(self, what: str, share: float) -> bool:
        """Progress of the services; False to stop."""
        self.words = sentence(what.removeprefix("paper: "))
        return not self._stop.is_set()


_makings: dict[str, Making] = {}
_lock = threading.Lock()


def making_of(job: str) -> Making | None:
    """The making that runs or ran last since the start of the site; None where there is none."""
    with _lock:
        return _makings.get(job)


def check(asked: Asked) -> None:
    """See that it can be made.

    Raises
    ------
    InputProblems
        holding all that is wrong with the form.
    """
    found = []
    unknown = [name for name in asked.kinds if name not in KINDS]
    if unknown or not asked.kinds:
        what = f"there is no paper {listed(unknown)}" if unknown else "no paper is ticked"
        found.append(Problem(Where("papers", column="kind"), what, "tick one or more"))
    if asked.sheet not in SIZES:
        what = f'there is no sheet "{asked.sheet[:40]}"'
        found.append(Problem(Where("papers", column="sheet"), what, f"give {' or '.join(SIZES)}"))
    elif "labels" in asked.kinds:
        try:
            check_label_sheet(asked.sheet, asked.label_sheet)
        except InputProblems as wrong:
            found += wrong.problems
    if found:
        raise InputProblems(found)


def begin(
    name: str, job: Job, stamp: int, asked: Asked, photos: Mapping[str, str] | None = None
) -> bool:
    """Make papers of a job in a thread of their own; False where some are being made already.

    Parameters
    ----------
    name : of the job
    job, stamp : the job as it stands, and what tells it from how it stands later
    asked : what passed `check`
    photos : what names the file of each photo, by the photo's name
    """
    with _lock:
        running = _makings.get(name)
        if running is not None and running.state == "running":
            return False
        making = _makings[name] = Making(all=len(asked.kinds))
    work = partial(_make, making, name, job, stamp, asked, photos or {})
    making.run(work, partial(_failed, making, name))
    return True


@cache
def _threads() -> ThreadPool:
    made = ThreadPool(_AT_ONCE)
    atexit.register(made.terminate)  # whoever closes the site does not wait for papers
    return made


def _make(
    making: Making, name: str, job: Job, stamp: int, asked: Asked, photos: Mapping[str, str]
) -> None:
    """What the thread does."""
    clear(name)  # what an earlier one left that was cut short
    folder, place = new_folder(name)
    known = WorkUp(as_planned(job), label_sheet=asked.label_sheet, progress=making.told)
    if job.about.offer:
        known.offer = job.about.offer
    if "report" in asked.kinds:
        known.photos = _printable(making, job, photos)
    made = tuple(_made(making, known, asked, place))
    keep_set(name, _as_set(folder, stamp, asked, made))
    making.state = "made"


def _failed(making: Making, name: str, failure: BaseException) -> None:
    """Every other end of it is told."""
    if isinstance(failure, Stopped):
        making.said = "Stopped. What was made before is as it was."
    elif isinstance(failure, LoomwrightError):
        making.said = _failure_words(failure)
    else:
        reference = uuid.uuid4().hex[:8]
        log.error("%s papers of %s", reference, name, exc_info=failure)
        making.said = (
            f"The papers could not be made. The cause lies in the program, not in your job "
            f"(reference {reference}). The details are in failures.log in the workshop's folder."
        )
    try:
        clear(name)
    finally:
        making.state = "stopped" if isinstance(failure, Stopped) else "failed"


def _printable(making: Making, job: Job, photos: Mapping[str, str]) -> dict[str, bytes]:
    """The photos that the report shows."""

    def read(name: str) -> bytes:
        if not making.told("photos", 0.0):
            raise Stopped("the papers were stopped")
        return kept_bytes(photos[kept_spelling(photos, name)])

    return printable([shot.name for shot in shots(job)], read, most=MOST_SHOWN)


def _made(making: Making, known: WorkUp, asked: Asked, place: PaperFolder) -> Iterator[KeptPaper]:
    """Each paper as it is set and kept; the cover comes last, it needs all the others know."""
    day = date.today().isoformat()
    for kind in sorted(asked.kinds, key=lambda each: each == "cover"):
        for paper in papers(known, only=[kind], made_on=day):
            if not making.told(paper.context.title, 0.0):
                raise Stopped("the papers were stopped")
            content = pdf(paper, size=asked.sheet)
            place.put(file_name(paper), content)
            yield KeptPaper(
                file=file_name(paper), kind=kind, title=paper.context.title,
                pages=pages(content), size=len(content),
            )  # fmt: skip
        making.done += 1


def _as_set(folder: str, stamp: int, asked: Asked, made: tuple[KeptPaper, ...]) -> PaperSet:
    order = list(KINDS)
    found = {each.kind for each in made}
    return PaperSet(
        folder=folder,
        made_at=now_text(),
        stamp=stamp,
        sheet=asked.sheet,
        papers=tuple(sorted(made, key=lambda each: order.index(each.kind))),
        without=tuple(kind for kind in order if kind in asked.kinds and kind not in found),
    )


def _failure_words(failure: LoomwrightError) -> str:
    if isinstance(failure, InputProblems):
        return " ".join(each.sentence for each in failure.problems)
    return str(failure)

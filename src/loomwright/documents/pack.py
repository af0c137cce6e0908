"""Which papers there are, and the pack that a job gives."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

import attrs

from loomwright.documents.test_sheet import test_sheet
from loomwright.documents.typesetting import Paper, pdf
from loomwright.loom import NotFound
from loomwright.loom.cells import nearest
from loomwright.services.diagnose import go_on
from loomwright.services.workup import WorkUp

Maker = Callable[[WorkUp, str], Iterator[Paper]]


@attrs.frozen
class Kind:
    """A kind of paper.

    Attributes
    ----------
    words : what it is, in a few words
    papers : makes its papers; none where the job gives nothing to print
    """

    words: str
    papers: Maker


KINDS: dict[str, Kind] = {
    "tests": Kind("test sheet: what each reading should be, before, after", test_sheet),
}
"""Every kind of paper by the name a person asks for it with, in the order of the pack."""


def printed(
    known: WorkUp, *, only: Collection[str] = (), size: str = "a4", made_on: str
) -> Iterator[tuple[str, bytes]]:
    """File name and content of every paper of the pack.

    Parameters
    ----------
    known : the job and what is known of it
    only : names of kinds; all where none is given
    size : `a4` or `letter`
    made_on : the day, ISO 8601

    Raises
    ------
    NotFound
        when a kind or the size is none of ours, before anything is made.
    Stopped
        when the person stopped it.
    """
    for name in only:
        if name not in KINDS:
            near = nearest(name, list(KINDS))
            raise NotFound(
                f'there is no paper "{name}"',
                where="only",
                expected=f'did you mean "{near}"?' if near else f"name some of {', '.join(KINDS)}",
            )
    wanted = [name for name in KINDS if not only or name in only]
    return _each(known, wanted, size, made_on)


def _each(known: WorkUp, wanted: list[str], size: str, made_on: str) -> Iterator[tuple[str, bytes]]:
    for number, name in enumerate(wanted):
        go_on(known.progress, f"paper: {name}", number / len(wanted))
        for paper in KINDS[name].papers(known, made_on):
            yield f"{paper.name}.pdf", pdf(paper, size=size)

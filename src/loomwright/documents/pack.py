"""Which papers there are, and the pack that a job gives."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator

import attrs

from loomwright.documents.before_after import before_after
from loomwright.documents.board import board_papers
from loomwright.documents.build_sheet import build_sheet
from loomwright.documents.cover import cover
from loomwright.documents.crimp_sheet import crimp_sheet
from loomwright.documents.cut_list import cut_list
from loomwright.documents.heat import heat_sheet
from loomwright.documents.job_card import job_cards
from loomwright.documents.labels import labels
from loomwright.documents.parts_list import parts_list
from loomwright.documents.quote import quote
from loomwright.documents.test_sheet import test_sheet
from loomwright.documents.typesetting import Paper, check_size, pdf
from loomwright.documents.verification import verification
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
    new_loom : whether it is for who makes a new loom: printed unasked only where the offer that
        the work follows makes one
    """

    words: str
    papers: Maker
    new_loom: bool = False


def _cover(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The cover names the other papers that the job gives."""
    others = [
        KINDS[name].words
        for name in unasked(known)
        if name != "cover" and next(KINDS[name].papers(known, made_on), None) is not None
    ]
    return cover(known, made_on, others)


KINDS: dict[str, Kind] = {
    "cover": Kind("cover page: what was found, done and left, for the owner", _cover),
    "quote": Kind("quote: three offers, the chosen one in stages, lines to sign", quote),
    "cards": Kind("job cards: the work item by item, with a first one for all", job_cards),
    "crimps": Kind("crimp sheet: trials, what they prove, lines for more", crimp_sheet),
    "tests": Kind("test sheet: what each reading should be, before, after", test_sheet),
    "parts": Kind("parts list: what is needed and why, what to order, how to cut", parts_list),
    "report": Kind("report before and after: whether the work helped", before_after),
    "heat": Kind("heat and life: what to inspect by when, plugs, boots, fuses", heat_sheet),
    "build": Kind("build sheet of a new loom: splices, bundles, wires, laying", build_sheet, True),
    "board": Kind("board of a new loom, 1 : 1: sheets to stick together", board_papers, True),
    "cut": Kind("cut list of a new loom: what to buy, each wire to tick off", cut_list, True),
    "verify": Kind("list that proves a new loom: lines to fill in", verification, True),
    "labels": Kind("labels and strips for plugs and wires, with QR codes", labels),
}
"""Every kind of paper by the name a person asks for it with, in the order of the pack."""

USUAL = tuple(name for name, kind in KINDS.items() if not kind.new_loom)
"""Those of every pack; what a new loom takes comes with the offer that makes one."""


def unasked(known: WorkUp) -> tuple[str, ...]:
    """Names of the kinds that are printed when none is named."""
    return tuple(KINDS) if known.renews_loom else USUAL


def printed(
    known: WorkUp, *, only: Collection[str] = (), size: str = "a4", made_on: str
) -> Iterator[tuple[str, bytes]]:
    """File name and content of every paper of the pack, each set when it is asked for.

    Parameters
    ----------
    known : the job and what is known of it
    only : names of kinds; those of `unasked` where none is given
    size : `a4` or `letter`
    made_on : the day, ISO 8601

    Raises
    ------
    NotFound
        when a kind or the size is none of ours, before anything is made.
    Stopped
        when the person stopped it.
    """
    check_size(size)
    wanted = papers(known, only=only, made_on=made_on)
    return ((file_name(paper), pdf(paper, size=size)) for paper in wanted)


def papers(known: WorkUp, *, only: Collection[str] = (), made_on: str) -> Iterator[Paper]:
    """Every paper of the pack, not yet set; parameters and errors as of `printed`."""
    for name in only:
        if name not in KINDS:
            near = nearest(name, list(KINDS))
            raise NotFound(
                f'there is no paper "{name}"',
                where="only",
                expected=f'did you mean "{near}"?' if near else f"name some of {', '.join(KINDS)}",
            )
    return _each(known, [name for name in KINDS if name in (only or unasked(known))], made_on)


def file_name(paper: Paper) -> str:
    """What the file of a paper is called."""
    return f"{paper.name}.pdf"


def _each(known: WorkUp, wanted: list[str], made_on: str) -> Iterator[Paper]:
    for number, name in enumerate(wanted):
        go_on(known.progress, f"paper: {name}", number / len(wanted))
        yield from KINDS[name].papers(known, made_on)

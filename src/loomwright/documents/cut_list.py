"""The cut list of a new loom: what to buy, then length by length the wires to tick off."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.services.cut_report import CutReport, CutSource, CutWire, KindCut
from loomwright.services.cut_words import (
    bought_words,
    label_words,
    left_out_words,
    left_words,
    metres,
    proof_words,
    source_words,
    strip_words,
    sum_words,
)
from loomwright.services.words import sentence
from loomwright.services.workup import WorkUp


@attrs.frozen(kw_only=True)
class WireRow:
    """One wire.

    Attributes
    ----------
    wire : its name
    length : what it is cut to [mm]
    label : what stands on its two labels
    strip_start, strip_end : what comes off there; empty where not known
    """

    wire: str
    length: str
    label: str
    strip_start: str
    strip_end: str


@attrs.frozen(kw_only=True)
class LengthPart:
    """One length of wire, and what is cut from it.

    Attributes
    ----------
    kind : what wire it is
    source : how long it is and where it comes from
    left : what is left of it, empty where its length is still open
    wires : in the order they are cut
    """

    kind: str
    source: str
    left: str
    wires: tuple[WireRow, ...]


@attrs.frozen(kw_only=True)
class CutList(Context):
    """What the template is given.

    Attributes
    ----------
    total : how much it is
    how : how it is cut and labelled
    cautions : what spoils a wire
    buy : offers to buy
    find : lengths that are on no offer, with the least each must be
    colours : colour, and length of wire of it
    lengths : that are opened, kind by kind, the drawer first
    unproved : kinds with what is not proved of their plan
    left_out : wires that are not planned, in sentences
    notes : what this rests on
    """

    total: str
    how: tuple[str, ...]
    cautions: tuple[str, ...]
    buy: tuple[str, ...]
    find: tuple[str, ...]
    colours: tuple[tuple[str, str], ...]
    lengths: tuple[LengthPart, ...]
    unproved: tuple[str, ...]
    left_out: tuple[str, ...]
    notes: tuple[str, ...]


def cut_list(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The cut list; none where the job has no wires.

    Parameters
    ----------
    known : the job and what is known of it
    made_on : the day, ISO 8601
    """
    report = known.cut
    if not report.kinds and not report.left_out:
        return
    money = report.currency
    yield Paper(
        name="cut-list",
        template="cut-list",
        context=CutList(
            **headed(known.job, "Cut list", made_on),
            total=f"{sum_words(report)}.",
            how=(
                "Take one length at a time, cut its wires in this order, the longest first, and "
                "tick them.",
                "Label both ends of a wire before the next is cut, 30 to 40 mm from where its "
                "shell will be; the paper of labels has two of each.",
            ),
            cautions=(
                "A piece cut too short cannot be joined: measure it twice, along a fixed rule.",
                "Strip at the crimp, not now: bare copper darkens. A nicked strand means a new "
                "end.",
            ),
            buy=tuple(bought_words(each, money) for each in report.buy if each.offer),
            find=tuple(bought_words(each, money) for each in report.buy if not each.offer),
            colours=tuple((name, metres(mm)) for name, mm in report.colours_mm.items()),
            lengths=tuple(_length(kind, each) for kind in report.kinds for each in kind.sources),
            unproved=tuple(
                f"{kind.name}. {proof_words(kind)}" for kind in report.kinds if not kind.proved
            ),
            left_out=tuple(f"{line}." for line in left_out_words(report)),
            notes=tuple(_notes(report)),
        ),
    )


def _length(kind: KindCut, source: CutSource) -> LengthPart:
    return LengthPart(
        kind=kind.name,
        source=source_words(source),
        left=left_words(source),
        wires=tuple(_row(each) for each in source.wires),
    )


def _row(wire: CutWire) -> WireRow:
    return WireRow(
        wire=wire.wire,
        length=str(wire.length_mm),
        label=label_words(wire),
        strip_start=strip_words(wire.strip_start_mm),
        strip_end=strip_words(wire.strip_end_mm),
    )


def _notes(report: CutReport) -> Iterator[str]:
    if report.kinds and all(kind.proved for kind in report.kinds):
        yield (
            "For every kind of wire it is proved that no plan takes fewer new lengths, then fewer "
            "metres, then less of the drawer."
        )
    yield f"Ends of {report.keep_mm:g} mm and more go back into the drawer: write them into stock."
    yield from (f"{sentence(note)}." for note in report.notes)
    if any(source.to_be_found for kind in report.kinds for source in kind.sources):
        yield "Wire that is on no offer may be any length that all its wires come out of."

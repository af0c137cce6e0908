"""How the wires of a new loom are cut: from which length each, what to buy, what is left over."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Mapping

from loomwright.build.cut_kinds import OnSale, WireKind, WireToCut, wire_kinds
from loomwright.build.cut_plan import cut_lengths
from loomwright.build.cut_proof import CutLengths
from loomwright.build.cut_to import CutTo, Strips, cut_to
from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job, Wire
from loomwright.services.buy import kept_at
from loomwright.services.cut_report import CutReport, CutSource, CutWire, KindCut, Purchase
from loomwright.services.diagnose import Progress, go_on

__all__ = ["CutReport", "CutSource", "CutTo", "CutWire", "KindCut", "Purchase", "cut", "cut_to"]


def cut(
    job: Job, *, cut_mm: Mapping[str, float] | None = None, progress: Progress | None = None
) -> CutReport:
    """The cut plan of a new loom with the wires of the job.

    Parameters
    ----------
    job : wires, and where they are known catalogue, offers and stock
    cut_mm : length that each wire is cut to, by its name; `cut_to` when not given
    progress : told how far the work is

    Raises
    ------
    Stopped
        when `progress` answers False.
    """
    value = own_values(job)
    lengths = cut_to(job, value) if cut_mm is None else CutTo(cut_mm=cut_mm)
    kinds, left_out = wire_kinds(job, lengths.cut_mm, value=value)
    strips, kept = Strips(job, value), kept_at(job)
    labels = {str(part.part): part.label or "" for part in job.catalogue}
    ends, made = time.monotonic() + value["cut_search_time"], []
    for number, kind in enumerate(kinds):
        go_on(progress, f"cutting {kind.name}", number / len(kinds))
        planned = cut_lengths(
            [each.length_mm for each in kind.wires],
            reels_mm=[each.length_mm for each in kind.on_sale],
            drawer_mm=kind.drawer_mm,
            keep_mm=round(value["offcut_keep"]),
            # The last kinds, too, shall have some time.
            seconds=max(0.0, ends - time.monotonic()) / 2,
        )
        sources = _sources(kind, planned, strips, kept.get(kind.name, ""), value["offcut_keep"])
        made.append(
            KindCut(
                name=kind.name,
                part=kind.part,
                label=labels.get(kind.part, ""),
                colour=kind.colour,
                section_mm2=kind.section_mm2,
                insulations=kind.insulations,
                sources=tuple(sources),
                reels=planned.reels,
                bought_mm=planned.bought_mm,
                drawer_mm=planned.drawer_mm,
            )
        )
    return CutReport(
        job=job.about.title,
        currency=job.about.currency or next((s.currency for s in job.suppliers if s.currency), ""),
        kinds=tuple(made),
        left_out=left_out,
        buy=tuple(_purchases(made)),
        keep_mm=value["offcut_keep"],
        notes=(*lengths.notes, *_notes(job, kinds)),
    )


def _sources(
    kind: WireKind, planned: CutLengths, strips: Strips, kept: str, keep_mm: float
) -> Iterator[CutSource]:
    """The lengths with the wire that each piece is for."""
    waiting: dict[int, list[WireToCut]] = {}
    for each in kind.wires:
        waiting.setdefault(each.length_mm, []).append(each)
    sale = {each.length_mm: each for each in kind.on_sale}
    for length, cuts in planned.opened:
        yield CutSource(
            bought=sale[length.length_mm] if length.new else None,
            kept="" if length.new else kept,
            length_mm=length.length_mm,
            wires=tuple(_wire(waiting[mm].pop(0), strips) for mm in cuts),
            goes_back=length.length_mm - sum(cuts) >= keep_mm,
        )


def _wire(each: WireToCut, strips: Strips) -> CutWire:
    wire: Wire = each.wire
    return CutWire(
        wire=str(wire.wire),
        start=str(wire.from_point),
        end=str(wire.to_point),
        colour=(wire.colour or "").strip(),
        section_mm2=wire.section_mm2 or 0.0,
        insulation=wire.insulation or "",
        length_mm=each.length_mm,
        strip_start_mm=strips.at(wire.from_point),
        strip_end_mm=strips.at(wire.to_point),
    )


def _purchases(kinds: Iterable[KindCut]) -> Iterator[Purchase]:
    for kind in kinds:
        found: dict[OnSale, list[int]] = {}
        for source in kind.sources:
            if source.bought is not None:
                found.setdefault(source.bought, []).append(source.used_mm)
        for sold, used in found.items():
            yield Purchase(
                name=kind.name,
                length_mm=sold.length_mm,
                count=len(used),
                least_mm=tuple(sorted(used, reverse=True)),
                offer=sold.offer,
                supplier=sold.supplier,
                packs=len(used) * sold.packs,
                price=None if sold.price is None else len(used) * sold.price,
            )


def _notes(job: Job, kinds: Iterable[WireKind]) -> Iterator[str]:
    if not job.catalogue:
        yield "the catalogue is empty, so no wire of it can be named and the drawer is not counted"
    for kind in kinds:
        if len(kind.insulations) > 1:
            named = ", ".join(each or "not told" for each in kind.insulations)
            yield (
                f"wires of {kind.name} name different insulations ({named}) and are cut from one "
                "wire: it must bear the hottest place"
            )

"""What `buy` says: the parts with their reasons, the parcels, the cuts, what nobody sells."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.cli.page import Page, table
from loomwright.services.buy import BuyReport, CutLength, Parcel, PartLine
from loomwright.services.counting import counted
from loomwright.services.words import SAFETY, listed

if TYPE_CHECKING:
    from rich.table import Table


def show_buy(report: BuyReport) -> None:
    """The whole page."""
    page = Page()
    page.title(report.job)
    page.say(_summary(report))
    if report.lines:
        page.heading(f'Parts for "{report.offer}"')
        page.show(_parts(report.lines))
        page.gap()
        for line in report.lines:
            page.say(_why(line), lead=f"{line.name}: ")
    for parcel in report.parcels:
        page.heading(_who(parcel))
        page.show(_packs(parcel, report.currency))
    if report.cuts:
        page.heading("How wire is cut: pieces cannot be joined")
        for cut in report.cuts:
            page.say(_cut(cut), lead="  ")
    if report.later:
        page.heading("One more pack: in this order, or in a parcel of its own later")
        page.show(_later(report))
    if report.nowhere:
        page.heading("Nobody sells")
        for line in report.nowhere:
            page.say(f"{line.name} ({line.label or line.kind}): {_amount(line.nowhere, line.unit)}",
                     lead="! ", style="care")  # fmt: skip
    if report.notes:
        page.heading("What is not known, or does not fit")
        for note in report.notes:
            page.say(f"{note}.", lead="! ")
    page.gap()
    page.say(SAFETY)


def _summary(report: BuyReport) -> str:
    if not report.parcels:
        return "Nothing is ordered." if report.lines else "No parts are needed, or none are known."
    return (
        f"{counted(len(report.parcels), 'parcel')}, {_money(report.total, report.currency)} with "
        f"{_money(report.postage, report.currency)} postage; the last is there in "
        f"{counted(round(report.lead_days), 'day')}. No other choice of packs and suppliers on "
        "offer does better."
    )


def _parts(lines: tuple[PartLine, ...]) -> Table:
    made = table(
        ("part", "left", 17),
        ("needed", "right", 11),
        ("in drawer", "right", 11),
        ("bought", "right", 11),
        ("left over", "right", 11),
        ("nobody sells", "right", 12),
    )
    for line in lines:
        amounts = (line.needed, line.from_drawer, line.bought, line.left_over, line.nowhere)
        made.add_row(line.name, *(_amount(each, line.unit) if each else "–" for each in amounts))
    return made


def _why(line: PartLine) -> str:
    """`flat receptacle; 4 for TH; 1 each for TE and CV; 3 spare, …`."""
    places: dict[float, list[str]] = {}
    others = []
    for each in line.reasons:
        if each.words.startswith(("for ", "spare")):
            others.append(f"{_amount(each.count, line.unit, bare=True)} {each.words}")
        else:
            places.setdefault(each.count, []).append(each.words)
    said = [line.label] if line.label else []
    for count, names in places.items():
        each_of = " each" if len(names) > 1 else ""
        said.append(f"{_amount(count, line.unit, bare=True)}{each_of} for {listed(names)}")
    return "; ".join([*said, *others]) + "."


def _who(parcel: Parcel) -> str:
    label = f": {parcel.label}" if parcel.label else ""
    return f"Parcel from {parcel.supplier}{label}"


def _packs(parcel: Parcel, currency: str) -> Table:
    unit = f" {currency}" if currency else ""
    made = table(
        ("offer", "left", 8),
        ("part", "left", 20),
        ("packs", "right", 6),
        ("of", "right", 11),
        (f"each{unit}", "right", 10),
        (f"sum{unit}", "right", 10),
    )
    for pack in parcel.packs:
        made.add_row(
            pack.offer, pack.name, str(pack.packs), _amount(pack.size, pack.unit),
            f"{pack.price:.2f}", f"{pack.total:.2f}",
        )  # fmt: skip
    made.add_row("", "postage", "", "", "", f"{parcel.postage:.2f}")
    days = counted(round(parcel.lead_days), "day")
    made.add_row("", f"together, in {days}", "", "", "", f"{parcel.goods + parcel.postage:.2f}")
    return made


def _cut(cut: CutLength) -> str:
    source = f"{cut.offer}, {cut.length_m:g} m" if cut.offer else f"drawer, {cut.length_m:g} m"
    pieces = [f"{length} mm for {wire}" for wire, length in cut.pieces]
    return f"{cut.name} ({source}): {listed(pieces)}"


def _later(report: BuyReport) -> Table:
    unit = f" {report.currency}" if report.currency else ""
    made = table(("part", "left", 20), (f"now{unit}", "right", 10), (f"later{unit}", "right", 10))
    for each in report.later:
        made.add_row(each.name, f"{each.now:.2f}", f"{each.later:.2f}")
    return made


def _amount(value: float, unit: str, *, bare: bool = False) -> str:
    if unit == "m":
        return f"{value:.2f} m"
    return f"{value:.0f}" if bare else counted(round(value), "piece")


def _money(value: float, currency: str) -> str:
    return f"{value:.2f} {currency}".strip()

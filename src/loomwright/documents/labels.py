"""Labels: plugs and wire ends with their codes on cut sheets, and strips for heat-shrink."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

import attrs

from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.drawings.qr_code import qr
from loomwright.services.labelling import EndLabel, PlugLabel, labelling, sheets
from loomwright.services.words import listed
from loomwright.services.workup import WorkUp

PAPER_WORDS = {"a4": "A4", "letter": "US Letter"}


@attrs.frozen(kw_only=True)
class Cut:
    """A sheet of labels as it is cut.

    Attributes
    ----------
    words : its dimensions in words
    columns : labels across
    width, height : of a label [mm]
    left, top : from the edges of the sheet to the first label [mm]
    across, down : between labels [mm]
    """

    words: str
    columns: int
    width: float
    height: float
    left: float
    top: float
    across: float
    down: float


@attrs.frozen(kw_only=True)
class Label:
    """One label.

    Attributes
    ----------
    name : in large letters
    lines : what stands below, the most needed first
    code : text of the QR code
    picture : file of the QR code
    """

    name: str
    lines: tuple[str, ...]
    code: str
    picture: str


@attrs.frozen(kw_only=True)
class LabelSheets(Context):
    """What the template `labels` is given.

    Attributes
    ----------
    how : how they are printed, step by step
    where : where they are put
    cuts : the sheet by size of paper
    labels : in the order they are stuck on
    """

    how: tuple[str, ...]
    where: str
    cuts: dict[str, Cut]
    labels: tuple[Label, ...]


@attrs.frozen(kw_only=True)
class Strip:
    """A strip that goes once round a wire.

    Attributes
    ----------
    texts : what stands on it, the longest first; the first that fits is printed
    height : once round the wire [mm]
    """

    texts: tuple[str, ...]
    height: float


@attrs.frozen(kw_only=True)
class TubeGroup:
    """Strips that take one tube.

    Attributes
    ----------
    tube : the tube in words, or what must be done first
    strips : two of each wire, one for each end
    """

    tube: str
    strips: tuple[Strip, ...]


@attrs.frozen(kw_only=True)
class StripSheet(Context):
    """What the template `strips` is given.

    Attributes
    ----------
    how : how they are put on, step by step
    groups : strips by tube
    unknown : wires of which no diameter is known, so that no strip can be made
    notes : what the sizes rest on
    """

    how: tuple[str, ...]
    groups: tuple[TubeGroup, ...]
    unknown: str
    notes: tuple[str, ...]


def labels(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """Plug labels, wire labels and strips; none of what the job has not."""
    made = labelling(known.job)
    if made.plugs:
        yield _sheet(
            known, "Plug labels", made_on, use="plugs", labels=[_plug(each) for each in made.plugs],
            where="One on every plug, on the boot or on a tag through it, before anything is "
            "unplugged.",
        )  # fmt: skip
    if made.ends:
        yield _sheet(
            known, "Wire labels", made_on, use="wires", labels=[_end(each) for each in made.ends],
            where="One at each end of every wire, 30 to 40 mm from the shell and outside the boot, "
            "before anything is cut. They stand plug by plug and cavity by cavity.",
        )  # fmt: skip
        yield _strips(known, made_on, made.ends, made.origins)


def _sheet(
    known: WorkUp, title: str, made_on: str, *, use: str, labels: list[Label], where: str
) -> Paper:
    pictures = {each.picture: qr(each.code) for each in labels}
    return Paper(
        name=f"labels-{use}",
        template="labels",
        context=LabelSheets(
            **headed(known.job, title, made_on),
            how=(
                "Print this page on plain paper, at 100 % and without fitting to the page. The "
                "bar below must be 100 mm long.",
                "Print the next page on plain paper too, and hold it against a sheet of labels "
                "before a light: each text must lie within its label.",
                "Then print from page 2 on onto the sheets of labels.",
            ),
            where=where,
            cuts={
                paper: Cut(
                    words=f"{PAPER_WORDS[paper]}, {sheet.columns} across and {sheet.rows} down, "
                    f"each {sheet.label_width_mm:.1f} × {sheet.label_height_mm:.1f} mm; first "
                    f"label {sheet.left_mm:.1f} mm from the left edge and {sheet.top_mm:.1f} mm "
                    f"from the top; {sheet.across_mm:.1f} mm from one to the next across, "
                    f"{sheet.down_mm:.1f} mm down",
                    columns=sheet.columns,
                    width=sheet.label_width_mm,
                    height=sheet.label_height_mm,
                    left=sheet.left_mm,
                    top=sheet.top_mm,
                    across=sheet.gap_across_mm,
                    down=sheet.gap_down_mm,
                )
                for paper, sheet in sheets(use, known.label_sheet).items()
            },
            labels=tuple(labels),
        ),
        pictures=pictures,
    )


def _plug(label: PlugLabel) -> Label:
    goes_on = f"goes on {label.goes_on}" if label.goes_on else ""
    return Label(
        name=label.plug,
        lines=tuple(line for line in (label.label, goes_on, label.place) if line),
        code=label.code,
        picture=f"qr-{label.plug}.svg",
    )


def _end(label: EndLabel) -> Label:
    return Label(
        name=label.wire,
        lines=tuple(
            line for line in (f"here {label.here}", f"to {label.there}", label.colour) if line
        ),
        code=label.code,
        picture=f"qr-{label.wire}.svg",
    )


def _strips(
    known: WorkUp, made_on: str, ends: Iterable[EndLabel], origins: tuple[str, ...]
) -> Paper:
    sized = sorted(
        (each for each in ends if each.round_mm is not None),
        key=lambda each: each.tube.supplied_mm if each.tube else float("inf"),
    )
    unknown = dict.fromkeys(each.wire for each in ends if each.round_mm is None)
    groups = tuple(
        TubeGroup(tube=tube, strips=tuple(_strip(each) for each in group))
        for tube, group in groupby(sized, key=_tube)
    )
    return Paper(
        name="labels-strips",
        template="strips",
        context=StripSheet(
            **headed(known.job, "Strips for clear heat-shrink", made_on),
            how=(
                "Print at 100 %. Cut along the lines; every strip is as high as its wire is round, "
                "and says the same twice, so that it reads from both sides.",
                "Slip a piece of clear tube over the wire before its terminal is crimped: a "
                "terminal seldom goes through.",
                "Wrap the strip round the wire 30 to 40 mm from the shell, outside the boot; push "
                "the tube over it, a little longer than the strip, and shrink it from the middle.",
            ),
            groups=groups,
            unknown=listed(list(unknown)),
            notes=(
                "A tube is named by its bore as supplied, then as shrunk freely. It has to slip "
                "over the insulation, and shrunk freely be clearly narrower than it. Common "
                "practice, no published source.",
                *(f"Outside diameters: {origin}. A measured one is better." for origin in origins),
            ),
        ),
    )


def _tube(label: EndLabel) -> str:
    if label.tube is None:
        return label.missing[:1].upper() + label.missing[1:]
    return f"Clear tube {label.tube.supplied_mm:g} mm, shrinks to {label.tube.recovered_mm:g} mm"


def _strip(label: EndLabel) -> Strip:
    name, here = label.wire, f"{label.wire}  at {label.here}"
    whole = f"{here}, to {label.there}"
    texts = (f"{whole}  {label.colour}", whole, here, name) if label.colour else (whole, here, name)
    return Strip(texts=texts, height=round(label.round_mm or 0.0, 2))

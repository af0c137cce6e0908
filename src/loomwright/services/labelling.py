"""What stands on the labels of plugs and wires, and which heat-shrink tube each wire takes."""

from __future__ import annotations

import math
import re

import attrs

from loomwright import standards
from loomwright.loom import Job, NotFound, Point, Topology, Wire
from loomwright.repair.needs import Needs
from loomwright.repair.tubes import tube_for
from loomwright.standards import LabelSheet, ShrinkTube

_MOST_LETTERS = 24
_PAPERS = ("a4", "letter")


@attrs.frozen(kw_only=True)
class PlugLabel:
    """What stands on a plug's label.

    Attributes
    ----------
    plug, label : its name, and what it is called
    goes_on, place : the device or plug it goes on, and where; empty when not written down
    code : the text of its QR code
    """

    plug: str
    label: str
    goes_on: str
    place: str
    code: str


@attrs.frozen(kw_only=True)
class EndLabel:
    """What stands on the label at one end of a wire.

    Attributes
    ----------
    wire : its name
    here, there : the point at this end and at the other
    colour : its colour letters, empty when not written down
    code : the text of its QR code, the same at both ends
    tube : the heat-shrink tube it takes, None where none can be told
    missing : why none can be told
    round_mm : once round the insulation [mm], None where its diameter is not known
    """

    wire: str
    here: str
    there: str
    colour: str
    code: str
    tube: ShrinkTube | None
    missing: str
    round_mm: float | None


@attrs.frozen(kw_only=True)
class Labelling:
    """Every label of a job.

    Attributes
    ----------
    plugs : in sheet order
    ends : of wires, plug by plug and cavity by cavity, then joints
    origins : how outside diameters were told where they were not measured
    """

    plugs: tuple[PlugLabel, ...]
    ends: tuple[EndLabel, ...]
    origins: tuple[str, ...]


def labelling(job: Job) -> Labelling:
    """The labels of every plug and of both ends of every wire."""
    short = short_name(job.about.title)
    value = standards.values({row.name: row.value for row in job.settings})
    needs = Needs(job, value)
    return Labelling(
        plugs=tuple(
            PlugLabel(
                plug=plug.plug,
                label=plug.label or "",
                goes_on=plug.mates_with or "",
                place=plug.place or "",
                code=f"{short}|{plug.plug}",
            )
            for plug in job.plugs
        ),
        ends=tuple(
            _end(wire, here, short=short, needs=needs) for here, wire in _in_order(needs.topology)
        ),
        origins=tuple(
            dict.fromkeys(
                span.origin for wire in job.wires if (span := needs.outside(wire)) and span.origin
            )
        ),
    )


def _end(wire: Wire, here: Point, *, short: str, needs: Needs) -> EndLabel:
    outside = needs.outside(wire)
    choice = tube_for(outside, standards.shrink_tubes(), value=needs.value)
    return EndLabel(
        wire=wire.wire,
        here=str(here),
        there=str(wire.to_point if here == wire.from_point else wire.from_point),
        colour=wire.colour or "",
        code=f"{short}|{wire.wire}",
        tube=choice.tube,
        missing=choice.missing,
        # A strip made for the thinner wire leaves a gap on the thicker one; it never overlaps.
        round_mm=None if outside is None else math.pi * outside.low,
    )


def _in_order(loom: Topology) -> list[tuple[Point, Wire]]:
    """Both ends of every wire in the order in which one works: a plug, then the next."""
    cavities = (
        Point(plug.plug, cavity) for plug in loom.job.plugs for cavity in plug.face.cavities
    )
    joints = (Point(joint.joint) for joint in loom.job.joints)
    order = {point: number for number, point in enumerate((*cavities, *joints))}
    ends = [(point, wire) for wire in loom.job.wires for point in (wire.from_point, wire.to_point)]
    return sorted(ends, key=lambda end: order.get(end[0], len(order)))


def short_name(title: str) -> str:
    """What a job is called in few letters: its title up to the first colon, comma or bracket.

    Examples
    --------
    >>> short_name("Tarn 2300: hot starts and damp idle (invented example)")
    'Tarn 2300'
    """
    first = re.split(r"[:;,(|\n]", title.strip(), maxsplit=1)[0].strip() or "job"
    if len(first) <= _MOST_LETTERS:
        return first
    return first[: _MOST_LETTERS + 1].rpartition(" ")[0] or first[:_MOST_LETTERS]


def sheets(use: str, name: str = "") -> dict[str, LabelSheet]:
    """The sheet of labels on each paper.

    Parameters
    ----------
    use : `plugs` or `wires`; the usual sheet for it is taken
    name : labels across and down, `3x8`, where another is wanted; a paper that has no such sheet
        keeps its usual one
    """
    found = {}
    for paper in _PAPERS:
        named = any(each.paper == paper and each.name == name for each in standards.label_sheets())
        found[paper] = standards.label_sheet(paper, use, name=name if named else "")
    return found


def check_sheet(paper: str, name: str) -> None:
    """See that there is a sheet of labels of that name on that paper; an empty name is the usual.

    Raises
    ------
    NotFound
        when there is none; those of the paper are named.
    """
    known = [each.name for each in standards.label_sheets() if each.paper == paper]
    if name and name not in known:
        raise NotFound(
            f'there is no sheet of labels "{name}" on {paper}',
            where="labels",
            expected=f"give {' or '.join(known)}",
        )

"""What the drawing of a circuit needs: the trace from a point, its pieces in words."""

from __future__ import annotations

import attrs

from loomwright.loom import Job, Topology
from loomwright.services.numbers import shown
from loomwright.services.trace import trace


@attrs.frozen(kw_only=True)
class CircuitPiece:
    """One piece of the way.

    Attributes
    ----------
    kind : `wire`, `contact`, `element`, `earth`, `case`, `feed` or `battery`
    what : kind, name and colour letters
    start, end : the points it lies between
    depth : how many branchings lie before it
    own, so_far : its resistance, and that from the beginning to its end, with units
    ends : why the way ends here, empty when it goes on
    """

    kind: str
    what: str
    start: str
    end: str
    depth: int
    own: str
    so_far: str
    ends: str


@attrs.frozen(kw_only=True)
class CircuitSheet:
    """What the drawing of a circuit shows.

    Attributes
    ----------
    job : title of the job
    point, label : where it begins, and what its plug, device or joint is called
    state : the state the contacts are in
    pieces : in order, branch by branch
    """

    job: str
    point: str
    label: str
    state: str
    pieces: tuple[CircuitPiece, ...]


def circuit_sheet(job: Job, point: str) -> CircuitSheet:
    """What the drawing of the circuit at a point shows.

    Raises
    ------
    NotFound
        when there is no such point; the nearest is named.
    """
    found = trace(job, point)
    loom = Topology(job)
    colours = {str(wire.wire): wire.colour or "" for wire in job.wires}
    labels = {name: row.label for name, row in loom.joints.items()}
    labels |= {name: row.label for name, row in loom.devices.items()}
    labels |= {name: row.label for name, row in loom.plugs.items()}
    pieces = []
    for piece in found.pieces:
        name = piece.items[0] if piece.kind in ("wire", "element") and piece.items else ""
        words = (piece.kind, name, colours.get(name, "") if piece.kind == "wire" else "")
        pieces.append(
            CircuitPiece(
                kind=piece.kind,
                what=" ".join(word for word in words if word),
                start=str(piece.start),
                end=str(piece.end),
                depth=piece.depth,
                own=shown(piece.ohm),
                so_far=shown(piece.so_far),
                ends=piece.ends,
            )
        )
    return CircuitSheet(
        job=job.about.title,
        point=point,
        label=labels.get(point.partition(".")[0]) or "",
        state=found.state,
        pieces=tuple(pieces),
    )

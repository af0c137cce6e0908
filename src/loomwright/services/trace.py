"""Follow a circuit from a point to where it ends, every piece with its ohms."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright.circuit.paths import Piece, pieces
from loomwright.diagnosis import Model, Setting
from loomwright.diagnosis.harm import control_plugs
from loomwright.loom import Job, Point, State, nearest
from loomwright.loom.errors import NotFound


@attrs.frozen
class Trace:
    """The pieces from a point.

    Attributes
    ----------
    point : where it began
    state : the state the contacts are in
    pieces : in order, branch by branch
    """

    point: str
    state: str
    pieces: tuple[Piece, ...]

    def json(self) -> dict[str, Any]:
        """The trace as the documented JSON."""
        return {
            "point": self.point,
            "state": self.state,
            "pieces": [
                {
                    "depth": piece.depth,
                    "kind": piece.kind,
                    "items": list(piece.items),
                    "from": str(piece.start),
                    "to": str(piece.end),
                    "ohm": float(f"{piece.ohm:.4g}"),
                    "so_far": float(f"{piece.so_far:.4g}"),
                    "ends": piece.ends,
                }
                for piece in self.pieces
            ],
        }


def trace(job: Job, point_text: str, state: State | None = None) -> Trace:
    """Every piece from a point to where it ends, all plugs on.

    Raises
    ------
    NotFound
        when there is no such point; the nearest known ones are named.
    """
    model = Model(job)
    network = model.network
    if state is None:
        state = job.readings[-1].state if job.readings else State()
    known = [str(point) for point in network.points if not point.owner.startswith("~")]
    try:
        point = Point.parse(point_text)
    except ValueError:
        point = Point("")
    if point not in network.node_of or point_text not in known:
        close = nearest(point_text, known)
        some = f"give a point such as {', '.join(known[:3])}" if known else "wire a plug first"
        raise NotFound(
            f'there is no wired point "{point_text}"',
            expected=f'did you mean "{close}"?' if close else some,
        )
    loom = network.topology
    control = frozenset(str(loom.plugs[plug].mates_with) for plug in control_plugs(loom))
    solved = model.solved(Setting.of(state, ()))
    return Trace(point_text, str(state), pieces(network, solved, point, control - {point.owner}))

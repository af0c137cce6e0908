"""The drawings a command asks for, as file names with their text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import attrs

from loomwright.loom import Job, NotFound


@attrs.frozen(kw_only=True)
class Wanted:
    """What is to be drawn.

    Attributes
    ----------
    plugs : names of plugs; `every` for all of them
    tree : whether the loom's tree
    circuit : a point whose circuit is followed, empty for none
    pitch_mm : from cavity to cavity, None when not stated
    life_size : whether plugs of known pitch are drawn 1 : 1
    """

    plugs: Sequence[str] = ()
    every: bool = False
    tree: bool = False
    circuit: str = ""
    pitch_mm: float | None = None
    life_size: bool = False


def drawings(job: Job, wanted: Wanted) -> dict[str, str]:
    """SVG text by file name; a name with a second dot cannot be a plug's.

    Raises
    ------
    NotFound
        when nothing is wanted, or something that is not there.
    OutOfRange
        when the pitch is none that a plug could have.
    """
    made = dict(_drawn(job, wanted))
    if not made:
        raise NotFound(
            "nothing to draw is named",
            expected="name plugs, such as CU, or give --all, --tree or --circuit POINT",
        )
    return made


def _drawn(job: Job, wanted: Wanted) -> Iterator[tuple[str, str]]:
    if wanted.plugs or wanted.every:
        from loomwright.drawings.face import face_svg
        from loomwright.services.draw import plug_sheets

        names = None if wanted.every else wanted.plugs
        for sheet in plug_sheets(job, names, pitch_mm=wanted.pitch_mm):
            yield f"{sheet.plug.plug}.svg", face_svg(sheet, life_size=wanted.life_size)
    if wanted.tree:
        from loomwright.drawings.tree import tree_svg
        from loomwright.services.draw import loom_plan

        yield "loom.tree.svg", tree_svg(loom_plan(job))
    if wanted.circuit:
        from loomwright.drawings.circuit_path import circuit_svg
        from loomwright.services.draw_circuit import circuit_sheet

        yield f"{wanted.circuit}.circuit.svg", circuit_svg(circuit_sheet(job, wanted.circuit))

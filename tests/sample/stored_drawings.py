"""The drawings that are kept as pictures, and how to renew them.

When a drawing is meant to look different, run `.venv/bin/python tests/sample/stored_drawings.py`,
look at the SVG files in a browser, then keep them.
"""

from __future__ import annotations

from pathlib import Path

import attrs

from loomwright.drawings.circuit_path import circuit_svg
from loomwright.drawings.face import face_svg
from loomwright.drawings.tree import tree_svg
from loomwright.loom import Face, Job
from loomwright.services.draw import loom_plan, plug_sheet
from loomwright.services.draw_circuit import circuit_sheet
from loomwright.storage.job_folder import JobFolder

ROOT = Path(__file__).parents[2]
STORED = ROOT / "tests" / "drawings" / "pictures"
DEMO = JobFolder().read(ROOT / "examples" / "tarn-2300")
GAPS = ". 1 2 / 3 . 4"
"""A face with gaps, which no plug of the example has."""


def with_gaps() -> Job:
    """The example with the throttle switch's plug staggered, latch and key on one side."""
    plugs = (
        attrs.evolve(plug, face=Face.parse(GAPS), latch="right", keying=("right", "bottom"))
        if plug.plug == "TH"
        else plug
        for plug in DEMO.plugs
    )
    return attrs.evolve(DEMO, plugs=tuple(plugs))


def pictures() -> dict[str, str]:
    """The drawings as they come out now, by file name."""
    return {
        "CU.svg": face_svg(plug_sheet(DEMO, "CU")),
        "TA.svg": face_svg(plug_sheet(DEMO, "TA")),
        "TA.life-size.svg": face_svg(plug_sheet(DEMO, "TA"), life_size=True),
        "X1A.svg": face_svg(plug_sheet(DEMO, "X1A")),
        "gaps.svg": face_svg(plug_sheet(with_gaps(), "TH")),
        "loom.tree.svg": tree_svg(loom_plan(DEMO)),
        "CU.6.circuit.svg": circuit_svg(circuit_sheet(DEMO, "CU.6")),
    }


def renew() -> None:
    """Write every picture anew and take away those that are no longer made."""
    made = pictures()
    STORED.mkdir(exist_ok=True)
    for kept in STORED.glob("*.svg"):
        if kept.name not in made:
            kept.unlink()
    for name, text in made.items():
        (STORED / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    renew()

"""The faces that are kept as drawings, and how to renew them.

When a drawing is meant to look different: run this file with the project's Python, look at
the SVG files in a browser, then keep them.
"""

from __future__ import annotations

from pathlib import Path

from loomwright.drawings.face import face_svg
from loomwright.services.draw import plug_sheets
from loomwright.storage.job_folder import JobFolder

ROOT = Path(__file__).parents[2]
STORED = ROOT / "tests" / "drawings" / "stored"
PLUGS = ("CU", "X1A")


def faces() -> dict[str, str]:
    """The drawings as they come out now, by file name."""
    job = JobFolder().read(ROOT / "examples" / "tarn-2300")
    return {f"{sheet.plug.plug}.svg": face_svg(sheet) for sheet in plug_sheets(job, PLUGS)}


if __name__ == "__main__":
    for name, text in faces().items():
        (STORED / name).write_text(text, encoding="utf-8", newline="\n")

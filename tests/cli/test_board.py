"""`board`: files by name, what they are, nothing half done."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"


def test_sheets_dxf_and_svg_of_one_piece(run: Run, tmp_path: Path) -> None:
    line = ("board", DEMO, "--piece", "2", "--dxf", "--svg", "--long", "--date", "2026-03-21")
    done = run(*line, "--out", str(tmp_path))
    assert (done.code, done.err) == (0, "")
    names = {"board-2.pdf", "board-2-long.pdf", "board-2.dxf", "board-2.svg"}
    assert {path.name for path in tmp_path.iterdir()} == names
    told = " ".join(done.out.split())
    assert "Board 2 of 2: " in told
    assert "Made 4 files:" in told
    assert "--printed-bar 199.2" in told


def test_the_json_is_told_and_the_files_are_made(run: Run, tmp_path: Path) -> None:
    done = run("board", DEMO, "--piece", "2", "--json", "--out", str(tmp_path))
    assert done.code == 0
    (made,) = json.loads(done.out)["boards"]
    assert made["loom_mm"] == 880.0
    assert (tmp_path / "board-2.pdf").exists()


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (("--size", "a5"), 'size: there is no sheet "a5". Give a4 or a3 or letter.'),
        (("--piece", "7"), "piece: the loom has no piece 7. Give 1 to 2."),
        (("--width", "5"), "width: a table 5 mm wide is not possible."),
        (("--printed-bar", "20"), "printed-bar: a bar of 20 mm is not what a printer"),
        (("--date", "soon"), 'date: "soon" is no day'),
    ],
)
def test_what_there_is_not_is_told_and_nothing_is_written(
    run: Run, tmp_path: Path, line: tuple[str, ...], says: str
) -> None:
    done = run("board", DEMO, *line, "--out", str(tmp_path / "new"))
    assert (done.code, done.out) == (2, "")
    assert says in " ".join(done.err.split())
    assert not (tmp_path / "new").exists()

"""`draw`: files by name, several wishes at once, names that help, nothing half done."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"


def test_plugs_the_loom_and_a_circuit_become_files(run: Run, tmp_path: Path) -> None:
    done = run("draw", DEMO, "CU", "TE", "--tree", "--circuit", "CU.6", "--out", str(tmp_path))
    assert (done.code, done.err) == (0, "")
    names = {"CU.svg", "TE.svg", "loom.tree.svg", "CU.6.circuit.svg"}
    assert {path.name for path in tmp_path.iterdir()} == names
    for path in tmp_path.iterdir():
        assert ElementTree.parse(path).getroot().tag == "{http://www.w3.org/2000/svg}svg"
        assert str(path) in done.out
    assert "Made 4 drawings:" in done.out
    assert "hold it against the plug" in done.out


def test_all_draws_every_plug(run: Run, tmp_path: Path) -> None:
    assert run("draw", DEMO, "--all", "--out", str(tmp_path / "new")).code == 0
    plugs = Path(__file__).parents[2].joinpath(DEMO, "plugs.csv").read_text(encoding="utf-8")
    wanted = {f"{line.partition(',')[0]}.svg" for line in plugs.splitlines()[1:]}
    assert {path.name for path in (tmp_path / "new").iterdir()} == wanted


def test_life_size_draws_plugs_smaller(run: Run, tmp_path: Path) -> None:
    wide = []
    for more in ((), ("--life-size",)):
        assert run("draw", DEMO, "CU", *more, "--out", str(tmp_path)).code == 0
        root = ElementTree.parse(tmp_path / "CU.svg").getroot()
        wide.append(float(root.attrib["width"].removesuffix("mm")))
        assert ("life size" in "".join(root.itertext())) == bool(more)
    assert wide[1] < wide[0]


@pytest.mark.parametrize(
    ("line", "code", "says"),
    [
        (("CU", "TF"), 2, 'There is no plug "TF". Did you mean "T'),
        ((), 2, "Nothing to draw is named. Name plugs, such as CU, or give --all"),
        (("--circuit", "CU.66"), 2, 'no wired point "CU.66". Did you mean "CU.6"?'),
        (("CU", "--pitch", "nan"), 2, "pitch: a pitch of nan mm is not possible."),
    ],
)
def test_what_cannot_be_drawn_is_told_and_nothing_is_written(
    run: Run, tmp_path: Path, line: tuple[str, ...], code: int, says: str
) -> None:
    done = run("draw", DEMO, *line, "--out", str(tmp_path / "new"))
    assert (done.code, done.out) == (code, "")
    assert says in done.err
    assert not (tmp_path / "new").exists()


def test_a_folder_that_cannot_be_written_is_told(run: Run, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    done = run("draw", DEMO, "CU", "--out", str(tmp_path / "taken"))
    assert done.code == 4
    assert "cannot be written" in done.err


def test_drawing_plugs_needs_no_numbers(tmp_path: Path) -> None:
    program = (
        "import sys; from loomwright.cli import main;"
        f"code = main(['draw', {DEMO!r}, 'CU', '--tree', '--out', {str(tmp_path)!r}]);"
        "sys.exit(code or bool({'numpy', 'scipy', 'openpyxl'} & set(sys.modules)))"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=root, capture_output=True, timeout=60
    )
    assert done.returncode == 0, done.stderr

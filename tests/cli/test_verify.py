"""`verify`, `netlist`, `wire-list`: what they print, what they write, what they refuse."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl

from loomwright.services.exchange import spice
from loomwright.services.verify import verify
from sample.demo import demo_job

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"


def test_the_list_fits_eighty_columns_and_ends_in_what_passes(seen: Run) -> None:
    ran = seen("verify", DEMO)
    assert (ran.code, ran.err) == (0, "")
    assert max(map(len, ran.out.splitlines())) <= 80
    assert ran.out.index("! Never an insulation tester") < ran.out.index("CU.6      TE.1")
    assert ran.out.index("Isolation") < ran.out.index("What this list lets pass")


def test_its_json_is_that_of_the_service(seen: Run) -> None:
    ran = seen("verify", DEMO, "--json")
    assert json.loads(ran.out) == verify(demo_job()).json()


def test_a_job_without_wires_says_so(run: Run, tmp_path: Path) -> None:
    (tmp_path / "job.csv").write_text("title\nNo wires\n", encoding="utf-8")
    ran = run("verify", str(tmp_path))
    assert ran.code == 0
    assert "nothing to prove" in ran.out


def test_a_netlist_goes_to_the_screen_word_for_word_or_into_a_file(
    run: Run, tmp_path: Path
) -> None:
    text = spice(demo_job(), state="key=on")
    ran = run("netlist", DEMO, "--state", "key=on")
    assert (ran.code, ran.out, ran.err) == (0, text, "")
    file = tmp_path / "tarn.cir"
    ran = run("netlist", DEMO, "--state", "key=on", "-o", str(file))
    assert str(file) in ran.out
    assert file.read_text(encoding="utf-8") == text


def test_a_file_that_is_there_stays_until_over_is_said(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "wires.xlsx"
    file.write_bytes(b"mine")
    for command in ("netlist", "wire-list"):
        ran = run(command, DEMO, "-o", str(file))
        assert (ran.code, ran.out) == (2, "")
        assert "--over to replace it" in ran.err
        assert file.read_bytes() == b"mine"
    assert run("wire-list", DEMO, "-o", str(file), "--over").code == 0
    assert openpyxl.load_workbook(file).sheetnames == ["wires", "plugs", "splices"]


def test_what_cannot_be_is_told_in_words(run: Run, tmp_path: Path) -> None:
    ran = run("wire-list", DEMO, "-o", str(tmp_path / "wires.ods"))
    assert (ran.code, ran.out) == (2, "")
    assert "give a name that ends in .xlsx" in ran.err.replace("\n", " ").casefold()
    ran = run("netlist", DEMO, "--state", "key is on")
    assert ran.code == 2
    assert "name=value" in ran.err
    assert list(tmp_path.iterdir()) == []

"""What the page of `build` says."""

from __future__ import annotations

import contextlib
import io
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import attrs

from loomwright.cli.show_build import show_build
from loomwright.services.build import build
from loomwright.services.words import SAFETY
from sample.demo import FOLDER, demo_job

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"


def test_the_page_fits_eighty_columns_and_nothing_is_said_beside_it(seen: Run) -> None:
    ran = seen("build", DEMO)
    assert (ran.code, ran.err) == (0, "")
    assert max(len(line.rstrip()) for line in ran.out.splitlines()) <= 80


def test_the_page_begins_with_what_the_loom_is_and_what_can_hurt(seen: Run) -> None:
    lines = seen("build", DEMO).out.splitlines()
    assert lines[0].startswith("Tarn 2300")
    assert lines[1].startswith("64 wires,")
    said = " ".join(" ".join(lines[:12]).split())
    assert "7 splices" in said
    assert "Battery minus off" in said
    assert "Hot-air gun: never near fuel" in said


def test_splices_wires_and_steps_follow_in_this_order(seen: Run) -> None:
    said = " ".join(seen("build", DEMO).out.split())
    order = [said.index(piece) for piece in (
        "SP30: B10, 50 mm from relay shelf",
        "hand is trimmed off on the board",
        "Against the old loom",
        "Bundles, splices at their spots",
        "□ 1 slide a sleeve on, then crimp splice SP30",
        "■ 2 pull at each wire of SP30",
        "Bends are not in the lengths",
        SAFETY,
    )]  # fmt: skip
    assert order == sorted(order)


def test_what_is_not_known_is_listed() -> None:
    job = demo_job()
    lost = tuple(attrs.evolve(each, place=None) if each.plug == "TE" else each
                 for each in job.plugs)  # fmt: skip
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        show_build(build(attrs.evolve(job, plugs=lost)))
    said = " ".join(out.getvalue().split())
    assert "Length not known W32: no place is written down for TE. W33: no place" in said
    assert "W33 had no say" in said


def test_the_json_is_printed(seen: Run) -> None:
    told = json.loads(seen("build", DEMO, "--json").out)
    assert len(told["wires"]) == 64


def test_a_ring_is_refused_in_words(run: Run, tmp_path: Path) -> None:
    place = tmp_path / "ring"
    shutil.copytree(FOLDER, place, ignore=shutil.ignore_patterns("photos"))
    with (place / "branches.csv").open("a", encoding="utf-8") as table:
        table.write("B99,control unit,tank,500,CABIN,,\n")
    ran = run("build", str(place))
    assert ran.code == 2
    assert "closes a ring" in " ".join((ran.out + ran.err).split())
    assert "Traceback" not in ran.out + ran.err

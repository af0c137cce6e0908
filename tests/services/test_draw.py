"""What drawings need: chosen plugs, their pitch, and names that help."""

from __future__ import annotations

from pathlib import Path

import attrs
import pytest

from loomwright.loom import About, Job, NotFound
from loomwright.loom.errors import OutOfRange
from loomwright.loom.records import OwnFigure
from loomwright.services.draw import (
    PITCH,
    WIDE_PITCH,
    loom_plan,
    plug_sheet,
    plug_sheets,
    terminal_mm,
)
from loomwright.storage.job_folder import JobFolder

DEMO = JobFolder().read(Path(__file__).parents[2] / "examples" / "tarn-2300")


def test_plugs_come_once_and_in_sheet_order() -> None:
    assert [str(s.plug.plug) for s in plug_sheets(DEMO, ["TE", "CU", "TE"])] == ["CU", "TE"]
    assert [s.plug for s in plug_sheets(DEMO)] == list(DEMO.plugs)


def test_wires_with_their_far_ends() -> None:
    """Sheet wires: W32 from CU.6 to TE.1 in GN/WH, 0.75 mm²; TE.2 goes to splice SPS."""
    first, second = plug_sheet(DEMO, "TE").wires.values()
    assert [(e.wire, e.letters, e.section_mm2, e.far_end) for e in first] == [
        ("W32", "GN/WH", 0.75, "CU.6")
    ]
    assert [e.far_end for e in second] == ["SPS"]


@pytest.mark.parametrize(
    ("name", "cure"), [("te", '"TE"'), ("I7", '"I'), ("", "this job has CU"), ("??", "and more")]
)
def test_an_unknown_plug_names_the_nearest(name: str, cure: str) -> None:
    with pytest.raises(NotFound) as failure:
        plug_sheets(DEMO, ["CU", name])
    assert f'"{name}"' in failure.value.what
    assert cure in failure.value.expected


def test_the_pitch_is_stated_or_the_jobs_own_or_common_practice() -> None:
    own = attrs.evolve(DEMO, settings=(OwnFigure(name=PITCH, value=7.5),))
    found = [plug_sheet(DEMO, "PS"), plug_sheet(own, "PS"), plug_sheet(own, "PS", pitch_mm=6)]
    assert [(sheet.pitch_mm, sheet.pitch_from, sheet.to_scale) for sheet in found] == [
        (5, "common practice", False),
        (7.5, "from the job's settings", True),
        (6, "as given", True),
    ]


def test_the_plugs_own_pitch_comes_before_the_jobs() -> None:
    """The sheet has 5 mm for CU; what is given at the command comes before all."""
    own = attrs.evolve(DEMO, settings=(OwnFigure(name=PITCH, value=7.5),))
    found = [plug_sheet(own, "CU"), plug_sheet(own, "CU", pitch_mm=6)]
    assert [(sheet.pitch_mm, sheet.pitch_from, sheet.to_scale) for sheet in found] == [
        (5, "as recorded", True),
        (6, "as given", True),
    ]


def test_latch_and_keys_are_sides_or_nothing() -> None:
    """On the sheet CU has `left` and `top`, X1A `none` and `left`, TT blanks."""
    found = [plug_sheet(DEMO, name) for name in ("CU", "X1A", "TT")]
    assert [(sheet.latch, sheet.keys) for sheet in found] == [
        ("left", ("top",)),
        ("", ("left",)),
        ("", ()),
    ]


def test_wide_terminals_do_not_stand_at_the_usual_pitch() -> None:
    """X2A has terminals of 6.3 mm: at 5 mm from cavity to cavity they would overlap."""
    own = attrs.evolve(DEMO, settings=(OwnFigure(name=WIDE_PITCH, value=10),))
    assert plug_sheet(DEMO, "X2A").pitch_mm == 8 > terminal_mm("flat 6.3 x 0.8")
    assert plug_sheet(own, "X2A").pitch_mm == 10
    assert plug_sheet(own, "PS").pitch_mm == 5


@pytest.mark.parametrize(
    ("words", "mm"), [("flat 2.8 x 0.8", 2.8), ("6,3 blade", 6.3), ("round", 0), ("", 0)]
)
def test_the_width_of_a_terminal_from_its_words(words: str, mm: float) -> None:
    assert terminal_mm(words) == mm


@pytest.mark.parametrize("pitch", [0, -5, 0.99, 50.1, float("nan"), float("inf")])
def test_a_pitch_that_no_plug_has(pitch: float) -> None:
    with pytest.raises(OutOfRange) as failure:
        plug_sheet(DEMO, "CU", pitch_mm=pitch)
    assert f"{pitch:g} mm" in failure.value.what
    assert "1 to 50 mm" in failure.value.expected


def test_a_job_with_nothing_to_draw_says_what_to_fill_in() -> None:
    bare = Job(about=About(title="bare"))
    with pytest.raises(NotFound, match="table plugs"):
        plug_sheets(bare)
    with pytest.raises(NotFound, match="table branches"):
        loom_plan(bare)

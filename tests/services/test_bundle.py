"""Wires as a person types them, the bundle they make, and its JSON."""

from __future__ import annotations

import json

import pytest

from loomwright.loom import InputProblems
from loomwright.services.bundle import BundleReport, bundle, read_bundle
from reference.packings import EQUAL, deepest_overlap


@pytest.fixture(scope="module")
def seven() -> BundleReport:
    return bundle([2.0] * 7)


def test_seven_alike(seven: BundleReport) -> None:
    assert seven.diameter_mm == pytest.approx(2 * EQUAL[7], rel=1e-6)
    assert [each.number for each in seven.wires] == list(range(1, 8))
    # 1.25 · √28 as met, and 0.3 mm of tape on each side of it
    assert seven.met_mm == pytest.approx(6.614, abs=1e-3)
    assert seven.covers.taped_mm.high == pytest.approx(7.214, abs=1e-3)


def test_json_holds_a_packing_that_can_be_checked(seven: BundleReport) -> None:
    told = json.loads(json.dumps(seven.json()))
    wires = told["wires"]
    centres = [(each["x_mm"], each["y_mm"]) for each in wires]
    sizes = [each["outside_mm"] for each in wires]
    assert deepest_overlap(sizes, centres, told["diameter_mm"]) < 1e-9
    assert told["bound_mm"] <= told["diameter_mm"]
    assert told["sleeves"][0] == {
        "kind": "vinyl tube", "bore_mm": 8.0, "bore_max_mm": None, "missing": "",
    }  # fmt: skip


def test_commas_points_and_several_alike() -> None:
    found = read_bundle(["2x2,0", "1.6", " 3 X 1.0 ".lower()])
    assert [each.outside_mm for each in found.wires] == [2.0, 2.0, 1.6, 1.0, 1.0, 1.0]


def test_another_tape() -> None:
    thick = read_bundle(["2.0", "2.0"], tape_wall="0,5")
    assert thick.covers.taped_mm.low == pytest.approx(5.0)
    assert thick.tape_wall_mm == 0.5


def test_everything_wrong_is_told_at_once() -> None:
    with pytest.raises(InputProblems) as caught:
        read_bundle(["2.0", "abc", "-1", "0", "nan", "inf", "1e9", "0x2", "2x"], tape_wall="9")
    told = [(str(each.where), each.what) for each in caught.value.problems]
    assert told == [
        ("wire 2", '"abc" is not a number'),
        ("wire 3", '"-1" mm is not possible'),
        ("wire 4", '"0" mm is not possible'),
        ("wire 5", '"nan" mm is not possible'),
        ("wire 6", '"inf" mm is not possible'),
        ("wire 7", '"1e9" mm is not possible'),
        ("wire 8", '"0x2" is not a number'),
        ("wire 9", '"2x" is not a number'),
        ("tape wall", '"9" mm is not possible'),
    ]
    assert all("0.1 to 100" in each.expected for each in caught.value.problems[:-1])


@pytest.mark.parametrize("typed", [["301x2.0"], ["200x2.0", "200x1.6"], ["999999999x2.0"]])
def test_too_many_wires_are_refused_before_any_work(typed: list[str]) -> None:
    with pytest.raises(InputProblems) as caught:
        read_bundle(typed)
    (only,) = caught.value.problems
    assert "300" in only.sentence


def test_no_wire() -> None:
    with pytest.raises(InputProblems) as caught:
        read_bundle([])
    assert "no wire" in caught.value.problems[0].what

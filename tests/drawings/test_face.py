"""Drawings of faces: every cavity once in each view, letters at every wire, nothing hostile."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import attrs
import pytest

from loomwright.drawings.cavity import LEAST_MM
from loomwright.drawings.face import (
    NO_LATCH_OR_KEY,
    NOT_TO_SCALE,
    enlargement,
    face_svg,
    face_width_mm,
)
from loomwright.drawings.views import MATING, SEEN, WIRE
from loomwright.loom import Face, Job, Plug, Wire
from loomwright.services.draw import PlugSheet, plug_sheet, plug_sheets
from loomwright.storage.job_folder import JobFolder
from sample.drawn import loom

DEMO = JobFolder().read(Path(__file__).parents[2] / "examples" / "tarn-2300")
SHEETS = plug_sheets(DEMO)


def parsed(sheet: PlugSheet) -> ElementTree.Element:
    return ElementTree.fromstring(face_svg(sheet).encode())


def view(root: ElementTree.Element, sheet: PlugSheet, side: str) -> list[ElementTree.Element]:
    """The cavities of one side, in the order of the drawing."""
    return root.findall(f".//{{*}}g[@id='{sheet.plug.plug}-{side}']/{{*}}g[@class='cavity']")


def words(node: ElementTree.Element) -> list[str]:
    return [each.text or "" for each in node.iter() if each.tag.endswith("}text")]


def corner(cavity: ElementTree.Element) -> tuple[float, float]:
    box = cavity.find("{*}rect")
    assert box is not None
    return float(box.attrib["x"]), float(box.attrib["y"])


def by_name(cavities: list[ElementTree.Element]) -> dict[str, ElementTree.Element]:
    return {words(cavity)[0]: cavity for cavity in cavities}


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: str(sheet.plug.plug))
def test_every_cavity_and_its_wires_stand_once_in_each_view(sheet: PlugSheet) -> None:
    root = parsed(sheet)
    for side in (MATING, WIRE):
        cavities = view(root, sheet, side)
        assert sorted(words(each)[0] for each in cavities) == sorted(sheet.plug.face.cavities)
        for name, cavity in by_name(cavities).items():
            ends = sheet.wires[name]
            assert words(cavity)[1:] == ([end.letters for end in ends] or ["empty"])
            assert len(cavity.findall("{*}g[@class='wire']")) == len(ends)
            assert all(end.wire in (cavity.findtext("{*}title") or "") for end in ends)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: str(sheet.plug.plug))
def test_the_views_are_mirror_images_to_scale(sheet: PlugSheet) -> None:
    """From cavity to cavity it is the pitch times the scale that is written below."""
    root = parsed(sheet)
    both = [
        {name: corner(each) for name, each in by_name(view(root, sheet, side)).items()}
        for side in (MATING, WIRE)
    ]
    sums = {round(both[0][name][0] + both[1][name][0], 1) for name in both[0]}
    assert len(sums) == 1
    assert {name: y for name, (_, y) in both[0].items()} == {
        name: y for name, (_, y) in both[1].items()
    }
    wanted = enlargement(sheet.pitch_mm, max(map(len, sheet.plug.face.rows)))
    said = " ".join(words(root))
    assert (f"is scale {wanted:g} : 1" in said) == sheet.to_scale == (NOT_TO_SCALE not in said)
    one, beside = sheet.plug.face.rows[0][:2]
    apart = abs(both[0][str(one)][0] - both[0][str(beside)][0])
    assert apart == pytest.approx(wanted * sheet.pitch_mm, abs=0.011)


def test_the_recorded_side_reads_as_it_was_written() -> None:
    """CU is recorded from the wire side, `1 2 3 …`: there 1 stands on the left."""
    sheet = plug_sheet(DEMO, "CU")
    root = parsed(sheet)
    wire, mating = (by_name(view(root, sheet, side)) for side in (WIRE, MATING))
    assert corner(wire["1"]) < corner(wire["2"]) < corner(wire["11"])
    assert corner(mating["1"]) > corner(mating["2"]) > corner(mating["11"])


def test_captions_say_which_side_and_what_is_not_known() -> None:
    said = words(parsed(plug_sheet(DEMO, "CU")))
    assert {SEEN[MATING].capitalize(), SEEN[WIRE].capitalize()} <= set(said)
    assert said[said.index("Seen from the wire side") + 1] == "as recorded"
    assert said[said.index("Seen from the mating face") + 1] == "turned from the record"
    text = " ".join(said)
    assert "Plug CU (Control unit plug)" in text
    assert "for a pitch of 5 mm (as recorded)" in text
    assert "cannot tell which view it is" in text


def job(*, face: str = "1 2", wires: str = "W1 P.1 Q.1", colour: str | None = None) -> Job:
    made = loom(wires, {"P": f": {face}", "Q": ": 1 2 3"}, "")
    coloured = tuple(attrs.evolve(wire, colour=colour) for wire in made.wires)
    return attrs.evolve(made, wires=coloured)


def test_two_wires_in_a_cavity_are_drawn_as_two() -> None:
    doubled = job(wires="W1 P.1 Q.1\nW2 Q.2 P.1")
    doubled = attrs.evolve(
        doubled,
        wires=(
            attrs.evolve(doubled.wires[0], colour="BN/WH"),
            attrs.evolve(doubled.wires[1], colour="GNYE"),
        ),
    )
    sheet = plug_sheet(doubled, "P")
    for side in (MATING, WIRE):
        cavity = by_name(view(parsed(sheet), sheet, side))["1"]
        assert words(cavity)[1:] == ["BN/WH", "GNYE"]
        rings = cavity.findall("{*}g[@class='wire']/{*}circle[1]")
        (x0, r0), (x1, r1) = ((float(each.attrib["cx"]), float(each.attrib["r"])) for each in rings)
        assert x1 - x0 > r0 + r1


@pytest.mark.parametrize("count", [3, 4, 5])
def test_many_wires_in_a_cavity_do_not_overlap(count: int) -> None:
    sheet = plug_sheet(job(wires="\n".join(f"W{n} P.1 Q.1" for n in range(count))), "P")
    cavity = by_name(view(parsed(sheet), sheet, MATING))["1"]
    rings = cavity.findall("{*}g[@class='wire']/{*}circle[1]")
    places = [(float(each.attrib["cx"]), float(each.attrib["r"])) for each in rings]
    assert all(b - a > r + s for (a, r), (b, s) in pairwise(places))
    assert len(places) == count


def test_a_wire_without_colour_says_so() -> None:
    sheet = plug_sheet(job(), "P")
    assert words(by_name(view(parsed(sheet), sheet, MATING))["1"])[1:] == ["?"]


HOSTILE = "</text><script>alert('x')</script>&\x00\"'"


def test_hostile_words_stay_words() -> None:
    made = job(colour=HOSTILE)
    plug = attrs.evolve(made.plugs[0], label=HOSTILE, place=HOSTILE, terminal=HOSTILE)
    about = attrs.evolve(made.about, title=HOSTILE)
    sheet = plug_sheet(attrs.evolve(made, plugs=(plug, *made.plugs[1:]), about=about), "P")
    root = parsed(sheet)
    assert {node.tag.partition("}")[2] for node in root.iter()} <= {
        "svg", "title", "desc", "rect", "g", "text", "circle", "path", "line",
    }  # fmt: skip
    assert not any(name.startswith("on") for node in root.iter() for name in node.attrib)
    assert "<script>alert('x')</script>&" in (root.findtext("{*}title") or "")


@pytest.mark.parametrize("face", ["1", ". 1 . / 2 3 4 5 6 7 8 9 10 11 12 13 14", "long-name_87a 2"])
def test_odd_faces_lie_within_the_drawing(face: str) -> None:
    made = Plug(plug="P", face=Face.parse(face))
    sheet = plug_sheet(Job(about=DEMO.about, plugs=(made,)), "P")
    root = parsed(sheet)
    _, _, wide, high = map(float, root.attrib["viewBox"].split())
    for side in (MATING, WIRE):
        for cavity in view(root, sheet, side):
            x, y = corner(cavity)
            size = float(cavity.find("{*}rect").attrib["width"])  # type: ignore[union-attr]
            assert 0 < x < x + size < wide
            assert 0 < y < y + size < high


@pytest.mark.parametrize(
    ("pitch", "columns"), [(1, 3), (2.54, 4), (5, 2), (5, 11), (8, 2), (50, 2)]
)
def test_the_scale_is_in_halves_and_lets_letters_be_read(pitch: float, columns: int) -> None:
    scale = enlargement(pitch, columns)
    assert scale >= 1
    assert (2 * scale).is_integer()
    assert scale * pitch >= 10
    assert scale == 1 or (scale - 0.5) * pitch < 12


def test_a_wire_from_a_plug_to_itself_shows_at_both_cavities() -> None:
    made = job(wires="W1 P.1 P.2")
    sheet = plug_sheet(made, "P")
    assert [end.far_end for ends in sheet.wires.values() for end in ends] == ["P.2", "P.1"]
    assert isinstance(made.wires[0], Wire)


def test_what_is_not_written_down_is_said() -> None:
    said = " ".join(words(parsed(plug_sheet(DEMO, "TT"))))
    assert f"{NOT_TO_SCALE} Drawn as for 5 mm (common practice). {NO_LATCH_OR_KEY}" in said
    assert "10 mm on the plug" not in said
    half = " ".join(words(parsed(plug_sheet(DEMO, "TE"))))
    assert "Keying not recorded." in half
    assert "Latch side" not in half
    known = " ".join(words(parsed(plug_sheet(DEMO, "X1A"))))
    assert "It has no latch." in known
    assert "recorded." not in known


def millimetres(root: ElementTree.Element) -> tuple[float, float]:
    """Millimetres on paper of a unit of the drawing, across and down."""
    _, _, wide, high = map(float, root.attrib["viewBox"].split())
    sizes = [root.attrib[name] for name in ("width", "height")]
    assert all(size.endswith("mm") for size in sizes)
    across, down = (float(size.removesuffix("mm")) for size in sizes)
    return across / wide, down / high


@pytest.mark.parametrize("pitch", [2.54, 5.0, 6.35])
def test_life_size_is_the_pitch_on_paper(pitch: float) -> None:
    sheet = plug_sheet(DEMO, "X1A", pitch_mm=pitch)
    root = ElementTree.fromstring(face_svg(sheet, life_size=True).encode())
    assert millimetres(root) == pytest.approx((1, 1))
    for side in (MATING, WIRE):
        at = {name: corner(each) for name, each in by_name(view(root, sheet, side)).items()}
        assert abs(at["1"][0] - at["2"][0]) == pytest.approx(pitch, abs=0.011)
        assert at["4"][1] - at["1"][1] == pytest.approx(pitch, abs=0.011)
    assert f"is life size, for a pitch of {pitch:g} mm (as given)" in " ".join(words(root))


def test_without_a_pitch_there_is_no_life_size() -> None:
    sheet = plug_sheet(DEMO, "TT")
    assert face_svg(sheet, life_size=True) == face_svg(sheet)


def test_letters_in_a_life_size_cavity_are_as_large_as_can_be_read() -> None:
    root = ElementTree.fromstring(face_svg(plug_sheet(DEMO, "TA"), life_size=True).encode())
    letters = root.findall(".//{*}text[@class='letters']")
    assert {each.text for each in letters} == {"VT/WH", "BN/VT"}
    assert all(float(each.attrib["font-size"]) >= LEAST_MM for each in letters)


def test_a_wide_plug_has_its_views_one_above_the_other_on_a_page() -> None:
    sheet = plug_sheet(DEMO, "CU")
    assert face_width_mm(sheet) > 172
    drawn = face_svg(sheet, bare=True, most_mm=172)
    wide = ElementTree.fromstring(drawn).attrib["viewBox"].split()[2]
    assert float(wide) == face_width_mm(sheet, most_mm=172) <= 172
    root = ElementTree.fromstring(drawn)
    mating, wire = (by_name(view(root, sheet, side)) for side in (MATING, WIRE))
    assert max(corner(each)[1] for each in mating.values()) < min(
        corner(each)[1] for each in wire.values()
    )


def test_a_bare_drawing_leaves_name_and_warnings_to_its_page() -> None:
    sheet = plug_sheet(DEMO, "TE")
    whole, bare = face_svg(sheet), face_svg(sheet, bare=True)
    assert 'class="warning"' in whole
    assert 'class="warning"' not in bare
    assert all(SEEN[side].capitalize() in bare for side in (MATING, WIRE))
    root = ElementTree.fromstring(bare)
    for side in (MATING, WIRE):
        assert len(view(root, sheet, side)) == 2

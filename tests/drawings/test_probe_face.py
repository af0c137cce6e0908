"""The small face on which the probes' cavities are found."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import attrs
import pytest

from loomwright.drawings.probe_face import face_words, probe_face_svg
from loomwright.loom import Plug, Topology
from sample import jobs as sample

CU = Topology(sample.job()).plugs["CU"]
SVG = "{http://www.w3.org/2000/svg}"


def drawn(plug: Plug, **marks: str) -> ElementTree.Element:
    return ElementTree.fromstring(probe_face_svg(plug, {k[1:]: v for k, v in marks.items()}))


def test_every_cavity_has_its_number() -> None:
    texts = [each.text for each in drawn(CU).iter(f"{SVG}text")]
    assert set(CU.face.cavities) <= set(texts)


def test_red_is_round_and_black_is_square() -> None:
    assert len(list(drawn(CU, _1="red").iter(f"{SVG}circle"))) == 1
    assert not list(drawn(CU, _1="black").iter(f"{SVG}circle"))


@pytest.mark.parametrize("side", ["mating", "wire"])
def test_it_is_seen_from_the_wire_side(side: str) -> None:
    plug = attrs.evolve(CU, seen_from=side)
    at = {
        each.text: float(each.get("x", "0"))
        for each in drawn(plug).iter(f"{SVG}text")
        if each.text in CU.face.cavities
    }
    first, second = (name for name in CU.face.rows[0][:2])
    assert (at[str(first)] < at[str(second)]) == (side == "wire")


def test_the_words_say_the_same() -> None:
    words = face_words(CU, {"1": "red", "2": "black"})
    assert words == (
        "Plug CU seen from the wire side: red in cavity 1 (round mark), "
        "black in cavity 2 (square mark)."
    )
    assert words in re.sub(r"\s+", " ", probe_face_svg(CU, {"1": "red", "2": "black"}))

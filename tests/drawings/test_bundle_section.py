"""The section of a bundle, read back by another reader of XML: to scale, every wire numbered."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from loomwright.drawings.bundle_section import bundle_section
from loomwright.services.bundle import BundleReport, bundle

NS = "{http://www.w3.org/2000/svg}"


def drawn(report: BundleReport) -> ElementTree.Element:
    return ElementTree.fromstring(bundle_section(report))


def circles(picture: ElementTree.Element) -> list[tuple[float, float, float]]:
    """x, y and radius, the tape first, then the packed circle, then the wires."""
    return [
        tuple(float(each.get(name) or "nan") for name in ("cx", "cy", "r"))
        for each in picture.iter(f"{NS}circle")
    ]  # type: ignore[misc]


def words(picture: ElementTree.Element) -> list[str]:
    return [each.text or "" for each in picture.iter(f"{NS}text")]


def test_circles_are_to_scale() -> None:
    report = bundle([3.0, 2.0, 1.0])
    tape, outer, *wires = circles(drawn(report))
    times = outer[2] / (report.diameter_mm / 2)
    assert tape[2] == pytest.approx(times * (report.diameter_mm / 2 + 0.3), abs=0.02)
    assert [radius for _, _, radius in wires] == pytest.approx(
        [times * 1.5, times * 1.0, times * 0.5], abs=0.02
    )
    for wire, (x, y, _) in zip(report.wires, wires, strict=True):
        assert x - outer[0] == pytest.approx(times * wire.x_mm, abs=0.02)
        assert outer[1] - y == pytest.approx(times * wire.y_mm, abs=0.02)


def test_every_wire_has_its_number_within_it_or_beside() -> None:
    """A wire of a hundredth of the section is too thin for letters: its number has a line."""
    picture = drawn(bundle([20.0, 0.2, 0.2]))
    assert {"1", "2", "3"} <= set(words(picture))
    assert len(list(picture.iter(f"{NS}line"))) == 2


def test_words_tell_it_to_those_who_cannot_see() -> None:
    picture = drawn(bundle([2.0, 1.6]))
    told = picture.findtext(f"{NS}desc") or ""
    assert "Packed 3.60 mm" in told
    assert "1: 2, 2: 1.6" in told

"""The chart of pull forces: where points and lines stand, seen with another reader of XML."""

from __future__ import annotations

from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings.crimp_chart import HIGH, WIDE, CrimpChart, Pull, crimp_chart

NS = "{http://www.w3.org/2000/svg}"
FORCE = st.floats(0.0, 2000.0)
PULLS = st.lists(st.builds(Pull, trial=st.from_regex(r"[A-Z]\d{1,3}", fullmatch=True),
                           force_n=FORCE, gave_way=st.sampled_from(["wire", "crimp", ""]),
                           doubted=st.booleans()), max_size=40)  # fmt: skip


def chart(*forces: float, asked: float | None = 89.0, shown: float | None = None) -> CrimpChart:
    pulls = tuple(
        Pull(trial=f"K{n}", force_n=force, gave_way="wire", doubted=False)
        for n, force in enumerate(forces)
    )
    return CrimpChart(name="S1", pulls=pulls, asked_n=asked, shown_n=shown, words="Pulls: 118 N.")


def drawn(found: CrimpChart) -> ElementTree.Element:
    return ElementTree.fromstring(crimp_chart(found))


def heights(picture: ElementTree.Element) -> list[float]:
    """Of the points, not those of the legend."""
    dots = [each for each in picture.iter(f"{NS}circle") if float(each.get("cx") or 0) > 12.0]
    return [float(each.get("cy") or "nan") for each in dots if float(each.get("cy") or 0) < 60.0]


def lines(picture: ElementTree.Element) -> dict[bool, float]:
    """Height of the full and of the dashed line."""
    return {
        bool(each.get("stroke-dasharray")): float(each.get("y1") or "nan")
        for each in picture.iter(f"{NS}line")
        if each.get("stroke-width") == "0.6" and each.get("y1") == each.get("y2")
    }


def words(picture: ElementTree.Element) -> set[str]:
    return {each.text or "" for each in picture.iter(f"{NS}text")}


def test_a_pull_above_the_least_force_stands_above_its_line() -> None:
    picture = drawn(chart(118.0, 60.0, shown=70.0))
    above, below = heights(picture)
    found = lines(picture)
    assert above < found[False] < found[True] < below


def test_lines_and_marks_have_their_words() -> None:
    marks = (Pull(trial="K1", force_n=90.0, gave_way="crimp", doubted=True),
             Pull(trial="K2", force_n=91.0, gave_way="", doubted=False))  # fmt: skip
    found = words(drawn(CrimpChart(name="S1", pulls=marks, asked_n=89.0, shown_n=87.2, words="x")))
    assert {"asked 89 N", "shown 87 N", "slipped out", "not said where", "looks doubtful"} <= found
    assert "wire broke" not in found


def test_words_of_lines_that_are_close_do_not_touch() -> None:
    picture = drawn(chart(118.0, 112.0, asked=89.0, shown=88.9))
    places = [float(each.get("y") or "nan") for each in picture.iter(f"{NS}text")
              if (each.text or "").startswith(("asked", "shown"))]  # fmt: skip
    assert abs(places[0] - places[1]) >= 5.0


def test_it_is_told_without_seeing_and_without_colour() -> None:
    picture = drawn(chart(118.0))
    assert picture.findtext(f"{NS}title") == "Pull forces of set-up S1"
    assert picture.findtext(f"{NS}desc") == "Pulls: 118 N."
    shades = {each.get(name) for each in picture.iter() for name in ("fill", "stroke")} - {None}
    assert shades == {"#000000", "#ffffff"}


@given(PULLS, FORCE | st.none(), st.floats(-500.0, 2000.0) | st.none())
def test_all_of_it_stays_on_the_paper(
    pulls: list[Pull], asked: float | None, shown: float | None
) -> None:
    made = CrimpChart(name="S1", pulls=tuple(pulls), asked_n=asked, shown_n=shown, words="")
    picture = drawn(made)
    for each in picture.iter():
        for name, most in (("cx", WIDE), ("x1", WIDE), ("x2", WIDE), ("x", WIDE), ("cy", HIGH),
                           ("y1", HIGH), ("y2", HIGH), ("y", HIGH)):  # fmt: skip
            if each.get(name) is not None:
                assert 0.0 <= float(each.get(name) or "nan") <= most

"""Sheets of labels and heat-shrink tubes: they fit their paper, they come in order."""

from itertools import pairwise

import pytest

from loomwright.loom.errors import NotFound
from loomwright.standards import label_sheet, label_sheets, shrink_tubes

# ISO 216, A4; and 8.5 x 11 in of 25.4 mm [mm]
PAPERS = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}
# Labels across, down, width and height as they are sold [mm]; 2 5/8 in = 66.675 mm
SOLD = {
    ("a4", "3x7"): (63.5, 38.1),
    ("a4", "5x13"): (38.1, 21.2),
    ("a4", "3x8"): (70, 37),
    ("letter", "3x10"): (2.625 * 25.4, 25.4),
}


def test_dimensions_as_sold():
    found = {
        (each.paper, each.name): (each.label_width_mm, each.label_height_mm)
        for each in label_sheets()
    }
    assert found == {name: pytest.approx(size) for name, size in SOLD.items()}


@pytest.mark.parametrize("sheet", label_sheets(), ids=lambda each: f"{each.paper}-{each.name}")
def test_labels_fit_their_sheet_and_leave_the_same_on_both_sides(sheet):
    width, height = PAPERS[sheet.paper]
    across = sheet.left_mm + (sheet.columns - 1) * sheet.across_mm + sheet.label_width_mm
    down = sheet.top_mm + (sheet.rows - 1) * sheet.down_mm + sheet.label_height_mm
    assert width - across == pytest.approx(sheet.left_mm, abs=0.1)
    assert height - down == pytest.approx(sheet.top_mm, abs=0.1)
    # one more in either direction would not go on, so pages break where the sheet ends
    assert height - down < sheet.label_height_mm
    assert sheet.gap_across_mm >= -1e-9
    assert sheet.gap_down_mm >= -1e-9


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("use", ["plugs", "wires"])
def test_every_paper_has_a_sheet_for_every_use(paper, use):
    assert use in label_sheet(paper, use).use


def test_a_sheet_by_its_name_and_one_that_is_none():
    assert label_sheet("a4", "plugs", name="3x8").label_width_mm == 70
    with pytest.raises(NotFound) as caught:
        label_sheet("a4", "plugs", name="3x9")
    assert "a4 3x" in caught.value.expected


def test_tubes_shrink_to_half_and_follow_one_another():
    # 2:1 polyolefin, sizes in inches, as sold
    inches = [3 / 32, 1 / 8, 3 / 16, 1 / 4, 3 / 8, 1 / 2, 3 / 4, 1, 1.5]
    tubes = shrink_tubes()
    assert [each.supplied_mm for each in tubes] == pytest.approx(
        [25.4 * each for each in inches], abs=0.051
    )
    for tube in tubes:
        assert tube.supplied_mm / tube.recovered_mm == pytest.approx(2, rel=0.01)
    for one, other in pairwise(tubes):
        assert 1.2 < other.supplied_mm / one.supplied_mm < 1.6

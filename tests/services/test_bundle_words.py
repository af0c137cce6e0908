"""A bundle in words."""

from __future__ import annotations

from loomwright.services.bundle import bundle
from loomwright.services.bundle_words import cover_rows, how_good, with_tape


def test_a_packing_that_is_proved_says_so() -> None:
    """Two circles side by side: no arrangement of them is tighter."""
    assert how_good(bundle([2.0, 1.0])) == "No arrangement is tighter."


def test_a_packing_with_a_gap_tells_the_least_there_can_be() -> None:
    report = bundle([2.0] * 8)
    assert report.diameter_mm > report.bound_mm
    assert f"less than {report.bound_mm:.2f} mm" in how_good(report)


def test_tape_is_told_on_both_sides() -> None:
    """One wire of 4 mm with 0.5 mm of tape: 5 mm."""
    assert "5.0 to" in with_tape(bundle([4.0], tape_wall_mm=0.5))


def test_every_cover_has_a_size_or_what_to_do_first() -> None:
    for sizes in ([2.0], [3.0] * 20, [90.0] * 4):
        rows = list(cover_rows(bundle(sizes)))
        assert rows[-1][0] == "heat-shrink 2:1"
        assert all(kind and size for kind, size in rows)
    assert any("no size" in size or "measure" in size for _, size in rows)

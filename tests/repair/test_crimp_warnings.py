"""The die: that of the catalogue, and one for each set-up."""

from __future__ import annotations

from typing import Any

from loomwright.loom import CrimpTrial
from loomwright.repair.crimp_warnings import wrong_die

DIES = {"REC28": "N2"}


def trial(number: int, **cells: Any) -> CrimpTrial:
    return CrimpTrial(trial=f"C{number}", set_up="S1", **cells)


def test_the_right_die_says_nothing() -> None:
    assert list(wrong_die([trial(1, terminal="REC28", die="N2")], DIES)) == []


def test_another_die_shows_nothing_of_the_right_one() -> None:
    (said,) = wrong_die([trial(n, terminal="REC28", die="N3") for n in (1, 2)], DIES)
    assert said.startswith("REC28 is crimped in N2, and these trials were made in N3")


def test_a_set_up_has_one_die() -> None:
    rows = [trial(1, terminal="REC63", die="N2"), trial(2, terminal="REC63", die="N3")]
    (said,) = wrong_die(rows, DIES)
    assert "N2 and N3" in said


def test_what_is_not_told_is_not_wrong() -> None:
    assert list(wrong_die([trial(1), trial(2, terminal="REC28")], DIES)) == []
    assert list(wrong_die([trial(1, terminal="not listed", die="N9")], DIES)) == []

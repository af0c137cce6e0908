"""What could be done: from grades, from faults that were found, with little spare wire."""

from __future__ import annotations

import attrs
import pytest

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job, OwnFigure, SurveyRow
from loomwright.repair.candidates import Candidates, Found, candidates
from loomwright.repair.condition import conditions
from sample.drawn import loom

#   CU.1 --W1-- T.1 [S] T.2 --W2-- CU.2      CU.3 --W3-- V.1 [D] V.2 --W4-- E1
PLAIN = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 E1",
    {"CU": "UNIT: 1 . 2 . 3", "T": "S: 1 . 2", "V": "D: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100\nQ D.1 D.2 resistor ohm=47",
    {"E1": "earth"},
)
PLACES = {"CU": "box", "T": "head", "V": "head"}
LOOM = attrs.evolve(
    PLAIN, plugs=tuple(attrs.evolve(plug, place=PLACES[plug.plug]) for plug in PLAIN.plugs)
)


def could(
    *rows: tuple[str, str, int], found: tuple[Found, ...] = (), job: Job = LOOM
) -> Candidates:
    seen = attrs.evolve(job, survey=tuple(SurveyRow(item=i, aspect=a, grade=g) for i, a, g in rows))
    return candidates(seen, conditions(seen), found, value=own_values(seen))


def fault(item: str, kind: str, *, claimed: bool = True) -> Found:
    return Found(items=(item,), kind=kind, probability=0.6, claimed=claimed)


def test_a_bad_boot_can_be_renewed_alone_or_with_new_terminals() -> None:
    some = could(("T", "boot", 3))
    assert {cure.cure for cure in some.cures} == {"boot_only T", "re_terminate T"}
    assert [(item.item, item.comeback) for item in some.items] == [("T boot", 0.35)]
    assert some.access == {"head": pytest.approx(some.access["head"])}
    assert all(cure.opens == ("head",) for cure in some.cures)


def test_new_terminals_put_boot_terminal_and_broken_strands_right_at_once() -> None:
    some = could(("T", "boot", 3), ("T", "terminal", 3), ("W1", "strands", 2))
    cures = {cure.cure: cure for cure in some.cures}
    assert set(cures["re_terminate T"].items) == {"T boot", "T terminal", "W1 strands"}
    assert cures["boot_only T"].items == ("T boot",)
    assert cures["new_wire W1"].opens == ("box", "head")


def test_what_is_as_new_is_nothing_to_do() -> None:
    some = could(("T", "boot", 0))
    assert some.items == ()
    assert some.cures == ()


@pytest.mark.parametrize(
    ("item", "kind", "wanted"),
    [
        ("T.1", "high_resistance", {"T terminal"}),
        ("T.1", "leak", {"T terminal", "T boot"}),
        ("S", "open", {"S inside"}),
        ("W1", "open", {"W1 strands"}),
        ("W1", "short_to_earth", {"W1 insulation"}),
        ("E1", "high_resistance", {"E1 terminal"}),
    ],
)
def test_what_the_readings_claim_must_be_done(item: str, kind: str, wanted: set[str]) -> None:
    some = could(found=(fault(item, kind),))
    assert some.failed == wanted
    curable = {each for cure in some.cures for each in cure.items}
    assert wanted <= curable


def test_a_suspicion_only_raises_the_chance() -> None:
    some = could(("T", "terminal", 1), found=(fault("T.1", "high_resistance", claimed=False),))
    (item,) = some.items
    assert (item.comeback, item.must) == (0.6, False)


def test_too_little_spare_wire_asks_for_a_splice() -> None:
    """10 mm loop and 20 mm cut-back: 25 mm is too little, 35 mm enough for one."""
    for spare, wanted in ((25.0, "extend + re_terminate T"), (35.0, "re_terminate T")):
        plugs = tuple(
            attrs.evolve(plug, spare_mm=spare) if plug.plug == "T" else plug for plug in LOOM.plugs
        )
        some = could(("T", "terminal", 4), job=attrs.evolve(LOOM, plugs=plugs))
        assert wanted in {cure.cure for cure in some.cures}
        assert not any("spare wire at T" in note for note in some.notes)


def test_what_is_not_known_is_said() -> None:
    some = could(("T", "terminal", 4), job=PLAIN)
    assert "spare wire at T is not written down and taken as enough" in some.notes
    assert "the place of T is not written down: it opens by itself" in some.notes
    assert all(cure.opens == ("T",) for cure in some.cures)


def test_own_figures_count() -> None:
    job = attrs.evolve(LOOM, settings=(OwnFigure(name="comeback_grade_3", value=0.5),))
    (item,) = could(("T", "boot", 3), job=job).items
    assert item.comeback == 0.5


def locked(lock: str) -> Job:
    return attrs.evolve(
        LOOM,
        plugs=tuple(
            attrs.evolve(plug, lock=lock, spare_mm=60.0) if plug.plug == "T" else plug
            for plug in LOOM.plugs
        ),
    )


@pytest.mark.parametrize("lock", ["staked", "moulded"])
def test_a_lock_that_gives_no_terminal_up_asks_for_a_new_plug(lock: str) -> None:
    some = could(("T", "boot", 3), ("T", "terminal", 2), job=locked(lock))
    assert {cure.cure for cure in some.cures} == {"new_plug T", "clean_contact T"}
    said = f"the lock of T is {lock}: it gives no terminal up, so it is renewed"
    assert said in some.notes
    assert said in some.because["new_plug T"]


def test_a_lock_that_can_be_released_asks_for_no_new_plug() -> None:
    some = could(("T", "boot", 3), job=locked("finger"))
    assert {cure.cure for cure in some.cures} == {"boot_only T", "re_terminate T"}
    assert "the lock, a finger, can be released" in some.because["boot_only T"]


def test_a_new_wire_is_spliced_on_behind_a_moulded_plug() -> None:
    """32 min and 4 % of a splice beside 45 min and 1 % of the wire."""
    some = could(("W1", "insulation", 3), job=locked("moulded"))
    (cure,) = some.cures
    assert (cure.minutes, cure.comeback) == (pytest.approx(77.0), pytest.approx(0.05))
    assert "the lock of T is moulded: a new wire at W1 is spliced on behind it" in some.notes


def test_what_the_readings_found_is_not_told_as_a_grade_of_the_survey() -> None:
    seen = could(("T", "terminal", 1), found=(fault("T.1", "high_resistance"),))
    (why,) = (each for each in seen.because["re_terminate T"] if each.startswith("terminal"))
    assert why == "terminal found by the readings and counted as grade 3"
    graded = could(("T", "terminal", 3))
    assert "terminal of grade 3" in graded.because["re_terminate T"]

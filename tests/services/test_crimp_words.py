"""Trial crimps in words: whether the pull is proved, and what is still to try."""

from __future__ import annotations

import attrs
import pytest

from loomwright.loom import CrimpTrial
from loomwright.loom.identity import SetUpId, TrialId
from loomwright.services.crimp_words import set_up_words, unchosen, verdict
from loomwright.services.crimps import SetUp, crimps
from loomwright.services.workup import WorkUp
from sample import jobs as sample


def set_up(*pulls: float, section: float | None = 0.75, gave_way: str = "wire") -> SetUp:
    trials = tuple(
        CrimpTrial(
            trial=TrialId(f"K{number}"), set_up=SetUpId("S1"), terminal="REC28",
            section_mm2=section, die="D1", height_mm=1.2, pull_n=pull, failed_at=gave_way,
            look="good",
        )
        for number, pull in enumerate(pulls)
    )  # fmt: skip
    (found,) = crimps(attrs.evolve(sample.job(), crimps=trials)).set_ups
    return found


def test_steady_pulls_well_above_the_least_are_shown() -> None:
    found = set_up(118.0, 119.0, 120.0, 118.5, 119.5)
    assert found.passes
    assert verdict(found) == ("pull shown", "good")


def test_a_shown_pull_with_warnings_is_one_to_watch() -> None:
    found = set_up(118.0, 119.0, 120.0, 118.5, 119.5, gave_way="crimp")
    assert found.warnings
    assert verdict(found) == ("pull shown, but see the warnings", "watch")


def test_how_many_more_pulls_is_told() -> None:
    found = set_up(118.0, 112.0, 121.0)
    assert not found.passes
    more = found.proof.by_measuring
    assert more
    assert verdict(found) == (f"not shown yet: {more} more pull{'s' * (more > 1)} like these",
                              "watch")  # fmt: skip


@pytest.mark.parametrize(("pulls", "told"), [((), "2 more crimps"), ((118.0,), "1 more crimp")])
def test_below_two_pulls_nothing_is_shown(pulls: tuple[float, ...], told: str) -> None:
    found = set_up(*pulls) if pulls else attrs.evolve(
        set_up(118.0), pulls=attrs.evolve(set_up(118.0).pulls, values=()))  # fmt: skip
    assert verdict(found)[0].endswith(told)


def test_pulls_below_the_least_are_bad() -> None:
    words, kind = verdict(set_up(60.0, 62.0, 61.0))
    assert kind == "bad"
    assert "mend height or die" in words


def test_without_a_section_no_force_is_known() -> None:
    assert verdict(set_up(118.0, 119.0, section=None)) == (
        "no least force is known for it", "watch")  # fmt: skip


def test_a_set_up_is_called_by_what_is_known_of_it() -> None:
    assert set_up_words("REC28", 0.75, "D1") == "REC28, 0.75 mm², die D1"
    assert set_up_words(None, 0.5, None) == "0.5 mm²"


def test_where_no_terminal_is_known_to_fit_is_told_apart_from_what_was_tried() -> None:
    edits: sample.Edits = {"readings": ("engine_c=18,2710", "engine_c=18,3910")}
    work = WorkUp(sample.job(edits)).work
    assert unchosen(work) == ("T1",)
    fitting = [attrs.evolve(card, missing=("boot",)) for card in work.cards]
    assert unchosen(attrs.evolve(work, cards=tuple(fitting))) == ()

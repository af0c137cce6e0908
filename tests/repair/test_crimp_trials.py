"""Trials of a set-up: counts, bounds, looks and failures in words, and what to look at."""

from __future__ import annotations

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import CrimpTrial, Job, NotFound
from loomwright.loom.errors import OutOfRange
from loomwright.repair.crimp_trials import SetUp, counts, crimp_trials
from loomwright.repair.crimp_warnings import drift
from sample import jobs as sample

SMALL = sample.job()


def trials(*rows: dict[str, object], **shared: object) -> Job:
    """The small job with these trials of one set-up of 0.75 mm²."""
    same = {"set_up": "S1", "section_mm2": 0.75, **shared}
    made = (CrimpTrial(trial=f"K{n}", **{**same, **row}) for n, row in enumerate(rows, start=1))
    return attrs.evolve(SMALL, crimps=tuple(made))


def one(job: Job, **asked: object) -> SetUp:
    (found,) = crimp_trials(job, **asked)
    return found


def pulled(*forces: float, at: str = "wire") -> Job:
    return trials(*({"pull_n": force, "failed_at": at, "look": "good"} for force in forces))


def test_five_good_trials_in_words() -> None:
    # a trade figure, worked by 0.05^(1/5) = 0.549: five good ones show that fewer than 45 % fail
    found = one(trials(*[{"look": "good"}] * 5))
    assert found.said == (
        "5 good trials without failure show with 95 % confidence that at least 55 % are good.",
        "To show 95 % by counting, 54 more would have to be good.",
    )
    assert found.proof.more == 59 - 5


def test_fifty_nine_good_trials_are_enough_and_one_fewer_is_not_called_enough() -> None:
    enough, short = (one(trials(*[{"look": "good"}] * n)) for n in (59, 58))
    assert enough.proof.more == 0
    assert len(enough.said) == 1
    assert "at least 95 % are good" in enough.said[0]
    assert "at least 94.9 % are good" in short.said[0]


def test_a_failure_costs_many_more() -> None:
    found = one(trials({"look": "bad"}, *[{"look": "good"}] * 9))
    assert found.proof.more == 93 - 10  # 93 trials with one failure, as known from order statistics
    assert found.said[0].startswith("1 of 10 trials were not good")


def test_what_counts_as_good() -> None:
    rows = ({"look": "good"}, {"look": "doubtful"}, {"look": "bad"}, {"height_mm": 1.3},
            {"pull_n": 88.0, "look": "good"}, {"pull_n": 90.0})  # fmt: skip
    found = one(trials(*rows))
    assert (found.proof.trials, found.proof.failures) == (5, 3)
    assert found.looks == {"good": 2, "doubtful": 1, "bad": 1, "not told": 2}
    assert counts([found]) == (3, 2)


def test_nothing_looked_at_or_pulled() -> None:
    found = one(trials({"height_mm": 1.3}))
    assert found.proof.share == 0
    assert found.said[0] == "No trial was looked at or pulled, so nothing is shown."


def test_the_bound_of_the_pulls() -> None:
    # by hand: mean 118, s 4, k(5; 95 %, 95 %) = 4.2027 from the published tables
    forces = (113.0, 116.0, 117.0, 121.0, 123.0)
    found = one(pulled(*forces))
    assert found.pulls.mean == pytest.approx(118)
    assert found.pulls.scatter == pytest.approx(4)
    assert found.bound_n == pytest.approx(118 - 4.2027 * 4, abs=0.01)
    assert found.pulls.worst == 113
    assert found.pulls.running_mean == pytest.approx((113, 114.5, 115 + 1 / 3, 116.75, 118))
    assert found.passes is True
    assert found.proof.by_measuring == 0
    assert found.index is not None
    assert found.index.index == pytest.approx((118 - 89) / 12)
    assert "at least 95 % bear 101 N; 89 N is asked for at 0.823 mm²" in found.said[2]


def test_pulls_that_scatter_too_much() -> None:
    found = one(pulled(100.0, 110.0, 118.0, 126.0, 136.0))
    assert found.passes is False
    missing = found.proof.by_measuring
    assert missing is not None
    assert missing > 0
    word = "pull" if missing == 1 else "pulls"
    assert found.said[-1] == f"With this mean and scatter, {missing} more {word} would show it."


def test_a_mean_at_the_limit_is_never_shown() -> None:
    found = one(pulled(85.0, 89.0, 93.0, 97.0))
    assert found.proof.by_measuring is None


@pytest.mark.parametrize(("standard", "newton"), [("ul-486a-486b", 89.0), ("iec-60352-2", 85.0)])
def test_the_standard_can_be_chosen(standard: str, newton: float) -> None:
    found = one(pulled(118.0), standard=standard)
    assert found.least is not None
    assert found.least.pull_n == newton


def test_a_force_from_memory_is_said_to_be() -> None:
    found = one(pulled(118.0, 119.0), standard="iec-60352-2")
    assert any("value from memory" in warning for warning in found.warnings)


def test_a_standard_without_this_size() -> None:
    found = one(pulled(118.0, 119.0), standard="nasa-std-8739-4")
    assert found.least is None
    assert "has no least pull for 0.75 mm²" in found.why_none
    assert found.passes is None
    assert found.bound_n is not None


def test_no_section_no_least_force() -> None:
    found = one(trials({"pull_n": 40.0}, section_mm2=None))
    assert found.why_none.startswith("The conductor's section is not given")
    assert found.proof.failures == 0


def test_an_unknown_standard() -> None:
    with pytest.raises(NotFound):
        crimp_trials(SMALL, standard="iso-1")


def test_slips_against_breaks() -> None:
    rows = [{"pull_n": 120.0, "failed_at": "wire"}] * 2 + [{"pull_n": 95.0, "failed_at": "crimp"}]
    found = one(trials(*rows))
    assert (found.broke_wire, found.slipped) == (2, 1)
    assert found.pulls_by_break == {"wire": 120.0, "crimp": 95.0}
    assert any(said.startswith("1 of 3 pulled crimps let the wire slip") for said in found.warnings)


def heights(*values: float) -> Job:
    return trials(*({"height_mm": value, "look": "good"} for value in values))


def test_heights_that_drift() -> None:
    found = one(heights(1.30, 1.31, 1.33, 1.34, 1.36))
    assert any(said.startswith("The heights grow by 0.06 mm over 5") for said in found.warnings)
    still = one(heights(1.30, 1.31, 1.30, 1.31, 1.30))
    assert still.warnings == ()
    assert still.heights.worst == 1.31


def test_a_height_apart() -> None:
    found = one(heights(1.30, 1.31, 1.30, 1.31, 1.30, 1.31, 1.30, 1.45))
    assert any("A height of 1.45 mm is 0.13 mm off" in said for said in found.warnings)
    assert any("lies outside the limits" in said for said in found.warnings)


@pytest.mark.parametrize(
    ("note", "says"),
    [
        ("soldered afterwards", "solder is named"),
        ("Tinned wire", "solder is named"),
        ("trimmed strands to fit", "strands seem to be cut away"),
        ("3 strands cut", "strands seem to be cut away"),
        ("one strand nicked", "nicked strands"),
    ],
)
def test_words_in_a_note(note: str, says: str) -> None:
    found = one(trials({"note": note, "height_mm": 1.3}, *[{"height_mm": 1.3}] * 2))
    assert [says in said for said in found.warnings] == [True]
    assert "Trial K1" in found.warnings[0]


def test_a_plain_note_says_nothing() -> None:
    found = one(trials({"note": "both wings touch", "height_mm": 1.3}, *[{"height_mm": 1.3}] * 2))
    assert found.warnings == ()


def test_too_few_trials_and_no_height() -> None:
    found = one(trials({"look": "good"}))
    assert found.warnings == (
        "Only 1 of at least 3 trials are made.",
        "No height is measured; height and look come before the pull.",
    )


def test_compression_where_the_barrel_is_known() -> None:
    rows = [{"height_mm": high, "width_mm": 1.60} for high in (1.20, 1.10, 1.40)]
    found = one(trials(*rows), barrel_mm2={"S1": 1.35})
    # by hand: (1.20 · 1.60 - 0.0537 · 1.60²) / (0.75 + 1.35) = 1.7826 / 2.10
    assert found.compression[0] == pytest.approx(0.849, abs=5e-4)
    assert any(said.startswith("Pressed to 0.77") for said in found.warnings)
    assert any(said.startswith("Pressed to 1.00") for said in found.warnings)
    assert one(trials(*rows)).compression == ()


def test_own_figures_take_the_place_of_defaults() -> None:
    job = heights(1.30, 1.33, 1.36)
    assert one(job).warnings == ()
    settings = sample.job({"settings": ("lead_resistance,0.15", "crimp_height_tolerance,0.02")})
    tight = attrs.evolve(job, settings=settings.settings)
    assert any("±0.02 mm" in said for said in one(tight).warnings)


def test_set_ups_keep_their_order_and_their_own_trials() -> None:
    found = crimp_trials(SMALL)
    assert [(each.set_up, len(each.trials)) for each in found] == [("S1", 2), ("S2", 1)]
    assert (found[0].terminal, found[0].die) == ("flat 2.8", "nest 2")
    assert crimp_trials(attrs.evolve(SMALL, crimps=())) == ()


def test_an_impossible_share() -> None:
    with pytest.raises(OutOfRange):
        crimp_trials(SMALL, coverage=1.0)


@given(st.lists(st.floats(50, 200), min_size=2, max_size=12))
def test_a_stronger_crimp_never_proves_less(forces: list[float]) -> None:
    here, there = one(pulled(*forces)), one(pulled(*(force + 10 for force in forces)))
    assert here.bound_n is not None
    assert there.bound_n == pytest.approx(here.bound_n + 10)
    assert there.proof.share >= here.proof.share


@given(st.lists(st.floats(1, 2), min_size=2, max_size=12), st.floats(-1, 1))
def test_drift_of_a_straight_line(values: list[float], slope: float) -> None:
    count = len(values)
    line = [1.5 + slope * place for place in range(count)]
    assert drift(line) == pytest.approx(slope * (count - 1), abs=1e-9)
    assert drift(values[::-1]) == pytest.approx(-drift(values), abs=1e-9)

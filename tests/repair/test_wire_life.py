"""Life of insulation and boots: the arithmetic by hand, bands, the survey, and what changes buy."""

from __future__ import annotations

from datetime import date, timedelta

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwright import standards
from loomwright.loom import Job, SurveyRow
from loomwright.loom.records import Zone
from loomwright.repair.condition import conditions
from loomwright.repair.wire_heat import Bundles
from loomwright.repair.wire_life import BY_AGE, BY_HEAT, NEITHER, Band, Life, lives
from sample import fed

VALUE = standards.values()
TODAY = date(2026, 5, 14)


def found(job: Job, **value: float) -> dict[str, Life]:
    values = {**VALUE, **value}
    made = lives(job, Bundles.of(job, values).heats, conditions(job), value=values, today=TODAY)
    return {f"{each.item} {each.kind}": each for each in made}


def hot(running: float, soak: float | None = None, *, hours: float = 200.0, share: float = 0.0,
        insulation: str | None = "PVC 105", grade: int | None = None) -> Job:  # fmt: skip
    """The lamp's loom with a branch of one's own heat and hardly any current."""
    zone = Zone(zone="HOT", running_c=running, soak_c=soak, hours_per_year=hours, soak_share=share)
    job = fed.wired(fed.fed(ohm=1e5), insulation=insulation)
    survey = () if grade is None else (SurveyRow(item="W2", aspect="insulation", grade=grade),)
    return attrs.evolve(job, zones=(zone, fed.COOL), survey=survey)


def test_a_wire_at_its_class_lasts_three_thousand_hours() -> None:
    """3000 h at the class temperature, ISO 6722-1: 200 h a year use a fifteenth."""
    life = found(hot(105))["W2 wire"]
    assert life.share_per_year == pytest.approx(200 / 3000, rel=1e-6)
    assert life.where == "B1"
    assert life.total is not None
    assert life.total.likely == pytest.approx(min(15.0, 12.5))  # vinyl on the engine: 10 to 15 a


def test_above_its_class_heat_ends_it_by_the_trades_rule() -> None:
    """Common practice: 30 K above its class it lasts an eighth: 375 h, 1.9 years of 200 h."""
    life = found(hot(135))["W2 wire"]
    assert life.bound == BY_HEAT
    assert life.total is not None
    assert life.total.low < 375 / 200 < life.total.high
    assert life.total.likely == pytest.approx(375 / 200, rel=0.25)  # Arrhenius lies a little above


def test_the_hours_after_a_hot_stop_are_counted_at_their_own_heat() -> None:
    """100 h at 105 °C (3000 h) and 100 h at 115 °C (1500 h, one halving): 1/30 + 1/15 a year."""
    life = found(hot(105, 115, share=0.5))["W2 wire"]
    assert life.share_per_year == pytest.approx(1 / 30 + 1 / 15, rel=1e-6)


def test_in_the_cool_it_is_age_that_ends_vinyl_and_nothing_told_ends_a_class_alone() -> None:
    vinyl = found(hot(40))["W2 wire"]
    assert vinyl.bound == BY_AGE
    assert vinyl.total == Band(low=20, likely=25, high=30)  # common practice: 20 to 30 years
    other = found(hot(40, insulation="C"))["W2 wire"]
    assert other.bound == NEITHER
    assert other.total == Band(low=40, likely=40, high=40)  # no longer life is told


def test_current_counts_where_it_warms() -> None:
    job = hot(95)
    loaded = attrs.evolve(job, elements=(job.elements[0], attrs.evolve(job.elements[1], ohm=1.2)))
    cool, warm = found(job)["W2 wire"], found(loaded)["W2 wire"]
    assert warm.rise_k > 5
    assert (warm.share_per_year or 0.0) > 1.4 * (cool.share_per_year or 0.0)


@pytest.mark.parametrize("grade", range(5))
def test_the_grade_says_how_much_is_behind_it(grade: int) -> None:
    life = found(hot(125, grade=grade))["W2 wire"]
    row = standards.default(f"ageing_used_grade_{grade}")
    assert life.total is not None
    assert life.remaining is not None
    assert life.remaining.likely == pytest.approx(life.total.likely * (1 - row.value))
    assert life.remaining.low == pytest.approx(life.total.low * (1 - row.high))
    assert life.remaining.high == pytest.approx(life.total.high * (1 - row.low))


def test_ones_own_figure_for_a_grade_is_taken_as_it_is() -> None:
    life = found(hot(125, grade=2), ageing_used_grade_2=0.5)["W2 wire"]
    assert life.total is not None
    assert life.remaining is not None
    assert life.remaining.low == pytest.approx(life.total.low * 0.5)


def test_the_day_to_look_is_the_low_end_and_never_later_than_the_usual_look() -> None:
    soon = found(hot(135, grade=1))["W2 wire"]
    assert soon.remaining is not None
    assert soon.inspect_by == TODAY + timedelta(days=int(soon.remaining.low * 365.25))
    late = found(hot(40, grade=0))["W2 wire"]
    assert late.inspect_by == TODAY + timedelta(days=int(VALUE["look_again_years"] * 365.25))
    assert found(hot(125, grade=4))["W2 wire"].inspect_by == TODAY


def test_what_nobody_looked_at_has_a_life_but_nothing_left_is_told() -> None:
    life = found(hot(125))["W2 wire"]
    assert life.total is not None
    assert (life.grade, life.remaining, life.inspect_by) == (None, None, None)


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (hot(100, insulation="cloth", grade=3), '"cloth" is not known'),
        (hot(100, insulation=None), "insulation not told"),
        (attrs.evolve(hot(100), zones=()), "heat zone of B1"),
    ],
    ids=["cloth", "nothing", "zone"],
)
def test_an_unknown_class_or_zone_gives_nothing_precise(job: Job, words: str) -> None:
    life = found(job)["W2 wire"]
    assert (life.share_per_year, life.total, life.remaining, life.buys) == (None, None, None, ())
    assert words in " ".join(life.unknown)


def test_a_zone_without_hours_says_so() -> None:
    job = hot(100)
    silent = tuple(attrs.evolve(zone, hours_per_year=None) for zone in job.zones)
    life = found(attrs.evolve(job, zones=silent))["W2 wire"]
    assert life.total is None
    assert "zone HOT has no hours_per_year" in life.unknown


def test_a_wire_that_heats_without_end_has_no_life_and_nothing_fails() -> None:
    job = fed.wired(fed.fed(ohm=0.01), section_mm2=0.3, length_mm=10)
    life = found(job)["W2 wire"]
    assert life.total == Band(low=0, likely=0, high=0)
    assert life.bound == BY_HEAT


def test_what_a_change_buys() -> None:
    buys = {(each.kind, each.what): each for each in found(hot(130, 150))["W2 wire"].buys}
    # halving within 10 K: 20 K cooler four times, 40 K better more than sixteen
    assert buys["sleeve", "20 K"].times == pytest.approx(4, rel=0.25)
    assert buys["class", "125 °C"].times == pytest.approx(4, rel=0.25)
    assert buys["class", "150 °C"].times > 16
    assert buys["route", "COOL"].times > 2**8
    assert buys["route", "COOL"].total == Band(low=20, likely=25, high=30)


def test_no_sleeve_where_nothing_radiates_and_no_change_that_buys_no_year() -> None:
    assert found(hot(95, 100))["W2 wire"].buys
    assert "sleeve" not in {each.kind for each in found(hot(95, 100))["W2 wire"].buys}
    assert found(hot(40, insulation="C"))["W2 wire"].buys == ()


def test_a_boot_of_known_rubber_and_one_of_which_nobody_knows() -> None:
    job = hot(100)
    rubber, unknown = (
        attrs.evolve(job, plugs=(job.plugs[0], attrs.evolve(job.plugs[1], boot=words)),
                     survey=(SurveyRow(item="L", aspect="boot", grade=2),))
        for words in ("straight, rubber", "straight 2-way")
    )  # fmt: skip
    told = found(rubber)["L boot"]
    assert told.total is not None
    assert (told.total.low, told.total.high) == (3, 6)  # common practice: 3 to 6 years
    silent = found(unknown)["L boot"]
    assert (silent.grade, silent.total) == (2, None)
    assert "what rubber the boot is of is not known" in silent.unknown[0]


def test_a_plug_without_a_boot_by_design_has_none_to_age() -> None:
    assert set(found(hot(100))) == {"W1 wire", "W2 wire", "W3 wire", "L boot"}


@settings(max_examples=40)
@given(st.floats(20, 200), st.floats(0, 60), st.floats(0, 1), st.integers(0, 4))
def test_bands_are_in_order_and_heat_never_lengthens_a_life(
    running: float, more: float, share: float, grade: int
) -> None:
    cool = found(hot(running, running + 10, share=share, grade=grade))["W2 wire"]
    warm = found(hot(running + more, running + more + 10, share=share, grade=grade))["W2 wire"]
    for life in (cool, warm):
        assert life.total is not None
        assert life.remaining is not None
        assert 0 <= life.remaining.low <= life.remaining.likely <= life.remaining.high
        assert life.total.low <= life.total.likely <= life.total.high <= VALUE["ageing_most_years"]
        assert life.inspect_by is not None
        assert TODAY <= life.inspect_by <= TODAY + timedelta(days=3 * 366)
    assert warm.total is not None
    assert cool.total is not None
    assert warm.total.likely <= cool.total.likely + 1e-9

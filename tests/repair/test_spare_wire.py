"""The ledger: tries by hand, chances against plugs worked one by one, and when to stop."""

from __future__ import annotations

import attrs
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from loomwright.loom import CrimpTrial, Job, OwnFigure
from loomwright.loom.errors import OutOfRange
from loomwright.repair.crimp_trials import crimp_trials
from loomwright.repair.spare_wire import Ledger, Scrap, rounds_in, scrap_record, spare_wire
from sample import jobs as sample

BRIGHT = {"loop_mm": 10.0, "first_cut_mm": 20.0, "retry_mm": 15.0}
DARK = BRIGHT | {"first_cut_mm": 50.0}


def with_spare(spare: float | None, *, lock: str | None = "tongue") -> Job:
    """The small job with so much spare at every plug."""
    job = sample.job()
    plugs = tuple(attrs.evolve(plug, spare_mm=spare, lock=lock) for plug in job.plugs)
    return attrs.evolve(job, plugs=plugs)


def ledger(job: Job, plug: str = "T1", **told: object) -> Ledger:
    return {each.plug: each for each in spare_wire(job, **told)}[plug]


@pytest.mark.parametrize(
    ("spare", "rounds"), [(20, 0), (29.9, 0), (30, 1), (40, 1), (60, 3), (80, 4)]
)
def test_tries_as_the_trade_counts_them(spare: float, rounds: int) -> None:
    # worked from common practice: 10 mm loop, 20 mm first cut-back, 15 mm per retry
    assert rounds_in(spare, **BRIGHT) == rounds


def test_dark_copper_leaves_one_try_of_sixty_millimetres() -> None:
    assert rounds_in(60, **DARK) == 1


def test_a_sum_of_tenths_is_not_a_lost_try() -> None:
    assert rounds_in(0.1 + 0.2, loop_mm=0.1, first_cut_mm=0.1, retry_mm=0.1) == 2


@given(spare=st.floats(0, 500), more=st.floats(0, 100))
def test_more_wire_is_never_fewer_tries(spare: float, more: float) -> None:
    assert rounds_in(spare + more, **BRIGHT) >= rounds_in(spare, **BRIGHT)


def test_both_looks_are_told_until_one_is_seen() -> None:
    job = with_spare(60)
    assert [look.copper for look in ledger(job).outlooks] == ["bright", "dark"]
    assert [look.rounds for look in ledger(job).outlooks] == [3, 1]
    (seen,) = ledger(job, copper={"T1": "dark"}).outlooks
    assert (seen.first_cut_mm, seen.rounds) == (50, 1)


def test_crimps_are_cavities_with_a_wire() -> None:
    found = {each.plug: each.ends for each in spare_wire(with_spare(60))}
    assert found == {"CU": 4, "T1": 2, "T2": 2, "X1": 1, "X2": 1}


def test_a_known_hand_gives_the_plain_chance() -> None:
    # two wires, one try, 5 % scrap as good as known: 0.95² = 0.9025
    found = ledger(with_spare(60), scrap=Scrap(failed=5e5, good=95e5), copper={"T1": "dark"})
    assert found.outlooks[0].chance == pytest.approx(0.9025, abs=1e-5)


def test_the_wires_of_a_large_plug_have_tries_of_their_own() -> None:
    job = attrs.evolve(with_spare(60), settings=(OwnFigure(name="equal_ends_most", value=3.0),))
    found = ledger(job, "CU", scrap=Scrap(failed=1e5, good=9e5), copper={"CU": "bright"})
    assert not found.equal
    assert found.outlooks[0].chance == pytest.approx((1 - 0.1**3) ** 4, abs=1e-5)
    assert ledger(with_spare(60), "CU").equal


def test_one_wire_alone_is_the_negative_binomial() -> None:
    # one good crimp needed, two slips allowed, each crimp failing with 10 %
    (look,) = ledger(
        with_spare(60), "X1", scrap=Scrap(failed=1e5, good=9e5), copper={"X1": "bright"}
    ).outlooks
    assert look.rounds == 3
    assert look.chance == pytest.approx(stats.nbinom.cdf(2, 1, 0.9), abs=1e-5)


def finished(rng: np.random.Generator, spare: float, scrap: Scrap) -> bool:
    """One two-way plug worked with a rule and a knife, by a hand drawn from the record."""
    failing = rng.beta(scrap.failed, scrap.good)
    left = spare - 10.0 - 20.0
    while left >= 0:
        if rng.random() >= failing and rng.random() >= failing:
            return True
        left -= 15.0
    return False


def test_the_chance_is_how_often_such_plugs_are_finished() -> None:
    rng = np.random.default_rng(3)
    scrap, plugs = Scrap(failed=2.0, good=6.0), 20_000
    made = sum(finished(rng, 50.0, scrap) for _ in range(plugs)) / plugs
    (look,) = ledger(with_spare(50), scrap=scrap, copper={"T1": "bright"}).outlooks
    assert look.rounds == 2
    assert abs(made - look.chance) < 4 * (made * (1 - made) / plugs) ** 0.5


def test_the_record_is_common_practice_and_ones_own_trials() -> None:
    # 6 % scrap weighing as 10 trials
    assert scrap_record() == Scrap(failed=pytest.approx(0.6), good=pytest.approx(9.4))
    rows = (CrimpTrial(trial=f"K{n}", set_up="S1", look="good") for n in range(9))
    bad = CrimpTrial(trial="K9", set_up="S1", look="bad")
    job = attrs.evolve(sample.job(), crimps=(*rows, bad))
    found = scrap_record(crimp_trials(job))
    assert found == Scrap(failed=pytest.approx(1.6), good=pytest.approx(18.4))
    assert found.mean == pytest.approx(0.08)


def test_when_to_stop() -> None:
    (look,) = ledger(with_spare(60), copper={"T1": "bright"}).outlooks
    assert list(look.chances) == sorted(look.chances, reverse=True)
    assert look.chances[-1] == 0
    assert len(look.chances) == look.rounds + 1
    assert look.chances[look.stop_after] < 0.8 <= look.chances[look.stop_after - 1]


def test_a_slip_counts_against_the_hand() -> None:
    (look,) = ledger(with_spare(60), copper={"T1": "bright"}).outlooks
    (short,) = ledger(with_spare(45), copper={"T1": "bright"}).outlooks
    assert look.rounds - 1 == short.rounds
    assert look.chances[1] < short.chances[0]


@given(spare=st.floats(0, 200), failed=st.floats(0.1, 20), good=st.floats(0.1, 100))
def test_terminals_suffice_and_are_no_more_than_there_is_wire_for(
    spare: float, failed: float, good: float
) -> None:
    scrap = Scrap(failed=failed, good=good)
    for each in spare_wire(with_spare(spare), scrap=scrap):
        for look in each.outlooks:
            assert 0 <= look.chance <= 1
            assert look.terminals <= each.ends * look.rounds
            assert look.terminals >= each.ends or not look.rounds
            assert 0 <= look.stop_after <= look.rounds


@pytest.mark.parametrize(
    ("spare", "copper", "advice"),
    [
        (20, "bright", "There is no wire for a new crimp, extend with a splice."),
        (40, "bright", "There is wire for 1 try; after the first slip stop and extend with "
         "a splice."),
        (80, "bright", "There is wire for 4 tries; after 3 slips stop and extend with a splice."),
    ],
)  # fmt: skip
def test_advice(spare: float, copper: str, advice: str) -> None:
    assert ledger(with_spare(spare), copper={"T1": copper}).advice == advice


def test_advice_while_the_copper_is_unseen() -> None:
    advice = ledger(with_spare(60)).advice
    assert advice.startswith("Make one sacrificial cut and look at the copper: where it is bright")
    assert ledger(with_spare(20)).advice.startswith("There is no wire")


def test_a_poor_hand_is_told_to_splice_first() -> None:
    found = ledger(with_spare(40), scrap=Scrap(failed=3, good=7), copper={"T1": "bright"})
    assert found.outlooks[0].stop_after == 0
    assert found.advice.endswith("extend with a splice before the first cut.")


def test_what_is_not_known_and_what_cannot_be_opened() -> None:
    unknown = ledger(with_spare(None))
    assert (unknown.outlooks, unknown.spare_mm) == ((), None)
    assert unknown.advice.startswith("The spare wire is not known")
    assert ledger(with_spare(60, lock="moulded")).advice.startswith("Over-moulded")


def test_own_figures_take_the_place_of_defaults() -> None:
    job = attrs.evolve(with_spare(60), settings=(OwnFigure(name="retry_loss", value=30.0),))
    assert ledger(job, copper={"T1": "bright"}).outlooks[0].rounds == 2


def test_no_end_of_wire_is_still_reckoned() -> None:
    (look,) = ledger(with_spare(5000), copper={"T1": "bright"}).outlooks
    assert look.rounds == 1 + (5000 - 30) // 15
    assert len(look.chances) == look.rounds + 1
    assert 0.999 < look.chance < 1


def test_a_plug_without_wires_has_no_ledger() -> None:
    job = attrs.evolve(with_spare(60), wires=())
    assert spare_wire(job) == ()


@pytest.mark.parametrize(
    "call",
    [
        lambda: rounds_in(-1, **BRIGHT),
        lambda: rounds_in(60, **(BRIGHT | {"retry_mm": 0.0})),
        lambda: spare_wire(with_spare(60), copper={"T1": "green"}),
        lambda: scrap_record(figures={"crimp_scrap": 100.0, "crimp_scrap_weight": 10.0}),
        lambda: scrap_record(figures={"crimp_scrap": 5.0, "crimp_scrap_weight": 0.0}),
    ],
)
def test_the_impossible_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutOfRange):
        call()

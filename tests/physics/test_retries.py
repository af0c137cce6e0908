"""Chances to finish: the negative binomial against scipy, the records' sums against integrals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.integrate import quad

from loomwright.loom.errors import OutOfRange
from loomwright.physics.retries import (
    chance_all_equal,
    chance_all_equal_by_record,
    chance_each_alone,
    chance_each_alone_by_record,
    chance_of_enough,
    chance_of_enough_by_record,
    spares_for,
)

RECORDS = [(0.6, 14.4), (2.0, 3.0), (1.0, 1.0), (5.6, 94.4)]

# spare terminals for 95 % certainty at 2, 5 and 10 % scrap; a table worked elsewhere
SPARES = {8: (1, 2, 3), 16: (1, 3, 4), 30: (2, 4, 7), 60: (3, 6, 11), 100: (5, 9, 17)}


@pytest.mark.parametrize("needed", SPARES)
def test_spare_terminals_of_the_published_kind(needed):
    for spares, failing in zip(SPARES[needed], (0.02, 0.05, 0.10), strict=True):
        assert chance_of_enough(needed, spares, failing=failing) >= 0.95
        assert chance_of_enough(needed, spares - 1, failing=failing) < 0.95


@given(needed=st.integers(1, 80), spares=st.integers(0, 40), failing=st.floats(0.001, 0.9))
def test_a_known_chance_is_the_negative_binomial(needed, spares, failing):
    told = stats.nbinom.cdf(spares, needed, 1 - failing)
    assert chance_of_enough(needed, spares, failing=failing) == pytest.approx(told, rel=1e-9)


@pytest.mark.parametrize("record", RECORDS)
@pytest.mark.parametrize(("needed", "spares"), [(1, 0), (2, 3), (24, 4), (60, 10)])
def test_a_record_is_the_beta_negative_binomial(record, needed, spares):
    failed, good = record
    told = stats.betanbinom.cdf(spares, needed, good, failed)
    found = chance_of_enough_by_record(needed, spares, failed=failed, good=good)
    assert found == pytest.approx(told, rel=1e-9)


def mean_over(record, chance):
    """The mean of a chance over the beta distribution of the failing share, by quadrature."""
    failed, good = record

    # the ends are flattened by p = x^4 / (x^4 + (1 - x)^4), so that no density is endless there
    def weighed(x):
        p = x**4 / (x**4 + (1 - x) ** 4)
        slope = 4 * x**3 * (1 - x) ** 3 / (x**4 + (1 - x) ** 4) ** 2
        return chance(p) * stats.beta.pdf(p, failed, good) * slope

    return quad(weighed, 1e-9, 1 - 1e-9, epsabs=1e-11, limit=200)[0]


@pytest.mark.parametrize("record", RECORDS)
@pytest.mark.parametrize(("ends", "tries"), [(1, 1), (2, 3), (4, 2), (22, 4)])
def test_the_sums_are_the_means_of_the_known_chances(record, ends, tries):
    failed, good = record
    for by_record, known in (
        (chance_all_equal_by_record, chance_all_equal),
        (chance_each_alone_by_record, chance_each_alone),
    ):
        told = mean_over(record, lambda p, known=known: known(ends, tries, failing=p))
        assert by_record(ends, tries, failed=failed, good=good) == pytest.approx(told, abs=1e-8)


def worked(rng, *, ends, rounds, failing):
    """Plugs made one crimp after the other; a slip cuts every wire back, while there is wire."""
    return any(all(rng.random() >= failing for _ in range(ends)) for _ in range(rounds))


def test_the_closed_form_against_plugs_made_one_by_one():
    rng = np.random.default_rng(7)
    failed, good, plugs = 1.6, 8.4, 20_000
    made = sum(worked(rng, ends=2, rounds=2, failing=rng.beta(failed, good)) for _ in range(plugs))
    closed = chance_all_equal_by_record(2, 2, failed=failed, good=good)
    assert abs(made / plugs - closed) < 4 * (closed * (1 - closed) / plugs) ** 0.5


@pytest.mark.parametrize("record", RECORDS)
def test_one_wire_is_the_beta_negative_binomial_of_one_piece(record):
    failed, good = record
    for tries in range(1, 6):
        told = chance_of_enough_by_record(1, tries - 1, failed=failed, good=good)
        for chance in (chance_all_equal_by_record, chance_each_alone_by_record):
            assert chance(1, tries, failed=failed, good=good) == pytest.approx(told, rel=1e-12)


@given(
    ends=st.integers(1, 30), tries=st.integers(0, 20),
    failed=st.floats(0.05, 50), good=st.floats(0.05, 200),
)  # fmt: skip
def test_more_wire_helps_and_more_ends_do_not(ends, tries, failed, good):
    for chance in (chance_all_equal_by_record, chance_each_alone_by_record):
        here = chance(ends, tries, failed=failed, good=good)
        assert 0 <= here <= 1
        assert chance(ends, tries + 1, failed=failed, good=good) >= here
        assert chance(ends + 1, tries, failed=failed, good=good) <= here


@given(ends=st.integers(1, 8), tries=st.integers(1, 8), failed=st.floats(0.1, 9))
def test_ends_that_must_be_equal_are_never_easier(ends, tries, failed):
    equal = chance_all_equal_by_record(ends, tries, failed=failed, good=9)
    assert equal <= chance_each_alone_by_record(ends, tries, failed=failed, good=9) + 1e-12


def test_no_wire_and_nothing_to_do():
    assert chance_all_equal_by_record(2, 0, failed=1, good=9) == 0
    assert chance_each_alone_by_record(2, 0, failed=1, good=9) == 0
    assert chance_all_equal_by_record(0, 1, failed=1, good=9) == 1
    assert chance_each_alone_by_record(0, 1, failed=1, good=9) == 1


def test_a_long_record_is_a_known_chance():
    unsure = chance_all_equal_by_record(2, 3, failed=5e6, good=95e6)
    assert unsure == pytest.approx(chance_all_equal(2, 3, failing=0.05), abs=1e-6)


@given(needed=st.integers(0, 60), confidence=st.floats(0.5, 0.99))
def test_no_fewer_spares_would_do(needed, confidence):
    spares = spares_for(needed, confidence=confidence, failed=2.6, good=47.4)
    assert chance_of_enough_by_record(needed, spares, failed=2.6, good=47.4) >= confidence
    if spares:
        fewer = chance_of_enough_by_record(needed, spares - 1, failed=2.6, good=47.4)
        assert fewer < confidence


@pytest.mark.parametrize(
    "call",
    [
        lambda: chance_of_enough(-1, 2, failing=0.1),
        lambda: chance_of_enough(1, 2, failing=1.1),
        lambda: chance_of_enough_by_record(1, 2, failed=0, good=1),
        lambda: chance_all_equal(2, -1, failing=0.1),
        lambda: chance_all_equal_by_record(2, 1, failed=1, good=0),
        lambda: chance_each_alone(2, 1, failing=-0.1),
        lambda: spares_for(60, confidence=0.999999, failed=0.5, good=0.001),
    ],
)
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()

"""The joint likelihood against scipy's multivariate normal and every subset of slips."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import multivariate_normal, norm

from loomwright.diagnosis import Prediction, likelihood
from loomwright.diagnosis.likelihood import Observed, Slips, alone, explain, fit
from loomwright.diagnosis.scale import Z_RANGE

SLIPS = Slips(stray=0.01, false_over=0.004)
LIMIT_Z = 15.0
CAUSES = ("gain", "leads", "engine", "part")


def drawn(
    seed: int, readings: int, hypotheses: int = 5, *, over: float = 0.2
) -> tuple[list[Observed], list[Prediction]]:
    """Readings that share causes, some over-range; every reading has causes of its own choice."""
    rng = np.random.default_rng(seed)
    observed, predicted = [], []
    for i in range(readings):
        causes = tuple(c for c in CAUSES if rng.random() < 0.6)
        z = rng.uniform(0, 8, hypotheses)
        open_circuit = rng.random(hypotheses) < over
        predicted.append(
            Prediction(
                z=z,
                over=open_circuit,
                own=rng.uniform(0.01, 0.1, hypotheses),
                shared=np.where(
                    open_circuit[:, None], 0.0, rng.normal(0, 0.3, (hypotheses, len(causes)))
                ),
                causes=causes,
                cell1=np.where(open_circuit, 0.0, rng.normal(0, 0.2, hypotheses)),
                cell2=np.where(open_circuit, 0.0, rng.normal(0, 0.1, hypotheses)),
            )
        )
        shown_over = rng.random() < over
        quantity = "volt" if i % 4 == 3 else "ohm"
        value = 0.0 if shown_over else float(z[0] + rng.normal(0, 0.5))
        observed.append(Observed(value, bool(shown_over), quantity, LIMIT_Z))
    return observed, predicted


def jacobian(predicted: list[Prediction], h: int) -> NDArray[np.float64]:
    rows = np.zeros((len(predicted), len(CAUSES) + 2))
    for i, each in enumerate(predicted):
        for column, cause in enumerate(each.causes):
            rows[i, CAUSES.index(cause)] = each.shared[h, column]
        rows[i, -2:] = each.cell1[h], each.cell2[h]
    return rows


def by_hand(
    observed: list[Observed], predicted: list[Prediction], h: int, *, most: int = 2
) -> float:
    """Sum over all sets of at most so many slips of P(slips) x N(the others)."""
    total, normal = 0.0, []
    for i, (o, p) in enumerate(zip(observed, predicted, strict=True)):
        sigma = math.sqrt(p.own[h] + jacobian([p], h)[0] @ jacobian([p], h)[0])
        if o.over and p.over[h]:
            total += math.log(1 - SLIPS.stray)
        elif o.over:
            total += math.log(norm.sf(LIMIT_Z, p.z[h], sigma) + SLIPS.false_over)
        elif p.over[h]:
            total += math.log(SLIPS.stray / Z_RANGE[o.quantity])
        else:
            total += math.log(1 - SLIPS.false_over)
            normal.append(i)
    if not normal:
        return total
    rows = jacobian([predicted[i] for i in normal], h)
    own = np.array([predicted[i].own[h] for i in normal])
    away = np.array([observed[i].z - predicted[i].z[h] for i in normal])
    covariance = np.diag(own) + rows @ rows.T
    terms = []
    for count in range(min(most, len(normal)) + 1):
        for gone in itertools.combinations(range(len(normal)), count):
            kept = [i for i in range(len(normal)) if i not in gone]
            term = len(kept) * math.log(1 - SLIPS.stray)
            term += sum(math.log(SLIPS.stray / Z_RANGE[observed[normal[i]].quantity]) for i in gone)
            if kept:
                term += multivariate_normal.logpdf(
                    away[kept], np.zeros(len(kept)), covariance[np.ix_(kept, kept)]
                )
            terms.append(term)
    return total + float(np.logaddexp.reduce(terms))


@pytest.mark.parametrize("readings", [1, 2, 3, 6])
@pytest.mark.parametrize("seed", range(4))
def test_the_fit_is_the_sum_over_all_slips(seed: int, readings: int) -> None:
    observed, predicted = drawn(seed, readings)
    found = fit(observed, predicted, SLIPS).log_likelihood
    wanted = [by_hand(observed, predicted, h) for h in range(5)]
    assert found == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("readings", [2, 3, 5])
@pytest.mark.parametrize("seed", range(4))
def test_leaving_one_reading_out(seed: int, readings: int) -> None:
    """With a reading left out, none or one of the others may be a slip beside it."""
    observed, predicted = drawn(seed + 10, readings)
    found = fit(observed, predicted, SLIPS).without
    for i in range(readings):
        rest = [n for n in range(readings) if n != i]
        some_o, some_p = [observed[n] for n in rest], [predicted[n] for n in rest]
        for h in range(5):
            inside = not observed[i].over and not predicted[i].over[h]
            wanted = by_hand(some_o, some_p, h, most=1 if inside else 2)
            assert found[h, i] == pytest.approx(wanted, rel=1e-9)


def test_one_reading_alone_is_a_mixture_of_truth_and_slip() -> None:
    observed, predicted = drawn(3, 1, over=0.0)
    found = alone(observed[0], predicted[0], SLIPS)
    sigma = np.sqrt(predicted[0].variance)
    # `alone` leaves the factor 1 - stray of the true part out: it ranks, it does not weigh.
    density = norm.pdf(observed[0].z, predicted[0].z, sigma) + SLIPS.stray / Z_RANGE["ohm"]
    assert found == pytest.approx(np.log(density) + math.log(1 - SLIPS.false_over), rel=1e-9)


def test_two_equal_readings_that_share_everything_count_nearly_once() -> None:
    observed = [Observed(4.0, False, "ohm", LIMIT_Z)]
    shared = Prediction(
        z=np.linspace(3.6, 4.4, 5), over=np.zeros(5, bool), own=np.full(5, 1e-6),
        shared=np.full((5, 1), 0.3), causes=("gain",), cell1=np.zeros(5), cell2=np.zeros(5),
    )  # fmt: skip
    slips = Slips(stray=1e-9, false_over=0.0001)
    once = fit(observed, [shared], slips).log_likelihood
    twice = fit(observed * 2, [shared] * 2, slips).log_likelihood
    # The second adds only its own narrow density, the same for every hypothesis.
    extra = twice - once
    assert extra == pytest.approx(np.full(5, extra[0]), abs=1e-3)


@pytest.mark.parametrize("seed", range(5))
def test_the_causes_are_explained_as_by_conditioning_the_normal(seed: int) -> None:
    """E[d|y] = Cov(d, y) Cov(y)^-1 r and Var[d|y] = I - ...: the textbook conditional normal."""
    observed, predicted = drawn(seed + 30, 4, over=0.0)
    share = np.array([0.1, 0.2, 0.3, 0.25, 0.15])
    found = explain(observed, predicted, share)
    assert found is not None
    left = np.zeros(len(found.causes))
    for h in range(5):
        rows = jacobian(predicted, h)
        covariance = np.diag([p.own[h] for p in predicted]) + rows @ rows.T
        residual = np.array([o.z - p.z[h] for o, p in zip(observed, predicted, strict=True)])
        gain = np.linalg.solve(covariance, rows).T
        mean = np.clip(gain @ residual, -3, 3)
        variance = np.eye(len(CAUSES) + 2) - gain @ rows
        place = [CAUSES.index(cause) for cause in found.causes]
        assert found.mean[h] == pytest.approx(mean[place], abs=1e-9)
        assert found.cells[h] == pytest.approx(mean[-2:], abs=1e-9)
        left += share[h] * np.diag(variance)[place]
    assert found.remaining == pytest.approx(left, abs=1e-9)


def test_nothing_is_explained_by_over_range_alone() -> None:
    observed, predicted = drawn(0, 2, over=0.0)
    shut = [Observed(0.0, True, "ohm", LIMIT_Z) for _ in observed]
    assert explain(shut, predicted, np.full(5, 0.2)) is None


def test_hypotheses_taken_a_few_at_a_time_fit_as_all_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    observed, predicted = drawn(8, 5, hypotheses=40)
    share = np.full(40, 1 / 40)
    whole, told = fit(observed, predicted, SLIPS), explain(observed, predicted, share)
    monkeypatch.setattr(likelihood, "_AT_ONCE", 700)
    parts, told_parts = fit(observed, predicted, SLIPS), explain(observed, predicted, share)
    assert parts.log_likelihood == pytest.approx(whole.log_likelihood, rel=1e-12)
    assert parts.without == pytest.approx(whole.without, rel=1e-12)
    assert told is not None
    assert told_parts is not None
    assert told_parts.mean == pytest.approx(told.mean, rel=1e-9, abs=1e-12)
    assert told_parts.remaining == pytest.approx(told.remaining, rel=1e-9)

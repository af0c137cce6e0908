"""How well hypotheses fit the readings together.

The readings that a hypothesis expects in range are jointly normal on the z scale, with shared
causes in the covariance C = D + J Jᵀ. Up to two of them may be *slips* that have nothing to do
with the circuit (even over the scale); their sum is exact, from the inverse of C:

    N(y without i) = N(y) / N(y_i | rest),   y_i | rest ~ N(y_i - q_i/A_ii, 1/A_ii),

A = C⁻¹, q = A r. Source: conditioning of the normal distribution, Rasmussen and Williams,
*Gaussian Processes for Machine Learning*, 2006, eq. 5.10-5.12 (leave-one-out).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import log, pi

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.diagnosis.prediction import Prediction
from loomwright.diagnosis.scale import Z_RANGE
from loomwright.physics.normal import normal_share

LOG_2PI = log(2.0 * pi)
_AT_ONCE = 1_500_000  # numbers of 8 bytes in the tables of one slice of hypotheses
_TABLES = 8  # tables of readings x readings alive at a time


@attrs.frozen(eq=False)
class Observed:
    """One reading as it is compared: z and whether the meter was over-range.

    Attributes
    ----------
    z : value on the z scale (0 when over)
    over : over-range shown
    quantity : ohm or volt
    limit_z : z of the largest value the meter shows
    """

    z: float
    over: bool
    quantity: str
    limit_z: float


@attrs.frozen(kw_only=True)
class Slips:
    """How often a reading is wrong for reasons outside the loom.

    Attributes
    ----------
    stray : chance that a value has nothing to do with the circuit
    false_over : chance of over-range because a probe did not touch
    """

    stray: float = 0.003
    false_over: float = 0.003

    @classmethod
    def of(cls, value: Mapping[str, float]) -> Slips:
        """The chances from the numbers of the defaults."""
        return cls(
            stray=value["outlier_probability"], false_over=value["false_over_range_probability"]
        )


@attrs.frozen(eq=False)
class Fit:
    """Log-likelihoods of hypotheses.

    Attributes
    ----------
    log_likelihood : shape (hypotheses,)
    without : the same with one reading left out, shape (hypotheses, readings)
    """

    log_likelihood: Floats
    without: Floats


@attrs.frozen(eq=False)
class Explained:
    """The shared causes as the readings leave them, under each hypothesis.

    Attributes
    ----------
    causes : their names
    mean : in prior standard units, shape (hypotheses, causes)
    remaining : share of the prior variance that is left, on average, shape (causes,)
    cells : where in its cell each magnitude lies, in half cells, shape (hypotheses, 2)
    cells_left : variance of that, in half cells squared, shape (hypotheses, 2)
    """

    causes: tuple[str, ...]
    mean: Floats
    remaining: Floats
    cells: Floats
    cells_left: Floats


def explain(
    observed: list[Observed], predicted: list[Prediction], share: Floats
) -> Explained | None:
    """What the readings say of temperatures, tolerances and the meter, per hypothesis.

    E[d] = Jᵀ C⁻¹ r and var[d] = 1 - diag(Jᵀ C⁻¹ J), Rasmussen and Williams 2006, eq. 2.25.

    Parameters
    ----------
    observed, predicted : as for `fit`
    share : weight of each hypothesis in the average variance
    """
    used = [i for i, each in enumerate(observed) if not each.over]
    if not used:
        return None
    observed, predicted = [observed[i] for i in used], [predicted[i] for i in used]
    causes = tuple(_places(predicted))
    parts = [_causes_explained(observed, part) for part in _sliced(predicted)]
    mean, remaining = (np.concatenate(column) for column in zip(*parts, strict=True))
    mean = np.clip(mean, -3.0, 3.0)
    left = np.clip(share @ remaining[:, :-2], 0.0, 1.0)
    cells_left = np.clip(remaining[:, -2:], 0.0, 1.0)
    return Explained(causes, mean[:, :-2], left, mean[:, -2:], cells_left)


def _causes_explained(
    observed: list[Observed], predicted: list[Prediction]
) -> tuple[Floats, Floats]:
    """E[d] and var[d] of the causes and both cells, each of shape (hypotheses, causes + 2)."""
    active = np.column_stack([~p.over for p in predicted])
    residual = np.array([o.z for o in observed]) - np.column_stack([p.z for p in predicted])
    jacobian = _jacobian(predicted, active)
    inverse, _ = _inverse(_covariance(predicted, active, jacobian))
    weighed = np.einsum("hij,hjd->hid", inverse, jacobian)
    mean = np.einsum("hid,hi->hd", weighed, np.where(active, residual, 0.0))
    return mean, 1.0 - np.einsum("hid,hid->hd", weighed, jacobian)


def over_range_terms(observed: Observed, predicted: Prediction, slips: Slips) -> Floats:
    """Log-probability of what the meter's range showed, where it does not enter the normal part.

    0 where a value in range was expected and read.
    """
    if observed.over:
        away = (predicted.z - observed.limit_z) / np.sqrt(predicted.variance)
        beyond = np.log(normal_share(away) + slips.false_over)
        return np.where(predicted.over, log(1.0 - slips.stray), beyond)
    stray = log(slips.stray / Z_RANGE[observed.quantity])
    return np.where(predicted.over, stray, log(1.0 - slips.false_over))


def fit(observed: list[Observed], predicted: list[Prediction], slips: Slips) -> Fit:
    """Joint log-likelihood of all readings under each hypothesis.

    Parameters
    ----------
    observed : the readings, length n
    predicted : what the same hypotheses say of each, length n, at least one
    slips : how often a reading is wrong
    """
    total = np.zeros(len(predicted[0].z))
    terms = [over_range_terms(o, p, slips) for o, p in zip(observed, predicted, strict=True)]
    for term in terms:
        total += term
    used = [i for i, each in enumerate(observed) if not each.over]
    without = np.column_stack([total - term for term in terms])
    if used:
        parts = [
            _normal_part([observed[i] for i in used], part, slips)
            for part in _sliced([predicted[i] for i in used])
        ]
        whole, left_out = (np.concatenate(column) for column in zip(*parts, strict=True))
        for i in range(len(observed)):
            without[:, i] += left_out[:, used.index(i)] if i in used else whole
        total = total + whole
    return Fit(total, without)


def _normal_part(
    observed: list[Observed], predicted: list[Prediction], slips: Slips
) -> tuple[Floats, Floats]:
    """Log of the sum over no, one or two slips; and the same without each reading."""
    active = np.column_stack([~p.over for p in predicted])
    residual = np.where(
        active, np.array([o.z for o in observed]) - np.column_stack([p.z for p in predicted]), 0.0
    )
    inverse, log_det = _inverse(_covariance(predicted, active, _jacobian(predicted, active)))
    q = np.einsum("hij,hj->hi", inverse, residual)
    size = active.sum(axis=1)
    clean = -0.5 * (np.einsum("hi,hi->h", q, residual) + log_det + size * LOG_2PI)
    stray = np.array([log(slips.stray / Z_RANGE[o.quantity]) for o in observed])
    keep = log(1.0 - slips.stray)
    diagonal = np.einsum("hii->hi", inverse)
    conditional = -0.5 * (LOG_2PI - np.log(diagonal) + q**2 / diagonal)
    # Ratio of the likelihood with i a slip to that with i in its place; then with i and j slips.
    one = np.where(active, stray - keep - conditional, -np.inf)
    two = _two_slips(inverse, q, active, stray - keep)
    count = q.shape[1]
    either = np.where(np.arange(count)[:, None] < np.arange(count), two, -np.inf)
    columns = [np.zeros((len(q), 1)), one, either.reshape(len(q), -1)]
    whole = clean + size * keep + _log_sum(np.concatenate(columns, axis=1))
    # Left out altogether, with none or one of the others a slip.
    beside = two - (stray - keep)[None, :, None]
    rest = _log_sum(np.concatenate([-conditional[:, :, None], beside], axis=2))
    left_out = np.where(active, (clean + (size - 1) * keep)[:, None] + rest, whole[:, None])
    return whole, left_out


def _two_slips(inverse: Floats, q: Floats, active: NDArray[np.bool_], cost: Floats) -> Floats:
    """Log-ratio with two slips, shape (hypotheses, readings, readings); -inf on the diagonal."""
    diagonal = np.einsum("hii->hi", inverse)
    det = diagonal[:, :, None] * diagonal[:, None, :] - inverse**2
    both = active[:, :, None] & active[:, None, :] & ~np.eye(q.shape[1], dtype=bool)
    safe = np.where(both, np.maximum(det, 1e-300), 1.0)
    cross = inverse * (q[:, :, None] * q[:, None, :])
    own = diagonal[:, None, :] * (q**2)[:, :, None]
    square = (own + own.transpose(0, 2, 1) - 2.0 * cross) / safe
    conditional = -0.5 * (2.0 * LOG_2PI - np.log(safe) + square)
    return np.where(both, cost[:, None] + cost[None, :] - conditional, -np.inf)


def _sliced(predicted: list[Prediction]) -> Iterator[list[Prediction]]:
    """The same readings for some hypotheses after the others: a Jacobian of all is large."""
    count = len(predicted)
    each = count * (len(_places(predicted)) + 2 + _TABLES * count)
    step = max(1, _AT_ONCE // each)
    for start in range(0, max(len(predicted[0].z), 1), step):
        yield [one.rows(slice(start, start + step)) for one in predicted]


def _places(predicted: list[Prediction]) -> dict[str, int]:
    """Column of each shared cause of some readings."""
    causes: dict[str, int] = {}
    for each in predicted:
        for cause in each.causes:
            causes.setdefault(cause, len(causes))
    return causes


def _covariance(predicted: list[Prediction], active: NDArray[np.bool_], jacobian: Floats) -> Floats:
    """C = D + J Jᵀ, unit rows where a reading is not expected in range."""
    covariance = jacobian @ jacobian.transpose(0, 2, 1)
    own = np.column_stack([each.own for each in predicted])
    place = np.arange(active.shape[1])
    covariance[:, place, place] += np.where(active, own, 1.0)
    return covariance


def _jacobian(predicted: list[Prediction], active: NDArray[np.bool_]) -> Floats:
    """J, shape (hypotheses, readings, causes + 2); the last two are the magnitudes' cells."""
    causes = _places(predicted)
    hypotheses, count = active.shape
    jacobian = np.zeros((hypotheses, count, len(causes) + 2))
    for i, each in enumerate(predicted):
        jacobian[:, i, [causes[cause] for cause in each.causes]] = each.shared
        jacobian[:, i, -2], jacobian[:, i, -1] = each.cell1, each.cell2
    jacobian *= active[:, :, None]
    return jacobian


def _inverse(covariance: Floats) -> tuple[Floats, Floats]:
    """Inverse and log-determinant of each; unit rows add nothing to the determinant."""
    root = np.linalg.cholesky(covariance)
    log_det: Floats = 2.0 * np.log(np.einsum("hii->hi", root)).sum(axis=1)
    return np.asarray(np.linalg.inv(covariance), dtype=np.float64), log_det


def _log_sum(values: Floats) -> Floats:
    """Logarithm of the sum of exponentials over the last axis."""
    top = values.max(axis=-1)
    total: Floats = top + np.log(np.exp(values - top[..., None]).sum(axis=-1))
    return total


def alone(observed: Observed, predicted: Prediction, slips: Slips) -> Floats:
    """Log-likelihood of one reading by itself, shape (hypotheses,)."""
    term = over_range_terms(observed, predicted, slips)
    if observed.over:
        return term
    variance = predicted.variance
    inside = -0.5 * ((observed.z - predicted.z) ** 2 / variance + np.log(2 * np.pi * variance))
    inside = np.logaddexp(inside, log(slips.stray / Z_RANGE[observed.quantity]))
    return term + np.where(predicted.over, 0.0, inside)

"""One reading held against the sound loom and every single fault."""

from __future__ import annotations

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.diagnosis.likelihood import Observed, Slips, alone
from loomwright.diagnosis.model import Model, Probe
from loomwright.diagnosis.prediction import Prediction, Predictor
from loomwright.diagnosis.scale import to_z

SEEN = 0.03
"""Change in standard uncertainties below which a reading does not see a fault."""


@attrs.frozen(eq=False)
class Taken:
    """One reading with what every single hypothesis says of it.

    Attributes
    ----------
    probe, observed, predictor : the reading
    predicted : the different things that single faults say of it, the sound loom's first
    typical : variance in range: the sound loom's where it is, else the usual one of the faults
    row : which of them each cell of each single fault says, shape (singles,)
    alone : log-likelihood by this reading alone, shape (singles,)
    moved : cells that change the reading by more than a trifle, shape (singles,)
    seen : faults with such a cell, shape (faults,)
    """

    probe: Probe
    observed: Observed
    predictor: Predictor
    predicted: Prediction
    typical: float
    row: NDArray[np.int64]
    alone: Floats
    moved: NDArray[np.bool_]
    seen: NDArray[np.bool_]

    @classmethod
    def of(cls, model: Model, probe: Probe, *, value: float, slips: Slips) -> Taken:
        """A reading of so much [ohm or V, infinite for over-range] held against all singles."""
        predictor = Predictor(model, probe)
        predicted, row = predictor.compact(model.singles)
        over = bool(np.isinf(value))
        observed = Observed(
            z=0.0 if over else float(to_z(probe.quantity, np.array(value))),
            over=over,
            quantity=probe.quantity,
            limit_z=float(to_z(probe.quantity, np.array(predictor.meter.limit))),
        )
        sigma = float(np.sqrt(predicted.variance[0]))
        changed = np.abs(predicted.z - predicted.z[0]) > SEEN * sigma
        moved = (predicted.over != predicted.over[0]) | (changed & ~predicted.over)
        seen = np.zeros(len(model.faults), bool)
        seen[model.singles.fault1[1:][moved[row][1:]]] = True
        lone = alone(observed, predicted, slips)[row]
        return cls(
            probe, observed, predictor, predicted, _typical(predicted),
            row, lone, moved[row], seen,
        )  # fmt: skip


def _typical(predicted: Prediction) -> float:
    inside = ~predicted.over
    if inside[0]:
        return float(predicted.variance[0])
    return float(np.median(predicted.variance[inside])) if inside.any() else 1e-3

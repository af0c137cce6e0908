"""What is believed after the readings, and what of it may be claimed."""

from __future__ import annotations

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.circuit.configuration import Floats
from loomwright.diagnosis.model import Hypotheses

CLAIM = 0.95
CONFIRMED = 0.1
"""A claim must keep this probability with any one reading left out."""
LIKELIER = 0.5
"""The place that is claimed must be likelier than not, beyond an item of it being at fault."""


@attrs.frozen(eq=False)
class Posterior:
    """What is believed after the readings.

    Attributes
    ----------
    sound, unmodelled : probabilities
    hypotheses, probability : explicit fault sets and their probabilities; the sound loom is left
        out, a single stands also for all pairs whose second fault no reading can show
    fault : probability that each fault is present, shape (faults,)
    hidden : the part of it in which the readings are those of a sound loom, shape (faults,)
    unseen : that part, and the one that leaves the readings as another fault has them, (faults,)
    place : probability that something is wrong at each place, shape (places,)
    place_without : the same with one reading left out, shape (readings, places)
    sure : probability that an item of the likeliest place is at fault (`Diagnosis.sharing`)
    sure_without : the same with one reading left out, shape (readings,)
    discarded : upper bound on the probability of pairs that were bounded away
    slip : probability that each reading has nothing to do with the circuit, shape (readings,)
    doubted : the posterior without the reading that alone carries a claim, where there is one
    left_out : in such a posterior, the number of that reading
    """

    sound: float
    unmodelled: float
    hypotheses: Hypotheses
    probability: Floats
    fault: Floats
    hidden: Floats
    unseen: Floats
    place: Floats
    place_without: Floats = attrs.field(factory=lambda: np.zeros((0, 0)))
    sure: float = 0.0
    sure_without: Floats = attrs.field(factory=lambda: np.zeros(0))
    discarded: float = 0.0
    slip: Floats = attrs.field(factory=lambda: np.zeros(0))
    doubted: Posterior | None = None
    left_out: int | None = None

    @property
    def best(self) -> int | None:
        """The likeliest place, None for a loom without any."""
        return int(np.argmax(self.place)) if len(self.place) else None

    def any_of(self, faults: NDArray[np.bool_]) -> float:
        """Probability that some of the faults is present; `faults` has shape (faults,)."""
        padded, h = np.append(faults, False), self.hypotheses
        shown = self.probability[padded[h.fault1] | padded[h.fault2]].sum()
        return min(1.0, float(shown + self.unseen[faults].sum()))

    @property
    def weakest(self) -> int | None:
        """The reading that alone carries what could be claimed; None when none does."""
        if not self._claimable:
            return None
        without = self.sure_without
        return int(np.argmin(without)) if without.min() <= CONFIRMED else None

    @property
    def claimed(self) -> int | None:
        """The place that may be claimed: likely enough, and no single reading carries it alone."""
        return self.best if self._claimable and self.weakest is None else None

    @property
    def _claimable(self) -> bool:
        best = self.best
        if best is None or not len(self.sure_without):
            return False
        return self.sure >= CLAIM and float(self.place[best]) >= LIKELIER

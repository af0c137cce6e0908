"""Which readings speak for a suspect and which against it, and whether the complaint does."""

from __future__ import annotations

import attrs
import numpy as np

from loomwright import standards
from loomwright.diagnosis import NONE, Hypotheses, Posterior, Prediction
from loomwright.diagnosis.complaint import complaint_of
from loomwright.diagnosis.likelihood import alone
from loomwright.diagnosis.scale import from_z
from loomwright.services.diagnose import Diagnosed
from loomwright.services.numbers import shown

_TELLING = 1.5  # nats
_MOST = 4


@attrs.frozen(kw_only=True)
class Reason:
    """What one reading says of one suspect.

    Attributes
    ----------
    reading : its name
    value : what was read [ohm or V]
    without : range it would have without this fault, as text
    suspect : range the suspect gives at its best, as text
    nats : how strongly it speaks, positive for the suspect
    """

    reading: str
    quantity: str
    value: float
    without: str
    suspect: str
    nats: float

    @property
    def sentence(self) -> str:
        """`R11 reads 431 Ω; without this fault: 276 Ω to 340 Ω; with it: 379 Ω to 452 Ω`."""
        value = shown(self.value, self.quantity)
        return f"{self.reading} reads {value}; without it: {self.without}; with it: {self.suspect}"


def reasons(
    found: Diagnosed, posterior: Posterior, place: int
) -> tuple[tuple[Reason, ...], tuple[Reason, ...]]:
    """The readings that speak most clearly for something wrong at a place, and those against.

    Each reading is judged by itself: the likeliest hypothesis with the fault against the same
    without it.
    """
    diagnosis = found.diagnosis
    best = _best(posterior, diagnosis.place_of, place)
    if best is None:
        return (), ()
    h = posterior.hypotheses[np.array([best])]
    without = _without(h, diagnosis.place_of, place, diagnosis.model.singles[:1])
    both = Hypotheses.joined([without, h])
    said = []
    for reading, taken in zip(found.used, diagnosis.taken, strict=True):
        predicted = taken.predictor.predict(both)
        alone_without, alone_with = alone(taken.observed, predicted, diagnosis.slips).tolist()
        said.append(
            Reason(
                reading=str(reading.reading),
                quantity=reading.quantity,
                value=reading.value,
                without=_range(predicted, 0, reading.quantity),
                suspect=_range(predicted, 1, reading.quantity),
                nats=alone_with - alone_without,
            )
        )
    said.sort(key=lambda reason: -abs(reason.nats))
    return (
        tuple([reason for reason in said if reason.nats > _TELLING][:_MOST]),
        tuple([reason for reason in said if reason.nats < -_TELLING][:_MOST]),
    )


def from_complaint(found: Diagnosed, posterior: Posterior, place: int) -> str:
    """How the complaint speaks for a suspect at its likeliest; empty when it does not."""
    complaint = complaint_of(found.diagnosis.model)
    best = _best(posterior, found.diagnosis.place_of, place)
    if complaint is None or best is None:
        return ""
    h, place_of = posterior.hypotheses, found.diagnosis.place_of
    first = place_of[h.fault1[best]] == place
    spoken = complaint.speaks_for(int(h.fault1[best] if first else h.fault2[best]))
    if not spoken:
        return ""
    symptom, effect = spoken[0]
    words = standards.all_effects()[effect].words
    return f'the complaint "{symptom}" speaks for it: with it {words}'


def _best(posterior: Posterior, place_of: np.ndarray, place: int) -> int | None:
    """The likeliest hypothesis with something wrong at the place."""
    h = posterior.hypotheses
    padded = np.append(place_of, NONE)
    here = (padded[h.fault1] == place) | (padded[h.fault2] == place)
    if not here.any():
        return None
    mass = np.where(here, posterior.probability, -1.0)
    return int(np.argmax(mass))


def _without(h: Hypotheses, place_of: np.ndarray, place: int, sound: Hypotheses) -> Hypotheses:
    """The same hypothesis with the fault at the place taken away."""
    if h.fault2[0] == NONE:
        return sound
    first = place_of[h.fault1[0]] == place
    kept = (h.fault2, h.magnitude2, h.width2) if first else (h.fault1, h.magnitude1, h.width1)
    return Hypotheses(*kept, sound.fault2, sound.magnitude2, sound.width2, h.log_prior)


def _range(predicted: Prediction, row: int, quantity: str) -> str:
    if predicted.over[row]:
        return "OL"
    spread = 2.0 * float(np.sqrt(predicted.variance[row]))
    low, high = (float(from_z(quantity, predicted.z[row] + step)) for step in (-spread, spread))
    low = max(low, 0.0) if quantity == "ohm" else low
    return f"{shown(low, quantity)} to {shown(high, quantity)}"

"""What the owner's complaint says of each fault before anything is read.

For a symptom that speaks for an effect with the factor f, a fault that has the effect in the share
s of its cells of magnitude is 1 + (f - 1) s times as likely, the mean of f and 1 over its cells. Of
the effects of one symptom the strongest counts, several symptoms multiply, and the product is
capped:

    factor = min(cap, prod over symptoms of max over effects of (1 + (f - 1) s))

so that readings overrule a complaint that leads astray. Swapped cavities, whose effects are not
worked out, get the mean factor of all others: the complaint leaves their share as it was.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

import attrs
import numpy as np

from loomwright import standards
from loomwright.circuit.configuration import Floats
from loomwright.diagnosis.effects import shares
from loomwright.diagnosis.priors import own_figures

if TYPE_CHECKING:
    from loomwright.diagnosis.model import Model

_TELLING = 1.2


@attrs.frozen(eq=False)
class Complaint:
    """What a job's symptoms say of its faults.

    Attributes
    ----------
    factor : multiplier of each fault's weight, 1 to the cap, shape (faults,)
    by_effect : per symptom and effect the factor of each fault, 1 and above, shape (faults,)
    """

    factor: Floats
    by_effect: Mapping[tuple[str, str], Floats]

    def speaks_for(self, fault: int) -> tuple[tuple[str, str], ...]:
        """Symptom and effect of all that make a fault likelier by a fifth, the strongest first."""
        found = [
            (float(factor[fault]), key)
            for key, factor in self.by_effect.items()
            if factor[fault] > _TELLING
        ]
        return tuple(key for _, key in sorted(found, key=lambda each: -each[0]))


_KNOWN: WeakKeyDictionary[Model, Complaint] = WeakKeyDictionary()


def complaint_of(model: Model) -> Complaint | None:
    """What the complaint says, worked out once for a model; None where no symptom is given.

    Raises
    ------
    NotFound : a symptom is not in the table
    """
    symptoms = dict.fromkeys(model.job.about.symptoms)
    if not symptoms or not model.faults:
        return None
    if model not in _KNOWN:
        _KNOWN[model] = _complaint(model, tuple(symptoms))
    return _KNOWN[model]


def complaint_factor(model: Model) -> Floats | float:
    """Multiplier of each fault's weight, shape (faults,); 1 where no symptom is given."""
    complaint = complaint_of(model)
    return 1.0 if complaint is None else complaint.factor


def combined(by_effect: Mapping[tuple[str, str], Floats], cap: float) -> Floats:
    """The strongest effect of each symptom, all symptoms multiplied, at most `cap`.

    Examples
    --------
    >>> combined({("a", "x"): np.array([3.0, 1.0]), ("a", "y"): np.array([2.0, 2.0])}, 8.0).tolist()
    [3.0, 2.0]
    """
    symptoms: dict[str, Floats] = {}
    for (symptom, _), factor in by_effect.items():
        symptoms[symptom] = np.maximum(symptoms.get(symptom, factor), factor)
    found: Floats = np.minimum(np.prod(list(symptoms.values()), axis=0), cap)
    return found


def _complaint(model: Model, symptoms: tuple[str, ...]) -> Complaint:
    rows = [row for symptom in symptoms for row in standards.symptom_factors(symptom)]
    effects, own = standards.all_effects(), own_figures(model.job)
    found = {}
    for when in dict.fromkeys(row.when for row in rows):
        here = [row for row in rows if row.when == when]
        wanted = {row.effect: effects[row.effect].least for row in here}
        share = shares(model, when, wanted)
        for row in here:
            factor = own.get(row.name, row.factor)
            found[row.symptom, row.effect] = 1.0 + (factor - 1.0) * share[row.effect]
    total = combined(found, max(model.values["complaint_cap"], 1.0))
    known = ~np.isnan(total)
    weight = np.array([fault.weight for fault in model.faults])
    usual = np.average(total[known], weights=weight[known]) if known.any() else 1.0
    return Complaint(np.where(known, total, usual), found)

"""A plan that certifies a sound loom: readings that would show a fault, if there were one.

Looking for *the* fault and showing that there is none are different jobs: the first asks the
reading that splits the suspects best, the second the one that shows most of what no reading could
show so far. Here a fault counts as covered, cell by cell of its magnitude, when a reading would
stray from the sound loom's by three standard uncertainties, or turn to or from over-range.
"""

from __future__ import annotations

from collections import defaultdict

import attrs
import numpy as np

from loomwright.circuit.configuration import Floats
from loomwright.diagnosis.admissible import Admissible, Candidate, Situation
from loomwright.diagnosis.gain import Outcomes, Sample, outcomes
from loomwright.diagnosis.model import Hypotheses, Setting
from loomwright.diagnosis.weighing import Diagnosis

_STRAY = 3.0
_MOST_CELLS = 4000
_LEAST = 1e-3


@attrs.frozen
class CoverStep:
    """One reading of the plan and the share of faults covered once it is taken."""

    candidate: Candidate
    coverage: float


def covered(diagnosis: Diagnosis) -> Floats:
    """Per cell of every single fault (the sound loom first) whether a reading taken covers it."""
    found = np.zeros(len(diagnosis.model.singles))
    for taken in diagnosis.taken:
        predicted = taken.predicted
        sigma = np.sqrt(predicted.variance[0])
        stray = np.abs(predicted.z - predicted.z[0]) > _STRAY * sigma
        shown = np.where(
            predicted.over | predicted.over[0], predicted.over != predicted.over[0], stray
        )
        found = np.maximum(found, shown[taken.row])
    return found


def coverage(diagnosis: Diagnosis) -> float:
    """Share of the modelled single faults, by prior weight, that the readings would have shown."""
    weight = _weight(diagnosis)
    return float(covered(diagnosis) @ weight / weight.sum()) if weight.sum() > 0 else 0.0


def cover_plan(diagnosis: Diagnosis, now: Situation, most: int) -> list[CoverStep]:
    """The readings that cover most weight per minute, one after the other.

    Parameters
    ----------
    diagnosis : the readings so far
    now : where things stand
    most : how many readings the plan may have
    """
    model, admissible = diagnosis.model, Admissible(diagnosis.model)
    weight = _weight(diagnosis)
    open_weight = weight * (1.0 - covered(diagnosis))
    cells = np.argsort(-open_weight, kind="stable")[:_MOST_CELLS]
    cells = cells[open_weight[cells] > 0]
    if not len(cells):
        return []
    sample = _sample(model.singles[cells], open_weight[cells])
    shows, candidates = _shown(diagnosis, admissible, sample, now)
    left = open_weight[cells] / weight.sum()
    reached = 1.0 - float(open_weight.sum() / weight.sum())
    steps: list[CoverStep] = []
    while len(steps) < most and len(candidates):
        minutes = np.array([admissible.candidate(c.probe, now).minutes for c in candidates])
        gain = shows @ left
        best = int(np.argmax(gain / minutes))
        if gain[best] < _LEAST:
            break
        reached += float(gain[best])
        chosen = attrs.evolve(candidates[best], minutes=float(minutes[best]))
        steps.append(CoverStep(chosen, reached))
        left = left * ~shows[best]
        now = attrs.evolve(
            now,
            state=chosen.probe.setting.as_state,
            opened=now.opened | chosen.probe.setting.unplugged,
            touched=now.touched | {chosen.probe.plus.owner, chosen.probe.minus.owner},
        )
    return steps


def _weight(diagnosis: Diagnosis) -> Floats:
    weight = np.exp(diagnosis.model.singles.log_prior)
    weight[0] = 0.0
    return weight


def _sample(h: Hypotheses, weight: Floats) -> Sample:
    everyone = np.arange(len(h))
    return Sample(h, weight / weight.sum(), everyone, len(h), None)


def _shown(
    diagnosis: Diagnosis, admissible: Admissible, sample: Sample, now: Situation
) -> tuple[np.ndarray, list[Candidate]]:
    """Which candidates would show which cells, shape (candidates, cells)."""
    plugs = sorted(admissible.access, key=lambda plug: admissible.access[plug])
    groups: dict[tuple[Setting, str], list[Candidate]] = defaultdict(list)
    for candidate in admissible.candidates(now, plugs):
        groups[(candidate.probe.setting, candidate.probe.quantity)].append(candidate)
    rows, kept = [], []
    for candidates in groups.values():
        found = outcomes(diagnosis.model, [c.probe for c in candidates], sample)
        shown = _strays(found, len(sample.probability))
        useful = np.flatnonzero(shown.any(axis=1))
        rows.append(shown[useful])
        kept += [candidates[i] for i in useful]
    cells = len(sample.probability)
    return (np.vstack(rows) if rows else np.zeros((0, cells), bool)), kept


def _strays(found: Outcomes, cells: int) -> np.ndarray:
    shown = np.zeros((len(found.z0), cells), bool)
    test = found.test
    away = np.abs(found.z - found.z0[test]) > _STRAY * found.sigma[test]
    either = found.over | found.over0[test]
    shown[test, found.member] = np.where(either, found.over != found.over0[test], away)
    return shown

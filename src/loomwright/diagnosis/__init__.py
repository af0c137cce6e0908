"""Faults, priors, likelihood, posterior, next reading, harm gate.

Imports loom, standards, physics, circuit. Start reading in `faults` (what can be wrong), then
`prediction`, `likelihood`, `weighing`, and `next_reading`.
"""

from loomwright.diagnosis.admissible import Admissible, Candidate, Situation
from loomwright.diagnosis.coverage import CoverStep, cover_plan, coverage
from loomwright.diagnosis.faults import Fault
from loomwright.diagnosis.model import NONE, Hypotheses, Model, Probe, Setting
from loomwright.diagnosis.next_reading import Advisor, Suggestion, should_stop
from loomwright.diagnosis.places import Place
from loomwright.diagnosis.posterior import Posterior
from loomwright.diagnosis.prediction import Prediction, Predictor
from loomwright.diagnosis.priors import Totals, Weights
from loomwright.diagnosis.taken import Taken
from loomwright.diagnosis.weighing import Diagnosis

__all__ = [
    "NONE",
    "Admissible",
    "Advisor",
    "Candidate",
    "CoverStep",
    "Diagnosis",
    "Fault",
    "Hypotheses",
    "Model",
    "Place",
    "Posterior",
    "Prediction",
    "Predictor",
    "Probe",
    "Setting",
    "Situation",
    "Suggestion",
    "Taken",
    "Totals",
    "Weights",
    "cover_plan",
    "coverage",
    "should_stop",
]

"""Loom + state -> network -> what a meter reads, with none, one or two faults.

Imports loom, standards, physics. Start reading in `network` (nodes and edges), `configuration`
(ohms in one state), `solver` (the loop form) and `reading` (the closed forms for faults).
"""

from loomwright.circuit.assumptions import Assumptions
from loomwright.circuit.configuration import Configuration, Curve, configure, curves_of
from loomwright.circuit.network import METAL, POST, Edge, Network
from loomwright.circuit.ports import Ports
from loomwright.circuit.reading import NO_FAULT, Bench, Outcome, Scenarios
from loomwright.circuit.solver import Solved, solve, solve_arrays

__all__ = [
    "METAL",
    "NO_FAULT",
    "POST",
    "Assumptions",
    "Bench",
    "Configuration",
    "Curve",
    "Edge",
    "Network",
    "Outcome",
    "Ports",
    "Scenarios",
    "Solved",
    "configure",
    "curves_of",
    "solve",
    "solve_arrays",
]

"""The scale on which readings are compared, and what a meter adds to them.

Ohms are compared as z = ln(1 + R/R0): below R0 differences count in ohms, above it in percent, so
an error has about the same width over nine decades. Volts are compared as they are.
"""

from __future__ import annotations

from math import sqrt

import attrs
import numpy as np

from loomwright.circuit import Assumptions
from loomwright.circuit.configuration import Floats
from loomwright.loom import Job

R0_OHM = 5.0
Z_RANGE = {"ohm": 16.0, "volt": 30.0}
"""Range over which a reading that has nothing to do with the circuit may fall, in z."""

SPOT = {"ohm": 0.01, "volt": 0.02}
"""Spread in z that stays the same when a reading is repeated: what the model leaves out there."""


def to_z(quantity: str, value: Floats) -> Floats:
    """z of a reading [ohm or V]; infinite stays infinite."""
    if quantity == "volt":
        return np.asarray(value, dtype=float)
    z: Floats = np.log1p(np.maximum(np.asarray(value, dtype=float), 0.0) / R0_OHM)
    return z


def from_z(quantity: str, z: Floats) -> Floats:
    """The reading [ohm or V] at z."""
    return np.asarray(z, dtype=float) if quantity == "volt" else R0_OHM * np.expm1(z)


def z_slope(quantity: str, value: Floats) -> Floats:
    """dz/dvalue [1/ohm or 1/V]."""
    if quantity == "volt":
        return np.ones_like(np.asarray(value, dtype=float))
    return 1.0 / (R0_OHM + np.asarray(value, dtype=float))


@attrs.frozen(eq=False)
class Meter:
    """A meter's ranges for one quantity, smallest first.

    Attributes
    ----------
    name : name in the job, "" when the reading names none
    full_scale, percent, step : per range: largest value, percent of reading, counts times the
        value of a count [ohm or V]
    offset, offset_spread : lead resistance contained in the values and its spread [ohm]
    stated : whether the job gives a specification
    """

    name: str
    quantity: str
    full_scale: Floats
    percent: Floats
    step: Floats
    offset: float
    offset_spread: float
    stated: bool

    @property
    def limit(self) -> float:
        """Largest value the meter shows before over-range."""
        return float(self.full_scale[-1])

    def range_of(self, value: Floats) -> np.ndarray:
        """The range an auto-ranging meter would use."""
        place = np.searchsorted(self.full_scale, np.abs(value))
        return np.minimum(place, len(self.full_scale) - 1)

    def gain_spread(self, value: Floats) -> Floats:
        """Standard uncertainty that every reading shares [ohm or V]: the percent part."""
        spread: Floats = self.percent[self.range_of(value)] / 100 * np.abs(value) / sqrt(3.0)
        return spread

    def own_spread(self, value: Floats, probe_spread: float) -> Floats:
        """Standard uncertainty of one reading alone [ohm or V]: counts and probe tips."""
        spread: Floats = np.hypot(self.step[self.range_of(value)] / sqrt(3.0), probe_spread)
        return spread


def meter_of(job: Job, name: str | None, quantity: str, assume: Assumptions) -> Meter:
    """The meter a reading was taken with; a general one where the job has no such row.

    A meter without specification gets the assumed percent and counts.
    """
    rows = [row for row in job.meters if row.meter == name and row.quantity == quantity]
    if not rows:
        top = assume.ohmmeter_limit_ohm if quantity == "ohm" else 400.0
        scale = top / 10.0 ** np.arange(5 if quantity == "ohm" else 2, -1.0, -1.0)
        step = assume.meter_counts * scale / assume.meter_full_scale_counts
        unknown = assume.leads_ohm / 2 if quantity == "ohm" else 0.0
        percent = np.full(len(scale), assume.meter_percent)
        return Meter("", quantity, scale, percent, step, unknown, unknown, stated=False)
    rows.sort(key=lambda row: row.full_scale)
    percents, steps = [], []
    for row in rows:
        count = row.resolution or row.full_scale / assume.meter_full_scale_counts
        counts = assume.meter_counts if row.counts is None else row.counts
        percents.append(assume.meter_percent if row.percent is None else row.percent)
        steps.append(max(counts, 0.5) * count)
    leads = next((row.leads_ohm for row in rows if row.leads_ohm is not None), 0.0)
    return Meter(
        name or "",
        quantity,
        np.array([row.full_scale for row in rows]),
        np.array(percents, dtype=float),
        np.array(steps),
        leads if quantity == "ohm" else 0.0,
        assume.leads_ohm / 4 if quantity == "ohm" else 0.0,
        stated=True,
    )

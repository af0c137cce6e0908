"""Before and after: whether the readings after the work show that it helped.

Each reading is set against what a sound loom would read at its own temperature; what it is off by
is compared before and after. What both share (the meter's gain, the parts) cancels, temperatures
and the supply of two days do not:

    change = (after - expected after) - (before - expected before)
    u² = own² + own'² + Σ shared (J' - J)² + Σ others (J'² + J²)

Source: JCGM 100:2008 (GUM), 5.2.2, the law of propagation with correlated inputs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import attrs
import numpy as np

from loomwright.diagnosis import Model, Predictor, Probe
from loomwright.diagnosis.scale import from_z, z_slope
from loomwright.loom import TEMPERATURE_KEYS, Job, Reading
from loomwright.services.diagnose import unusable
from loomwright.services.expect import Expectation, expectation
from loomwright.services.numbers import plain

_COVER = 2.0  # a change counts when it is about 95 percent sure
IN_ORDER = "as expected"
_OF_ONE_DAY = ("temperature ", "supply", "inner supply ")


@attrs.frozen(kw_only=True)
class Proof:
    """One reading after the work, beside the one before it.

    Attributes
    ----------
    after : it, with the band of a sound loom
    before : the same points in the same state before the work, with its band; None without one
    change : change of what it is off by [ohm or V], None where one side is over-range
    uncertainty : of that change, two standard uncertainties
    verdict : `better`, `same`, `worse`, `not shown`, or `in order` and `not in order` without a
        reading before
    """

    after: Expectation
    before: Expectation | None
    change: float | None
    uncertainty: float | None
    verdict: str

    def json(self) -> dict[str, Any]:
        """The row as the documented JSON."""
        return {
            "after": self.after.json(),
            "before": None if self.before is None else self.before.json(),
            "change": None if self.change is None else plain(self.change, 3),
            "uncertainty": None if self.uncertainty is None else plain(self.uncertainty, 2),
            "verdict": self.verdict,
        }


@attrs.frozen(kw_only=True)
class ProveReport:
    """What the readings after the work show.

    Attributes
    ----------
    proofs : a row per reading after the work
    unproved : names of readings before it that were not in order and were not taken again
    set_aside : readings that say nothing reliable, each with the reason
    """

    job: str
    proofs: tuple[Proof, ...]
    unproved: tuple[str, ...]
    set_aside: tuple[tuple[str, str], ...]

    @property
    def proved(self) -> bool:
        """Whether all that was not in order is in order now, and nothing has become worse."""
        return bool(self.proofs) and not (self.unproved or self.set_aside or self.still_open)

    @property
    def still_open(self) -> tuple[str, ...]:
        """Names of readings after the work that are not in order, or show no change."""
        return tuple(
            proof.after.reading or ""
            for proof in self.proofs
            if proof.after.verdict != IN_ORDER or proof.verdict == "not shown"
        )

    @property
    def verdict(self) -> str:
        """The whole in a sentence."""
        if not self.proofs:
            return "Nothing was measured after the work yet."
        return "All in order now." if self.proved else "Not all is proved yet."

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "proved": self.proved,
            "proofs": [proof.json() for proof in self.proofs],
            "unproved": list(self.unproved),
            "set_aside": [{"reading": name, "reason": why} for name, why in self.set_aside],
        }


def prove(job: Job, *, model: Model | None = None) -> ProveReport:
    """Compare the readings of `proof` with those before the work.

    `model` is the loom's, where it is already made.
    """
    model = model or Model(job)
    aside = [
        (str(reading.reading), why)
        for reading in (*job.readings, *job.proof)
        if (why := unusable(model, reading))
    ]
    usable = [reading for reading in job.readings if not unusable(model, reading)]
    again = [reading for reading in job.proof if not unusable(model, reading)]
    proofs, met = [], set()
    for after in again:
        before = _counterpart(after, usable)
        met |= {before.reading} if before is not None else set()
        proofs.append(_proof(model, before, after))
    left = (
        str(reading.reading)
        for reading in usable
        if reading.reading not in met and expectation(model, reading).verdict != IN_ORDER
    )
    return ProveReport(
        job=job.about.title, proofs=tuple(proofs), unproved=tuple(left), set_aside=tuple(aside)
    )


def _counterpart(after: Reading, readings: list[Reading]) -> Reading | None:
    """The reading of the same points in the same state; the one nearest in temperature."""
    alike = [reading for reading in readings if _setting(reading) == _setting(after)]
    named = [reading for reading in alike if reading.reading == after.reading]
    return min(named or alike, key=lambda each: _apart_k(each, after), default=None)


def _setting(reading: Reading) -> tuple[object, ...]:
    points = (reading.plus, reading.minus)
    held = {k: v for k, v in reading.state.settings.items() if k not in TEMPERATURE_KEYS}
    return (
        reading.quantity,
        frozenset(points) if reading.quantity == "ohm" else points,
        frozenset(reading.unplugged),
        frozenset(held.items()),
    )


def _apart_k(one: Reading, other: Reading) -> float:
    """How far two readings are apart in temperature, all stated ones together [K]."""
    first, second = one.state.settings, other.state.settings
    return sum(
        abs(float(first[key]) - float(second[key]))
        for key in TEMPERATURE_KEYS
        if key in first and key in second
    )


def _proof(model: Model, before: Reading | None, after: Reading) -> Proof:
    now = expectation(model, after)
    if before is None:
        verdict = "in order" if now.verdict == IN_ORDER else "not in order"
        return Proof(after=now, before=None, change=None, uncertainty=None, verdict=verdict)
    then = expectation(model, before)
    values = (before.value, then.nominal, after.value, now.nominal)
    if any(math.isinf(value) for value in values):
        return Proof(
            after=now, before=then, change=None, uncertainty=None, verdict=_by_range(then, now)
        )
    off_then, off_now = before.value - then.nominal, after.value - now.nominal
    spread = _COVER * math.sqrt(_variance(model, before, after))
    return Proof(
        after=now,
        before=then,
        change=off_now - off_then,
        uncertainty=spread,
        verdict=_verdict(then, now, closer=abs(off_then) - abs(off_now), spread=spread),
    )


def _by_range(then: Expectation, now: Expectation) -> str:
    """Where over-range stands on one side: what counts is which of them is in order."""
    was, is_now = then.verdict == IN_ORDER, now.verdict == IN_ORDER
    if was == is_now:
        return "same" if was else "not shown"
    return "better" if is_now else "worse"


def _verdict(then: Expectation, now: Expectation, *, closer: float, spread: float) -> str:
    was, is_now = then.verdict == IN_ORDER, now.verdict == IN_ORDER
    if was and is_now:
        return "same"
    if abs(closer) <= spread:
        return "not shown"
    return "better" if closer > 0 else "worse"


def _variance(model: Model, before: Reading, after: Reading) -> float:
    """Variance of the change [ohm² or V²]."""
    (own, causes), (own_now, causes_now) = (
        _uncertainties(model, reading) for reading in (before, after)
    )
    same_meter = before.meter == after.meter
    total = own + own_now
    for name in causes.keys() | causes_now.keys():
        one, other = causes.get(name, 0.0), causes_now.get(name, 0.0)
        of_meter = name.startswith(("gain ", "leads"))
        shared = same_meter if of_meter else not name.startswith(_OF_ONE_DAY)
        total += (other - one) ** 2 if shared else other**2 + one**2
    return total


def _uncertainties(model: Model, reading: Reading) -> tuple[float, dict[str, float]]:
    """Variance of a reading alone, and standard uncertainties it shares, by cause."""
    predictor = Predictor(model, Probe.of(reading))
    sound = predictor.predict(model.singles[:1])
    nominal = from_z(reading.quantity, sound.z)
    slope = float(z_slope(reading.quantity, nominal)[0])
    causes = {
        name: float(part) / slope for name, part in zip(sound.causes, sound.shared[0], strict=True)
    }
    assume = model.assume
    spread = assume.probe_spread_ohm if reading.quantity == "ohm" else assume.probe_spread_v
    value = np.array(abs(reading.value))
    meter = predictor.meter
    causes[f"gain {meter.name}"] = float(meter.gain_spread(value))
    return float(meter.own_spread(value, spread)) ** 2, causes


def counted(report: ProveReport) -> Iterator[tuple[str, int]]:
    """How many readings have each verdict, best first."""
    order = ("better", "same", "in order", "not shown", "not in order", "worse")
    verdicts = [proof.verdict for proof in report.proofs]
    return ((word, verdicts.count(word)) for word in order if word in verdicts)


def off_in_bands(row: Expectation) -> float | None:
    """How far a value is off, in half widths of its own band: −1 and +1 are the band's edges.

    So readings at different temperatures stand on one scale. Infinite where over-range stands on
    one side only; 0 where both are over-range; None where nothing was read.
    """
    if row.taken is None:
        return None
    if math.isinf(row.taken) or math.isinf(row.nominal):
        if row.verdict == IN_ORDER:
            return 0.0
        return math.inf if math.isinf(row.taken) else -math.inf
    off = row.taken - row.nominal
    half = row.high - row.nominal if off > 0 else row.nominal - row.low
    if off == 0.0:
        return 0.0
    return off / half if half > 0.0 else math.copysign(math.inf, off)

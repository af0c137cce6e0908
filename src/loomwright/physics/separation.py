"""Which of three causes spoils a sensor circuit: series resistance, a leak, or the sensor itself.

A bad contact adds ohms and matters hot; bad insulation leaks and matters cold; a bad sensor is
off everywhere. Readings at two temperatures or more tell them apart, one cause at a time;
three or more also allow pairs of causes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from itertools import product
from typing import TypeAlias

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.loom.errors import OutOfRange
from loomwright.physics.apparent_temperature import Curve, circuit_resistance
from loomwright.physics.bounded_fit import chance_of_worse, fit_within
from loomwright.physics.quantities import Number, Result, kelvin, possible

Vector: TypeAlias = NDArray[np.float64]

CAUSES = ("series", "leak", "shift")
SINGLE = (("series",), ("leak",), ("shift",))
PAIRS = (("series", "leak"), ("series", "shift"), ("leak", "shift"))

WEIGHT_PASSES = 6
"""Fits after which the weights, which depend on the fit through the slope, stand still."""

MOST_STARTS = 2
"""Starts worth a fit, the most promising first."""

SHIFT_LIMIT_K = 120.0
"""A sensor further off than this is another sensor, not a shifted one."""

SLOPE_STEP_K = 0.05
"""Half the step of the slope; small against a degree, large against rounding."""


@attrs.frozen(kw_only=True)
class CircuitReadings:
    """Readings of one thermistor circuit.

    Attributes
    ----------
    ohm : resistances read [Ω], shape (n,), n of 2 or more
    ohm_uncertainty : their standard uncertainties [Ω], one or shape (n,)
    temperature_c : temperatures by a thermometer [°C], shape (n,)
    temperature_uncertainty_k : their standard uncertainties [K], one or shape (n,)

    Raises
    ------
    OutOfRange : fewer than two readings, an open circuit, an uncertainty not above 0
    """

    ohm: Vector
    ohm_uncertainty: Vector
    temperature_c: Vector
    temperature_uncertainty_k: Vector

    @classmethod
    def of(
        cls,
        ohm: Number,
        temperature_c: Number,
        *,
        ohm_uncertainty: Number,
        temperature_uncertainty_k: Number,
    ) -> CircuitReadings:
        """Checked readings from lists, arrays or, for the uncertainties, single numbers."""
        resistance = np.atleast_1d(possible("resistance", ohm, "Ω", above=0))
        possible("1 / resistance", 1 / resistance, "S", above=0)
        kelvin(temperature_c)
        celsius = np.atleast_1d(np.asarray(temperature_c, dtype=np.float64))
        if resistance.shape != celsius.shape or resistance.ndim != 1 or resistance.size < 2:
            raise OutOfRange(
                f"{resistance.size} resistances with {celsius.size} temperatures",
                where="sensor circuit",
                expected="give two readings or more, each with its temperature",
            )
        doubt = possible("uncertainty of the resistance", ohm_uncertainty, "Ω", above=0)
        doubt_k = possible(
            "uncertainty of the temperature", temperature_uncertainty_k, "K", at_least=0
        )
        return cls(
            ohm=resistance,
            ohm_uncertainty=np.broadcast_to(doubt, resistance.shape),
            temperature_c=celsius,
            temperature_uncertainty_k=np.broadcast_to(doubt_k, resistance.shape),
        )


@attrs.frozen(kw_only=True)
class Explanation:
    """One set of causes fitted to the readings.

    Attributes
    ----------
    causes : which of `series`, `leak`, `shift` are let free; empty for a sound circuit
    series_ohm, series_sd : resistance in the wires and its standard uncertainty [Ω]
    leak_siemens, leak_sd : conductance across the sensor and its standard uncertainty [S]
    shift_k, shift_sd : how much warmer the sensor behaves than it is, and its uncertainty [K]
    chi_square : weighted sum of squared misfits
    freedom : readings less causes
    p_value : chance of so bad a fit or worse when the causes are right; None without freedom
    log_likelihood : of the readings at the best fit
    misfits : (reading − fit) / uncertainty, shape (n,)

    A standard uncertainty is 0 for a cause held at nothing, inf where the readings cannot tell.
    """

    causes: tuple[str, ...]
    series_ohm: float
    series_sd: float
    leak_siemens: float
    leak_sd: float
    shift_k: float
    shift_sd: float
    chi_square: float
    freedom: int
    p_value: float | None
    log_likelihood: float
    misfits: tuple[float, ...]

    @property
    def information_criterion(self) -> float:
        """2·k − 2·ln L (Akaike); the smaller, the better the explanation."""
        return 2 * len(self.causes) - 2 * self.log_likelihood

    @property
    def leak_ohm(self) -> float:
        """Resistance across the sensor [Ω], inf for no leak."""
        return 1 / self.leak_siemens if self.leak_siemens > 0 else float("inf")


def separate(readings: CircuitReadings, *, ohm_at: Curve) -> tuple[Explanation, ...]:
    """Fit every explanation that the number of readings allows.

    R(t) = 1 / (1/R_curve(t + δ) + g) + s with s ≥ 0, g ≥ 0, |δ| ≤ 120 K; weights
    1/σ², σ² = u_R² + (dR/dt · u_t)², renewed with the fit

    Parameters
    ----------
    readings : resistances and temperatures with their uncertainties
    ohm_at : the sensor's curve as new, °C to Ω

    Returns
    -------
    explanations, smallest information criterion first: sound, each single cause and, from
    three readings on, each pair

    Raises
    ------
    OutOfRange : the curve gives no resistance at a temperature of the readings

    Notes
    -----
    Effective-variance least squares; the Gaussian log-likelihood holds ln σ², so that fits with
    other weights can be compared. Thermometer errors of different readings are taken as
    independent.

    Examples
    --------
    A sound sensor of the usual curve behind 50 Ω, read at 0 and 80 °C:

    >>> from loomwright.physics.thermistor import ThreeConstants, resistance_steinhart_hart
    >>> coolant = ThreeConstants(1.2823e-3, 2.6310e-4, 1.4497e-7)
    >>> readings = CircuitReadings.of(
    ...     [5938, 374.5], [0, 80], ohm_uncertainty=[20, 2], temperature_uncertainty_k=0.5)
    >>> found = separate(readings, ohm_at=lambda t: resistance_steinhart_hart(t, coolant))
    >>> found[0].causes, round(found[0].series_ohm)
    (('series',), 50)
    """
    allowed = ((), *SINGLE, *(PAIRS if readings.ohm.size >= 3 else ()))
    fits = [_explain(readings, ohm_at, causes) for causes in allowed]
    return tuple(sorted(fits, key=lambda fit: fit.information_criterion))


def expected_resistance(
    temperature_c: Number,
    *,
    ohm_at: Curve,
    series_ohm: Number = 0.0,
    leak_siemens: Number = 0.0,
    shift_k: Number = 0.0,
) -> Result:
    """Resistance of a sensor circuit with the three causes at work.

    R(t) = 1 / (1/R_curve(t + δ) + g) + s

    Parameters
    ----------
    temperature_c : temperature of the sensor [°C]
    ohm_at : the sensor's curve as new, °C to Ω
    series_ohm : resistance in the wires [Ω]
    leak_siemens : conductance across the sensor [S]
    shift_k : how much warmer the sensor behaves than it is [K]

    Returns
    -------
    resistance [Ω]

    Raises
    ------
    OutOfRange : negative series resistance or conductance
    """
    conductance = possible("leak conductance", leak_siemens, "S", at_least=0)
    with np.errstate(divide="ignore"):
        leak = 1 / conductance
    sensor = ohm_at(np.add(temperature_c, shift_k))
    return circuit_resistance(sensor, series_ohm=series_ohm, leak_ohm=leak)


def _explain(readings: CircuitReadings, ohm_at: Curve, causes: tuple[str, ...]) -> Explanation:
    model = _Model(readings=readings, ohm_at=ohm_at, causes=causes)
    starts = sorted(_starts(model), key=model.deviance)[:MOST_STARTS]
    best = min((_fit(model, start) for start in starts), key=model.deviance)
    sigma = model.sigma(best)
    misfits = model.misfits(best, sigma)
    chi_square = float(misfits @ misfits)
    freedom = readings.ohm.size - len(causes)
    spread = dict(zip(causes, _standard_uncertainties(model, best, sigma), strict=True))
    values = dict(zip(causes, best * model.scale, strict=True))
    return Explanation(
        causes=causes,
        series_ohm=float(values.get("series", 0.0)),
        series_sd=float(spread.get("series", 0.0)),
        leak_siemens=float(values.get("leak", 0.0)),
        leak_sd=float(spread.get("leak", 0.0)),
        shift_k=float(values.get("shift", 0.0)),
        shift_sd=float(spread.get("shift", 0.0)),
        chi_square=chi_square,
        freedom=freedom,
        p_value=chance_of_worse(chi_square, freedom) if freedom > 0 else None,
        log_likelihood=_log_likelihood(misfits, sigma),
        misfits=tuple(float(miss) for miss in misfits),
    )


@attrs.frozen(kw_only=True)
class _Model:
    """The circuit with some causes free; `x` holds them in units of `scale`."""

    readings: CircuitReadings
    ohm_at: Curve
    causes: tuple[str, ...]

    @property
    def scale(self) -> Vector:
        """Units in which each cause is of order one: so the solver sees no Ω beside S."""
        sound = np.asarray(self.ohm_at(self.readings.temperature_c))
        units = {"series": sound.min(), "leak": 1 / sound.max(), "shift": 10.0}
        return np.array([units[cause] for cause in self.causes])

    @property
    def lower(self) -> Vector:
        """Least value of each cause, in its unit."""
        least = {"series": 0.0, "leak": 0.0, "shift": -SHIFT_LIMIT_K}
        return np.array([least[cause] for cause in self.causes]) / self.scale

    @property
    def upper(self) -> Vector:
        """Greatest value of each cause, in its unit."""
        most = {"series": np.inf, "leak": np.inf, "shift": SHIFT_LIMIT_K}
        return np.array([most[cause] for cause in self.causes]) / self.scale

    def resistance(self, x: Vector, offset_k: float = 0.0) -> Vector:
        """Resistances the causes make of the sound sensor, all thermometers off by `offset_k`."""
        values = dict(zip(self.causes, x * self.scale, strict=True))
        return np.asarray(
            expected_resistance(
                self.readings.temperature_c + offset_k,
                ohm_at=self.ohm_at,
                series_ohm=values.get("series", 0.0),
                leak_siemens=values.get("leak", 0.0),
                shift_k=values.get("shift", 0.0),
            )
        )

    def sigma(self, x: Vector) -> Vector:
        """Uncertainty of each reading, that of the thermometer carried over by the slope."""
        warmer, colder = self.resistance(x, SLOPE_STEP_K), self.resistance(x, -SLOPE_STEP_K)
        slope = (warmer - colder) / (2 * SLOPE_STEP_K)
        readings = self.readings
        return np.hypot(readings.ohm_uncertainty, slope * readings.temperature_uncertainty_k)

    def misfits(self, x: Vector, sigma: Vector) -> Vector:
        """(reading − circuit) / uncertainty."""
        return (self.readings.ohm - self.resistance(x)) / sigma

    def deviance(self, x: Vector) -> float:
        """−2·ln L: the smaller, the better the causes explain the readings."""
        sigma = self.sigma(x)
        return -2 * _log_likelihood(self.misfits(x, sigma), sigma)


def _fit(model: _Model, start: Vector) -> Vector:
    """Best causes from a start."""
    x = start
    for _ in range(WEIGHT_PASSES if model.causes else 0):
        before, x = x, _solve(partial(model.misfits, sigma=model.sigma(x)), x, model)
        if np.allclose(x, before, rtol=1e-9, atol=1e-9):
            break
    return x


def _solve(miss: Callable[[Vector], Vector], start: Vector, model: _Model) -> Vector:
    found = fit_within(miss, start, lower=model.lower, upper=model.upper)
    # a cause this small is none
    return np.where(np.abs(found) < 1e-8, 0.0, found)


def _starts(model: _Model) -> Iterator[Vector]:
    """Nothing wrong, and what single readings would say on their own."""
    readings = model.readings
    sound = np.asarray(model.ohm_at(readings.temperature_c))
    warmer = np.asarray(model.ohm_at(readings.temperature_c + 1.0))
    guesses = {
        "series": np.maximum(readings.ohm - sound, 0.0),
        "leak": np.maximum(1 / readings.ohm - 1 / sound, 0.0),
        "shift": np.clip(
            np.log(readings.ohm / sound) / np.log(warmer / sound), -SHIFT_LIMIT_K, SHIFT_LIMIT_K
        ),
    }
    choices = [
        sorted({0.0, float(guesses[cause].min()), float(guesses[cause].max())})
        for cause in model.causes
    ]
    for values in product(*choices):
        yield np.array(values) / model.scale


def _standard_uncertainties(model: _Model, x: Vector, sigma: Vector) -> Vector:
    if not model.causes:
        return np.zeros(0)
    step = 1e-6
    columns = []
    for index in range(x.size):
        move = np.zeros_like(x)
        move[index] = step
        # one-sided: a cause at nothing can only grow
        columns.append((model.misfits(x, sigma) - model.misfits(x + move, sigma)) / step)
    slopes = np.column_stack(columns)
    size = np.linalg.norm(slopes, axis=0)
    if (size == 0).any() or np.linalg.cond(slopes / size) > 1e7:
        return np.full(x.size, np.inf)
    inverse = np.linalg.inv(np.linalg.qr(slopes / size, mode="r"))
    return np.asarray(np.linalg.norm(inverse, axis=1) / size * model.scale)


def _log_likelihood(misfits: Vector, sigma: Vector) -> float:
    return float(-0.5 * (misfits @ misfits) - np.log(sigma).sum() - sigma.size * _HALF_LOG_TWO_PI)


_HALF_LOG_TWO_PI = 0.5 * float(np.log(2 * np.pi))

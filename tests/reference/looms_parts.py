"""Values that the random looms draw from."""

from __future__ import annotations

import math

from loomwright.loom import CurvePoint, MeterRange

COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ")
"""Colour codes of IEC 60757 for single conductors."""

SECTIONS = {
    "signal": ((0.5, 16, 0.20), (0.75, 24, 0.20), (1.0, 32, 0.20)),
    "power": ((1.5, 30, 0.25), (2.5, 50, 0.25)),
    "earth": ((1.0, 32, 0.20), (1.5, 30, 0.25)),
}
"""Section [mm²], strands, strand diameter [mm] by use: common practice, no published source."""

_ZERO_CELSIUS = 273.15
_COLD = 20.0


def ntc_rows(curve: str, *, cold_ohm: float, beta_k: float) -> list[CurvePoint]:
    """A table from -20 °C to 120 °C by R = R20 exp(B (1/T - 1/T20)), B in kelvin."""
    rows: list[CurvePoint] = []
    for celsius in range(-20, 121, 20):
        inverse = 1 / (celsius + _ZERO_CELSIUS) - 1 / (_COLD + _ZERO_CELSIUS)
        ohm = rounded(cold_ohm * math.exp(beta_k * inverse), 4)
        rows.append(
            CurvePoint(curve=curve, temperature_c=float(celsius), ohm=ohm, tolerance_pct=5.0)
        )
    return rows


def rounded(value: float, digits: int = 3) -> float:
    """A value to so many significant digits."""
    return float(f"{value:.{digits}g}")


def meter_rows() -> list[MeterRange]:
    """A plain 4000-count meter: ranges of 400 ohm to 40 Mohm and 4 V to 400 V, 0.8 % + 3."""
    scales = [("ohm", 400.0 * 10**n) for n in range(6)] + [("volt", 4.0 * 10**n) for n in range(3)]
    return [
        MeterRange(
            meter="DMM",
            quantity=quantity,
            full_scale=scale,
            percent=0.8,
            counts=3.0,
            resolution=scale / 4000,
        )
        for quantity, scale in scales
    ]

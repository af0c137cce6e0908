"""Best known packings of circles in a circle, as published, and a slow packer that shares nothing.

Equal circles: outer radius over radius. Graham, Lubachevsky, Nurmela and Östergård, Discrete Math.
181 (1998) 139; 1 to 30 seen in two independent published lists, 31 to 37 in one of them, 61 and 91
from memory. Consecutive circles, radii 1 to n: outer radius, from the results table of a published
study of iterated tabu search, 2013.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import minimize

EQUAL = {
    1: 1.0, 2: 2.0, 3: 2.1547005384, 4: 2.4142135624, 5: 2.7013016167, 6: 3.0, 7: 3.0,
    8: 3.3047648710, 9: 3.6131259298, 10: 3.8130256314, 11: 3.9238044002, 12: 4.0296019301,
    13: 4.2360679775, 14: 4.3284285549, 15: 4.5213569647, 16: 4.6154255949, 17: 4.7920337483,
    18: 4.8637033052, 19: 4.8637033052, 20: 5.1223207370, 21: 5.2523174750, 22: 5.4397189591,
    23: 5.5452042226, 24: 5.6516610918, 25: 5.7528243309, 26: 5.8281765369, 27: 5.9063978474,
    28: 6.0149380974, 29: 6.1385979040, 30: 6.1977410709, 31: 6.2915026221, 32: 6.4294629710,
    33: 6.4867031236, 34: 6.6109570900, 35: 6.6971710918, 36: 6.7467537934, 37: 6.7587704831,
}  # fmt: skip
EQUAL_LARGE = {61: 8.6612975755, 91: 10.5667722335}
CONSECUTIVE = {
    5: 9.00139774, 6: 11.05704039, 7: 13.46211067, 8: 16.22174667, 9: 19.2331939,
    10: 22.00019301, 11: 24.96063428, 12: 28.37138943,
}  # fmt: skip
FIVE_CENTRES = (
    (6.426031, -3.097884), (-6.137747, 1.480190), (5.817651, 1.473672), (-0.231560, 4.996034),
    (-0.015353, -4.001368),
)  # fmt: skip
"""Of the radii 1 to 5, as published; the outer radius is 9.001397746050."""


def consecutive(count: int) -> list[float]:
    """Diameters of circles with the radii 1 to n."""
    return [2.0 * radius for radius in range(1, count + 1)]


def deepest_overlap(
    diameters: Sequence[float], centres: Sequence[tuple[float, float]], outer: float
) -> float:
    """How far any two circles overlap, or one reaches over the outer diameter; below 0 for none.

    Written out pair by pair, so that it shares nothing with what it judges.
    """
    deepest = -np.inf
    for i, (x, y) in enumerate(centres):
        deepest = max(deepest, float(np.hypot(x, y)) + diameters[i] / 2.0 - outer / 2.0)
        for j in range(i):
            apart = float(np.hypot(x - centres[j][0], y - centres[j][1]))
            deepest = max(deepest, (diameters[i] + diameters[j]) / 2.0 - apart)
    return deepest


def one_start(diameters: Sequence[float], draw: np.random.Generator) -> float:
    """Outer diameter of one random start made tight by scipy's SLSQP; infinite where it fails."""
    radii = np.array(diameters) / 2.0
    n = len(radii)
    i, j = np.triu_indices(n, 1)
    area = float(np.sqrt((radii**2).sum()))

    def free(z: np.ndarray) -> np.ndarray:
        x, y = z[:n], z[n : 2 * n]
        apart = (x[i] - x[j]) ** 2 + (y[i] - y[j]) ** 2 - (radii[i] + radii[j]) ** 2
        return np.concatenate([apart, (z[-1] - radii) ** 2 - x**2 - y**2, z[-1] - radii])

    def slopes(z: np.ndarray) -> np.ndarray:
        x, y, p = z[:n], z[n : 2 * n], np.arange(len(i))
        made = np.zeros((len(i) + 2 * n, 2 * n + 1))
        made[p, i], made[p, j] = 2 * (x[i] - x[j]), -2 * (x[i] - x[j])
        made[p, n + i], made[p, n + j] = 2 * (y[i] - y[j]), -2 * (y[i] - y[j])
        wall = len(i) + np.arange(n)
        made[wall, np.arange(n)], made[wall, n + np.arange(n)] = -2 * x, -2 * y
        made[wall, -1] = 2 * (z[-1] - radii)
        made[wall + n, -1] = 1.0
        return made

    start = np.append(draw.normal(0.0, area / 2.0, 2 * n), 2.0 * area)
    last = np.append(np.zeros(2 * n), 1.0)
    done = minimize(
        lambda z: z[-1], start, jac=lambda _: last, method="SLSQP",
        constraints={"type": "ineq", "fun": free, "jac": slopes},
        options={"maxiter": 300, "ftol": 1e-10},
    )  # fmt: skip
    return 2.0 * float(done.x[-1]) if free(done.x).min() > -1e-6 * area**2 else np.inf

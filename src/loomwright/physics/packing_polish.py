"""The tightest exact arrangement near a rough one: a row of linear programs.

    least R  with  u_ij · (c_i + δ_i - c_j - δ_j) >= r_i + r_j   and   v_i · (c_i + δ_i) + r_i <= R

u and v are the directions from centre to centre and from the middle. A distance is at least its
part along u, so that circles which keep the first condition do not overlap, however far they move;
the outer circle is then drawn round what was found.

Source: successive linear programming, as for jammed packings: Donev, Torquato, Stillinger and
Connelly, J. Comput. Phys. 197 (2004) 139, quoted from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]

_PROGRAMS = 25
_PROGRAM_CIRCLES = 1600
"""Programs times circles: more circles get fewer programs, down to eight."""
_LEAST_REACH = 1e-9
_LEAST_GAIN = 1e-11
_TINY = 1e-12
_EXACT = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}


def polished(radii: Reals, x: Reals, y: Reals) -> tuple[Reals, Reals]:
    """Centres that do not overlap, as close together as they come from there.

    Parameters
    ----------
    radii : largest first, in units of the root of the sum of their squares, shape (n,)
    x, y : centres that may overlap, each shape (n,)
    """
    reach, outer = 0.3 * float(radii.mean()), np.inf
    for _ in range(max(8, min(_PROGRAMS, _PROGRAM_CIRCLES // len(radii)))):
        found = _program(radii, x, y, reach)
        if found is None:
            reach *= 2.0
            continue
        new_x, new_y, hoped = found
        new_outer = float((np.hypot(new_x, new_y) + radii).max())
        gain = outer - new_outer
        if gain <= 0.0:
            reach *= 0.25
            if reach < _LEAST_REACH:
                break
            continue
        x, y, outer = new_x, new_y, new_outer
        if gain < _LEAST_GAIN:
            break
        if new_outer - hoped > 0.5 * min(gain, 1.0):
            reach *= 0.5
    return parted(radii, x, y)


def parted(radii: Reals, x: Reals, y: Reals) -> tuple[Reals, Reals]:
    """The centres moved out from the middle until no two circles overlap."""
    i, j = np.triu_indices(len(radii), 1)
    apart = np.maximum(np.hypot(x[i] - x[j], y[i] - y[j]), _TINY)
    wider = max(1.0, float(((radii[i] + radii[j]) / apart).max(initial=0.0)))
    return x * wider, y * wider


def _program(radii: Reals, x: Reals, y: Reals, reach: float) -> tuple[Reals, Reals, float] | None:
    """Centres moved by at most a reach each way, and the outer radius; None where none will do."""
    # late: half a second of loading that few commands need
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    n = len(radii)
    each = np.arange(n)
    i, j, ux, uy, room = _near(radii, x, y, reach)
    out = np.hypot(x, y) + _TINY
    pair, wall = np.arange(len(i)), len(i) + each
    matrix = csr_array(
        (
            np.concatenate([-ux, ux, -uy, uy, x / out, y / out, -np.ones(n)]),
            (
                np.concatenate([pair, pair, pair, pair, wall, wall, wall]),
                np.concatenate([i, j, n + i, n + j, each, n + each, np.full(n, 2 * n)]),
            ),
        ),
        shape=(len(i) + n, 2 * n + 1),
    )
    low, high = np.full(2 * n + 1, -reach), np.full(2 * n + 1, reach)
    low[-1], high[-1] = 0.0, np.inf
    done = linprog(
        np.append(np.zeros(2 * n), 1.0),
        A_ub=matrix, b_ub=np.concatenate([room, -(out + radii)]),
        bounds=np.column_stack([low, high]), method="highs-ds",
        options={**_EXACT, "presolve": False},
    )  # fmt: skip
    if done.x is None:
        return None
    return x + done.x[:n], y + done.x[n : 2 * n], float(done.x[-1])


def _near(
    radii: Reals, x: Reals, y: Reals, reach: float
) -> tuple[NDArray[np.int64], NDArray[np.int64], Reals, Reals, Reals]:
    """Pairs that could meet within a reach: both numbers, direction, distance left."""
    i, j = np.triu_indices(len(radii), 1)
    dx, dy = x[i] - x[j], y[i] - y[j]
    apart = np.maximum(np.hypot(dx, dy), _TINY)
    room = apart - radii[i] - radii[j]
    near = room < 3.0 * reach
    return i[near], j[near], (dx / apart)[near], (dy / apart)[near], room[near]

"""One spot for each splice at least cost, one splice at most where spots crowd: whole numbers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


def whole_numbers(
    rows: Sequence[tuple[int, int]], costs: Sequence[float], crowds: Sequence[Sequence[int]]
) -> list[tuple[int, int]] | None:
    """One row for each splice, one at most of each crowd, at least cost.

    Parameters
    ----------
    rows : splices and spots by their numbers
    costs : of each row
    crowds : places of rows of which one at most can be

    Returns
    -------
    the rows chosen; None where there is no such choice
    """
    # late: half a second of loading that few looms need
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    members = sorted({number for number, _ in rows})
    own = [[i for i, (number, _) in enumerate(rows) if number == each] for each in members]
    sets = [*own, *crowds]
    place = np.array([(r, i) for r, each in enumerate(sets) for i in each]).T
    matrix = coo_array((np.ones(place.shape[1]), place), shape=(len(sets), len(rows)))
    least = np.array([1.0] * len(own) + [0.0] * len(crowds))
    done = milp(
        np.array(costs),
        constraints=LinearConstraint(matrix.tocsc(), least, np.ones(len(sets))),
        integrality=np.ones(len(rows)),
        bounds=Bounds(0.0, 1.0),
        options={"mip_rel_gap": 0.0},
    )
    if done.x is None:
        return None
    return [row for row, taken in zip(rows, done.x, strict=True) if taken > 0.5]

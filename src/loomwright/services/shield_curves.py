"""The runs of a test of a boot as points, with the curve of its time constant through each."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

import attrs
import numpy as np

from loomwright.loom import Job
from loomwright.physics.warming_curve import warming_curve
from loomwright.services.shield_test import ShieldTest, logged_runs

_POINTS = 60


@attrs.frozen(kw_only=True)
class RunCurve:
    """One run.

    Attributes
    ----------
    run : its name
    boot : `on` or `off`
    points : seconds and temperatures as they were read [s, °C]
    curve : of the fitted time constant, likewise; empty where that cannot be told
    """

    run: str
    boot: str
    points: tuple[tuple[float, float], ...]
    curve: tuple[tuple[float, float], ...]


def shield_curves(job: Job, test: ShieldTest) -> tuple[RunCurve, ...]:
    """Every run of a plug's test, in the order of the sheet."""
    return tuple(_curves(job, test))


def _curves(job: Job, test: ShieldTest) -> Iterator[RunCurve]:
    for (run, boot), warming in logged_runs(job).get(test.plug, {}).items():
        fit = test.shielded if boot == "on" else test.bare
        times = np.linspace(warming.times_s[0], warming.times_s[-1], _POINTS)
        drawn: tuple[tuple[float, float], ...] = ()
        if fit is not None and len(warming.times_s) > 1 and isfinite(fit.time_constant_s.value):
            read = warming_curve(warming, time_constant_s=fit.time_constant_s.value, times_s=times)
            drawn = tuple(zip(times.tolist(), read.tolist(), strict=True))
        points = zip(warming.times_s.tolist(), warming.temperatures_c.tolist(), strict=True)
        yield RunCurve(run=run, boot=boot, points=tuple(points), curve=drawn)

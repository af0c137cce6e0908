"""Runs of a boot's test as points and curves."""

from __future__ import annotations

import attrs
import pytest

from loomwright.services.shield_curves import shield_curves
from loomwright.services.shield_test import shield_tests
from sample.demo import demo_job


def test_every_reading_of_the_sheet_is_a_point_of_its_run() -> None:
    job = demo_job()
    (test,) = shield_tests(job)
    found = [(each.run, point) for each in shield_curves(job, test) for point in each.points]
    assert found == [(row.run, (row.seconds, row.temperature_c)) for row in job.warmings]


def test_the_curve_spans_the_run_and_passes_its_readings() -> None:
    job = demo_job()
    (test,) = shield_tests(job)
    for each in shield_curves(job, test):
        assert each.curve[0][0] == each.points[0][0]
        assert each.curve[-1][0] == each.points[-1][0]
        # The demo's readings were made with a scatter of about half a kelvin.
        assert each.curve[-1][1] == pytest.approx(each.points[-1][1], abs=1.5)


def test_of_two_readings_there_are_points_and_no_curve() -> None:
    job = attrs.evolve(demo_job(), warmings=demo_job().warmings[:2])
    (test,) = shield_tests(job)
    (run,) = shield_curves(job, test)
    assert len(run.points) == 2
    assert run.curve == ()

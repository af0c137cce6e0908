"""The same job gives the same report bit for bit, in one process and across processes."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from loomwright.services.suspects import suspects
from loomwright.storage.job_folder import JobFolder

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"
SCRIPT = """
import attrs, json, sys
sys.path.insert(0, sys.argv[2])
from loomwright.services.suspects import suspects
from loomwright.storage.job_folder import JobFolder
from reference.looms import make_job
from loomwright.diagnosis import Advisor, Diagnosis, Model
fresh = Diagnosis(Model(attrs.evolve(JobFolder().read(sys.argv[1]), readings=())))
print(json.dumps(Advisor(fresh).near_plugs(fresh.posterior())))
for job in (JobFolder().read(sys.argv[1]), make_job(24, 3)):
    print(json.dumps(suspects(job).json()))
"""


def reported(seed: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(DEMO), str(Path(__file__).parents[1])],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
        env={**os.environ, "PYTHONHASHSEED": seed, "OMP_NUM_THREADS": "1"},
    )
    return done.stdout.splitlines()


def test_twice_in_one_process() -> None:
    job = JobFolder().read(DEMO)
    assert json.dumps(suspects(job).json()) == json.dumps(suspects(job).json())


@pytest.fixture(scope="module")
def shuffled() -> list[list[str]]:
    """Python shuffles sets of text anew in every process unless told otherwise."""
    return [reported(seed) for seed in ("0", "1", "2")]


def test_reports_do_not_hang_on_the_order_of_names_in_sets(shuffled: list[list[str]]) -> None:
    first = shuffled[0]
    assert len(first) == 3
    for other in shuffled[1:]:
        assert other[1:] == first[1:]


def test_plugs_worth_probing_come_in_one_order(shuffled: list[list[str]]) -> None:
    """Plugs equally suspect, too: only the first ten are looked at."""
    assert len({each[0] for each in shuffled}) == 1

"""The site's own tests once more, on a real PostgreSQL server.

`.ci/run` starts one and names it in `LOOMWRIGHT_TEST_POSTGRESQL`.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
SERVER = os.environ.get("LOOMWRIGHT_TEST_POSTGRESQL", "")
SUITES = [
    "contract/test_jobs.py",
    "contract/test_photos.py",
    "contract/test_rows.py",
    "workshop/test_history.py",
    "workshop/test_once.py",
    "workshop/test_row.py",
    "workshop/test_search.py",
]


@pytest.mark.skipif(not SERVER, reason="LOOMWRIGHT_TEST_POSTGRESQL names no server")
def test_the_site_keeps_its_promises_on_postgresql() -> None:
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:xdist", "-k", "database or workshop",
         *(str(TESTS / suite) for suite in SUITES)],
        cwd=TESTS.parent,
        env={**os.environ, "LOOMWRIGHT_DATABASE": SERVER},
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stdout[-4000:] + run.stderr[-2000:]

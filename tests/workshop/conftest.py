"""A workshop with the demo job in it, and somebody at this machine."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.test import Client

from loomwright.loom import Job
from loomwright.storage.job_folder import JobFolder
from loomwright.workshop.database import DatabaseJobs

DEMO_FOLDER = Path(__file__).parents[2] / "examples" / "tarn-2300"


@pytest.fixture(scope="session")
def demo_job() -> Job:
    return JobFolder().read(DEMO_FOLDER)


@pytest.fixture
def demo(db: None, demo_job: Job) -> str:
    """The demo job, kept in the workshop; its name there."""
    DatabaseJobs().write("tarn-2300", demo_job)
    return "tarn-2300"


@pytest.fixture
def here(db: None) -> Client:
    """A browser on the machine that the site runs on; mistakes of ours are not hidden."""
    return Client(REMOTE_ADDR="127.0.0.1")


@pytest.fixture
def far(db: None) -> Client:
    """A browser on another device of the network."""
    return Client(REMOTE_ADDR="192.0.2.7")

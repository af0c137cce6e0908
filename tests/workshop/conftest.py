"""A workshop with the demo job in it, and somebody at this machine."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import attrs
import pytest
from django.db import connection
from django.test import Client
from django.test.client import ClientHandler

from loomwright.loom import Job
from loomwright.workshop.database import DatabaseJobs
from loomwright.workshop.models import KeptJob, KeptRow
from sample import demo as sample

NAME = "tarn-2300"
Record = tuple[Any, ...]


@pytest.fixture(scope="session")
def demo_job() -> Job:
    return sample.demo_job()


@attrs.define
class Copies:
    """The demo's records as the first test that wanted them got them written, by table."""

    records: dict[str, list[Record]] = attrs.field(factory=dict)

    def put(self) -> None:
        """Put them into an empty workshop as they were, stamp and all."""
        with connection.cursor() as cursor:
            for table, records in self.records.items():
                marks = ", ".join("?" * len(records[0]))
                cursor.connection.executemany(f"INSERT INTO {table} VALUES ({marks})", records)

    def take(self) -> None:
        """Remember what stands in the workshop."""
        with connection.cursor() as cursor:
            for model in (KeptJob, KeptRow, KeptRow.history.model):
                table = model._meta.db_table
                cursor.execute(f"SELECT * FROM {table}")
                self.records[table] = cursor.fetchall()


@pytest.fixture(scope="session")
def copies() -> Copies:
    return Copies()


@pytest.fixture
def demo(db: None, demo_job: Job, copies: Copies) -> str:
    """The demo job, kept in the workshop; its name there.

    Written once a process and copied from then on, so tests begin with the same records and the
    same stamp: change rows by the workshop's own ways, which renew it.
    """
    alone = connection.vendor == "sqlite" and not KeptJob.objects.exists()
    if alone and copies.records:
        copies.put()
        return NAME
    DatabaseJobs().write(NAME, demo_job)
    if alone:
        copies.take()
    return NAME


@pytest.fixture(scope="session", autouse=True)
def one_site() -> Iterator[None]:
    """Every browser asks the same site, which is built once, as it is for the server."""
    site = ClientHandler()
    site.load_middleware()
    built = {name: held for name, held in vars(site).items() if name != "enforce_csrf_checks"}

    def share(handler: ClientHandler, is_async: bool = False) -> None:
        vars(handler).update(built)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(ClientHandler, "load_middleware", share)
        yield


@pytest.fixture
def here(db: None) -> Client:
    """A browser on the machine that the site runs on; mistakes of ours are not hidden."""
    return Client(REMOTE_ADDR="127.0.0.1")


@pytest.fixture
def far(db: None) -> Client:
    """A browser on another device of the network."""
    return Client(REMOTE_ADDR="192.0.2.7")

"""What things are called: one way for the screen and for paper."""

from __future__ import annotations

import attrs
import pytest

from loomwright.services.labels import Labels
from sample import jobs

LABELS = Labels(jobs.job())


@pytest.mark.parametrize(
    ("name", "owner", "called"),
    [
        ("T1", "plug T1 (Engine sensor plug)", "Engine sensor plug (T1)"),
        ("TS", "device TS (Throttle switch)", "Throttle switch (TS)"),
        ("E1", "joint E1 (Earth on the engine)", "Earth on the engine (E1)"),
        ("B1", "branch B1 (bulkhead to engine)", "Branch B1 (bulkhead to engine)"),
        ("loom", "the whole loom", "The whole loom"),
    ],
)
def test_a_name_with_its_label(name: str, owner: str, called: str) -> None:
    assert LABELS.owner(name) == owner
    assert LABELS.called(name) == called


def test_a_wire_is_called_by_its_ends() -> None:
    assert LABELS.item("W1") == "wire W1 (CU.1 to T1.1)"
    assert LABELS.called("W1") == "Wire W1 (CU.1 to T1.1)"


def test_places_are_told_as_the_sheet_writes_them() -> None:
    job = jobs.job()
    branch = attrs.evolve(job.branches[0], to_place="front_left-wing")
    labels = Labels(attrs.evolve(job, branches=(branch,)))
    assert labels.owner("B1") == "branch B1 (bulkhead to front_left-wing)"


def test_what_stands_in_no_table_keeps_its_name() -> None:
    assert LABELS.owner("nothing") == "nothing"

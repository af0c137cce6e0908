"""Following a circuit on looms small enough to draw."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from loomwright.loom import State
from loomwright.loom.errors import NotFound
from loomwright.services.trace import trace
from loomwright.storage.job_folder import JobFolder
from sample.drawn import loom

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"

#   CU.1 --W1-- T.1 [SW closed when throttle=shut] T.2 --W2-- SP --W3-- E1
#                                                              \--W4-- CU.2
LOOM = loom(
    "W1 CU.1 T.1\nW2 T.2 SP\nW3 SP E1\nW4 SP CU.2",
    {"CU": "UNIT: 1 2", "T": "SWITCH: 1 2"},
    """
    IN UNIT.1 UNIT.2 input ohm=1e4
    SW SWITCH.1 SWITCH.2 contact ohm=0.2 closed_when=throttle=shut
    """,
    {"SP": "splice", "E1": "earth"},
)


def walked(state: str, point: str = "CU.1") -> list[tuple[int, str, str, str]]:
    found = trace(LOOM, point, State.parse(state))
    return [(p.depth, p.kind, p.items[0], p.ends) for p in found.pieces]


def test_a_circuit_to_both_its_ends() -> None:
    way = walked("throttle=shut")
    assert way[0] == (1, "wire", "W1", "")
    assert way[2:] == [
        (1, "element", "SWITCH", ""),
        (1, "contact", "T.2", ""),
        (1, "wire", "W2", ""),
        (2, "wire", "W3", "earth point"),
        (2, "wire", "W4", ""),
        (2, "contact", "CU.2", "control unit"),
        (1, "contact", "CU.1", "control unit"),
    ]


def test_an_open_contact_ends_the_way() -> None:
    way = walked("throttle=open")
    assert way[-2:] == [
        (1, "contact", "T.1", "nothing beyond"),
        (1, "contact", "CU.1", "control unit"),
    ]


def test_ohms_add_up_along_the_way() -> None:
    found = trace(LOOM, "CU.1", State.parse("throttle=shut"))
    so_far: dict[str, float] = {"CU.1": 0.0}
    for piece in found.pieces:
        start = so_far[str(piece.start)]
        assert piece.so_far == pytest.approx(start + piece.ohm)
        so_far[str(piece.end)] = piece.so_far
    assert so_far["E1"] > 0.2


def test_the_state_of_the_last_reading_is_taken_where_none_is_given() -> None:
    job = JobFolder().read(DEMO)
    assert trace(job, "CU.6").state == str(job.readings[-1].state)


def test_the_demo_engine_sensor_from_the_control_unit() -> None:
    """README: pin 6 is the engine sensor, pin 7 its return."""
    found = trace(JobFolder().read(DEMO), "CU.6")
    items = [item for piece in found.pieces for item in piece.items]
    assert [i for i in items if i.startswith("W")][:2] == ["W32", "W33"]
    assert "ETS" in items
    text = json.loads(json.dumps(found.json(), allow_nan=False))
    assert set(text["pieces"][0]) == {
        "depth", "kind", "items", "from", "to", "ohm", "so_far", "ends",
    }  # fmt: skip


@pytest.mark.parametrize("typed", ["CU.11", "XX.1", "", "CU", "CU.1.2", "~metal"])
def test_a_point_that_is_not_there_names_its_neighbours(typed: str) -> None:
    with pytest.raises(NotFound) as failure:
        trace(LOOM, typed)
    assert f'"{typed}"' in failure.value.what
    assert failure.value.expected

"""What no reading can tell apart is one place, and nothing else is."""

from __future__ import annotations

from loomwright.diagnosis import Diagnosis, Model
from loomwright.loom import Job
from sample.drawn import loom

#   CU.1 --W1-- T.1 [S] T.2 --W2-- CU.2
#   CU.3 --W3-- P.1 [A] P.2 --W4-- CU.4
#               P.2 [B] P.3 --W5-- CU.5
LOOM = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 P.1\nW4 CU.4 P.2\nW5 CU.5 P.3",
    {"CU": "UNIT: 1 . 2 . 3 . 4 . 5", "T": "S: 1 . 2", "P": "D: 1 . 2 . 3"},
    """
    IN UNIT.1 UNIT.2 input ohm=1e5
    R S.1 S.2 resistor ohm=100
    A D.1 D.2 resistor ohm=10
    B D.2 D.3 resistor ohm=20
    """,
)


def place_of(job: Job, kind: str, item: str) -> int:
    diagnosis = Diagnosis(Model(job))
    numbers = {
        int(diagnosis.place_of[n])
        for n, fault in enumerate(diagnosis.model.faults)
        if fault.kind == kind and item in fault.items
    }
    assert len(numbers) == 1
    return numbers.pop()


def test_two_contacts_of_a_two_pin_part_share_a_place() -> None:
    diagnosis = Diagnosis(Model(LOOM))
    contact = [
        int(diagnosis.place_of[n])
        for n, fault in enumerate(diagnosis.model.faults)
        if fault.kind == "high_resistance"
        and fault.edge >= 0
        and diagnosis.model.network.edges[fault.edge].kind == "contact"
        and fault.items[0] in ("T.1", "T.2")
    ]
    assert len(contact) == 2
    assert contact[0] == contact[1]


def test_contacts_of_a_three_pin_part_do_not() -> None:
    diagnosis = Diagnosis(Model(LOOM))
    found = {
        fault.items[0]: int(diagnosis.place_of[n])
        for n, fault in enumerate(diagnosis.model.faults)
        if fault.kind == "open"
        and fault.edge >= 0
        and diagnosis.model.network.edges[fault.edge].kind == "contact"
        and fault.items[0].startswith("P.")
    }
    assert len(set(found.values())) == len(found) == 3


def test_a_wire_between_two_probe_points_has_a_place_of_its_own() -> None:
    diagnosis = Diagnosis(Model(LOOM))
    for n, fault in enumerate(diagnosis.model.faults):
        if fault.edge >= 0 and diagnosis.model.network.edges[fault.edge].kind == "wire":
            members = diagnosis.places[diagnosis.place_of[n]].faults
            edges = {diagnosis.model.faults[m].edge for m in members}
            assert edges == {fault.edge}


def test_open_and_high_resistance_of_one_edge_share_its_place() -> None:
    assert place_of(LOOM, "open", "W1") == place_of(LOOM, "high_resistance", "W1")


def test_a_part_that_can_be_read_alone_is_apart_from_its_contacts() -> None:
    diagnosis = Diagnosis(Model(LOOM))
    by_kind = {
        diagnosis.model.network.edges[fault.edge].kind: int(diagnosis.place_of[n])
        for n, fault in enumerate(diagnosis.model.faults)
        if fault.edge >= 0 and fault.items[0] in ("S", "T.1") and fault.kind == "open"
        and diagnosis.model.network.edges[fault.edge].kind in ("contact", "element")
    }  # fmt: skip
    assert by_kind["contact"] != by_kind["element"]


def test_shorts_between_the_same_two_nets_share_a_place_and_others_do_not() -> None:
    #   CU.1 and CU.2 lie side by side, and so do T.1 and T.2 at the other end of the wires
    beside = loom(
        "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 T.3",
        {"CU": "UNIT: 1 2 3", "T": "D: 1 2 3"},
        "IN UNIT.1 UNIT.2 input ohm=1e5\nR D.1 D.2 resistor ohm=100\nQ D.2 D.3 resistor ohm=100",
    )
    assert place_of(beside, "short_between", "CU.1") == place_of(beside, "short_between", "T.1")
    diagnosis = Diagnosis(Model(beside))
    items = [set(place.items) for place in diagnosis.places]
    assert not any({"CU.1", "CU.3"} <= each for each in items if "CU.2" not in each)


def test_every_fault_has_exactly_one_place() -> None:
    diagnosis = Diagnosis(Model(LOOM))
    members = sorted(n for place in diagnosis.places for n in place.faults)
    assert members == list(range(len(diagnosis.model.faults)))

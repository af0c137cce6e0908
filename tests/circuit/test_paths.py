"""Side paths and pieces on looms small enough to draw."""

from __future__ import annotations

import attrs
import pytest

from loomwright.circuit import Assumptions, Network, Solved, configure, solve
from loomwright.circuit.paths import SidePath, Stretch, pieces, side_paths, stretch
from loomwright.loom import Job, Point, State
from sample.drawn import loom

#   CU.1 --W1-- SP --W2-- A.1 [RA 100] A.2 --W4-- E1 --> metal
#                \--W3-- B.1 [RB 300] B.2 --W5-- E1
#   CU.2 --W6-- C.1 [RC 50] C.2 --W7-- E1
STAR = loom(
    """
    W1 CU.1 SP
    W2 SP TA.1
    W3 SP TB.1
    W4 TA.2 E1
    W5 TB.2 E1
    W6 CU.2 TC.1
    W7 TC.2 E1
    """,
    {"CU": "UNIT: 1 2", "TA": "A: 1 2", "TB": "B: 1 2", "TC": "C: 1 2"},
    """
    IN1 UNIT.1 UNIT.2 input ohm=10000
    RA A.1 A.2 resistor ohm=100
    RB B.1 B.2 resistor ohm=300
    RC C.1 C.2 resistor ohm=50
    """,
    {"SP": "splice", "E1": "earth"},
)

IDEAL = attrs.evolve(
    Assumptions.shipped(),
    crimp_ohm=0.0, splice_ohm=0.0, contact_ohm=1e-6, earth_ohm=1e-6, resistivity_ohm_m=1e-15,
)  # fmt: skip


def solved(
    job: Job, *off: str, state: str = "", assume: Assumptions = IDEAL
) -> tuple[Network, Solved]:
    network = Network.of(job)
    return network, solve(network, configure(network, State.parse(state), off, assume=assume))


def side(job: Job, plus: str, minus: str, *off: str) -> tuple[SidePath, ...]:
    network, found = solved(job, *off)
    a, b = (network.node_of[Point.parse(text)] for text in (plus, minus))
    return side_paths(network, found, a, b)


def test_the_weaker_of_two_branches_is_the_side_path() -> None:
    """300 beside 100 takes a quarter (current divider); the strongest is the way itself."""
    (found,) = side(STAR, "CU.1", "E1", "CU")
    assert (found.device, found.unplug) == ("B", ("TB",))
    assert found.share == pytest.approx(0.25, abs=1e-4)


def test_no_side_path_once_its_plug_is_off() -> None:
    assert side(STAR, "CU.1", "E1", "CU", "TB") == ()


def test_no_side_path_where_all_current_goes_one_way_or_none() -> None:
    assert side(STAR, "CU.2", "E1", "CU") == ()
    assert side(STAR, "CU.1", "CU.2", "CU", "TA", "TB") == ()  # over-range: nothing connects


def test_the_control_unit_left_on_shows_as_a_side_path() -> None:
    """Back through its 10 kΩ input and the 50 Ω of C: 75 beside 10 050."""
    shares = {path.device: path.share for path in side(STAR, "CU.1", "E1")}
    by_hand = 75 / (75 + 10050)
    assert by_hand < 0.01
    assert "UNIT" not in shares  # under one percent is not worth a word
    strong = attrs.evolve(
        STAR, elements=(attrs.evolve(STAR.elements[0], ohm=1000.0), *STAR.elements[1:])
    )
    shares = {path.device: path.share for path in side(strong, "CU.1", "E1")}
    assert shares["UNIT"] == pytest.approx(75 / (75 + 1050), abs=1e-4)


def test_pieces_go_branch_by_branch_with_their_ohms() -> None:
    """Wires 1 m of 1 mm2 at 17.241 mΩ, no crimps: ohms add up along each way."""
    assume = attrs.evolve(IDEAL, resistivity_ohm_m=1.7241e-8, lay_factor=1.0)
    network, found = solved(STAR, assume=assume)
    way = pieces(network, found, Point("CU", "1"), frozenset({"UNIT"}))
    shown = [(p.depth, p.kind, p.items[0], p.ends) for p in way if p.kind != "contact"]
    assert shown == [
        (1, "wire", "W1", ""),
        (2, "wire", "W2", ""),
        (2, "element", "A", ""),
        (2, "wire", "W4", "earth point"),
        (2, "wire", "W3", ""),
        (2, "element", "B", ""),
        (2, "wire", "W5", "earth point"),
    ]
    last = {p.items[0]: p.so_far for p in way}
    copper = 0.017241
    assert last["W4"] == pytest.approx(100 + 3 * copper, abs=2e-5)
    assert last["W5"] == pytest.approx(300 + 3 * copper, abs=2e-5)


def test_the_contact_into_the_control_unit_ends_there() -> None:
    network, found = solved(STAR)
    contact = pieces(network, found, Point("CU", "1"), frozenset({"UNIT"}))
    assert [p.ends for p in contact if str(p.end) == "UNIT.1"] == ["control unit"]


def test_a_bare_end_and_a_ring_are_told() -> None:
    #   T1.1 --W1-- S1 --W2-- S2 --W3-- S3 --W4-- S1      T1.2 --W5-- S4
    job = loom(
        "W1 T1.1 S1\nW2 S1 S2\nW3 S2 S3\nW4 S3 S1\nW5 T1.2 S4",
        {"T1": ": 1 2"},
        "",
        {"S1": "splice", "S2": "splice", "S3": "splice", "S4": "splice"},
    )
    network, found = solved(job)
    ring = pieces(network, found, Point("T1", "1"))
    assert [p.items[0] for p in ring] == ["W1", "W2", "W3", "W4"]
    assert ring[-1].ends == "joins what is listed above"
    (bare,) = pieces(network, found, Point("T1", "2"))
    assert bare.ends == "nothing beyond"


def test_pieces_from_a_point_that_has_nothing() -> None:
    network, found = solved(STAR)
    assert pieces(network, found, Point("CU", "9")) == ()


#   BP (12 V) --W1 2 m-- T.1 [R 10] T.2 --W2-- BM
LAMP = loom(
    """
    W1 BP T.1 2000
    W2 T.2 BM 500
    """,
    {"T": "L: 1 2"},
    "R L.1 L.2 resistor ohm=10",
    {"BP": "battery_plus", "BM": "battery_minus"},
)


def drop(job: Job, plus: str, minus: str, assume: Assumptions) -> Stretch | None:
    network, found = solved(job, state="key=on", assume=assume)
    nodes = [network.node(Point.parse(text), volts=True) for text in (plus, minus)]
    return stretch(network, found, *nodes)


def test_a_drop_means_its_voltage_over_the_current_of_the_circuit() -> None:
    """12 V over 10 Ω is 1.2 A; 2 m of 1 mm² is 34.5 mΩ by 17.24 mΩ·mm²/m (IEC 60028)."""
    assume = attrs.evolve(
        IDEAL, resistivity_ohm_m=1.7241e-8, lay_factor=1.0, battery_ohm=1e-6, link_ohm=1e-6
    )
    found = drop(LAMP, "BP", "T.1", assume)
    assert found is not None
    assert found.items[-1] == "W1"
    assert found.wire_ohm == pytest.approx(2 * 0.017241, rel=1e-6)
    assert found.ampere == pytest.approx(12 / (10 + 2.5 * 0.017241), rel=1e-5)
    assert found.measured_ohm(0.12) == pytest.approx(0.12 / 1.1949, rel=1e-3)


def test_across_a_device_there_is_no_stretch() -> None:
    assert drop(LAMP, "T.1", "T.2", IDEAL) is None


def test_without_current_a_drop_means_nothing() -> None:
    assert drop(STAR, "CU.1", "TA.1", IDEAL) is None


def test_where_the_current_divides_there_is_no_one_stretch() -> None:
    job = loom(
        """
        W1 BP SP
        W2 SP TA.1
        W3 SP TB.1
        W4 TA.2 BM
        W5 TB.2 BM
        """,
        {"TA": "A: 1 2", "TB": "B: 1 2"},
        "RA A.1 A.2 resistor ohm=10\nRB B.1 B.2 resistor ohm=20",
        {"BP": "battery_plus", "BM": "battery_minus", "SP": "splice"},
    )
    assert drop(job, "BP", "TA.1", IDEAL) is None
    assert drop(job, "SP", "TA.1", IDEAL) is not None

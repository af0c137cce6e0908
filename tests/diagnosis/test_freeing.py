"""What to pull so that the nets of a leak stand alone."""

from __future__ import annotations

import numpy as np
import pytest

from loomwright.diagnosis import Admissible, Diagnosis, Model, Probe
from loomwright.diagnosis.admissible import Situation
from loomwright.diagnosis.freeing import freed
from loomwright.diagnosis.model import Setting
from loomwright.loom import Job, Point, State
from reference.faults import short_to_earth
from reference.looms import make_job
from reference.workshop import Bench, Request
from sample.drawn import loom

#   CU.1 --W1-- T.1 [R 1000] T.2 --W2-- E1 --> metal
#   CU.2 --W3-- V.1 [Q 2000] V.2 --W4-- E1
LEAKING = loom(
    "W1 CU.1 T.1\nW2 T.2 E1\nW3 CU.2 V.1\nW4 V.2 E1",
    {"CU": "UNIT: 1 2", "T": "S: 1 2", "V": "D: 1 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=1000\nQ D.1 D.2 resistor ohm=2000",
    {"E1": "earth"},
)


def believed(model: Model, *wanted: tuple[str, str]) -> np.ndarray:
    """Even belief in the faults of a kind that name an item."""
    found = np.array([any(f.kind == k and i in f.items for k, i in wanted) for f in model.faults])
    assert found.any()
    return found / found.sum()


def test_a_leak_between_two_nets_frees_both_of_them() -> None:
    model = Model(LEAKING)
    (one,) = freed(model, believed(model, ("leak", "CU.2")), ("CU",))
    assert one.plugs == ("T", "V")
    assert {str(point) for point in one.points} == {"CU.1", "CU.2"}


def test_a_leak_to_earth_frees_its_own_net_only() -> None:
    model = Model(LEAKING)
    (one,) = freed(model, believed(model, ("leak", "W1")), ("CU",))
    assert one.plugs == ("T",)


@pytest.mark.parametrize("kind", ["open", "high_resistance"])
def test_what_is_in_series_frees_nothing(kind: str) -> None:
    model = Model(LEAKING)
    assert freed(model, believed(model, (kind, "W1")), ("CU",)) == ()


def test_a_net_with_too_many_plugs_is_left_together() -> None:
    plugs = {f"P{n}": f"D{n}: 1 2" for n in range(6)}
    wires = "\n".join(f"W{n} SP1 P{n}.1\nG{n} P{n}.2 E1" for n in range(6))
    elements = "\n".join(f"R{n} D{n}.1 D{n}.2 resistor ohm=100" for n in range(6))
    job: Job = loom(wires, plugs, elements, {"SP1": "splice", "E1": "earth"})
    model = Model(job)
    assert freed(model, believed(model, ("leak", "W0")), ()) == ()


def test_freed_nets_are_read_against_each_other_and_against_earth() -> None:
    model = Model(LEAKING)
    alone = freed(model, believed(model, ("leak", "CU.2")), ("CU",))
    now = Situation(state=State.parse("key=off"))
    found = {
        (str(c.probe.plus), str(c.probe.minus))
        for c in Admissible(model).candidates(now, (), alone)
        if c.probe.setting.unplugged == {"CU", "T", "V"}
    }
    assert {("CU.1", "CU.2"), ("CU.1", "E1"), ("CU.2", "E1")} <= found


def test_a_leak_beside_an_inline_plug_is_told_from_one_to_its_neighbour() -> None:
    """Both read alike until the nets stand alone; the readings come from the workshop apart."""
    job = make_job(55, 4043)
    model = Model(job)
    wire = model.network.node_of[Point.parse("J1B.1")]
    bench = Bench(job, [short_to_earth(model.network, wire, 227e3)], seed=1)
    diagnosis = Diagnosis(model)
    for text, off in (("CU.3 BMINUS", "CU"), ("J1B.2 J1B.6", "CU J1B"), ("T3.0 BPLUS", "CU T3")):
        ask(diagnosis, bench, *text.split(), off=off)
    for text in ("CU.16 BMINUS", "CU.23 CU.24"):
        ask(diagnosis, bench, *text.split(), off="CU", throttle="open")
    before = diagnosis.posterior()
    alone = freed(model, before.fault, ("CU",))
    assert before.sure < 0.7
    ask(diagnosis, bench, "J1B.1", "BMINUS", off=" ".join(["CU", *alone[0].plugs]))
    after = diagnosis.posterior()
    assert after.sure > 0.95
    assert after.best is not None
    assert "W48" in diagnosis.places[after.best].items


def ask(
    diagnosis: Diagnosis, bench: Bench, plus: str, minus: str, *, off: str, throttle: str = "shut"
) -> None:
    """Take a reading with some plugs off and the key off."""
    state = State.parse(f"key=off; throttle={throttle}; engine_c=20; air_c=20")
    points, plugs = (Point.parse(plus), Point.parse(minus)), frozenset(off.split())
    probe = Probe("ohm", *points, Setting.of(state, plugs), "DMM")
    diagnosis.add(probe, bench.answer(Request("ohm", *points, plugs, state)))

"""Every kind of fault in whole looms, in ohms and in volts, against ngspice.

ngspice solves the same edited list of branches by node voltages; the package by loops and closed
forms. Rounding of milliohm wires beside kilohm parts limits the agreement to about 1e-7.
"""

from __future__ import annotations

import math
from collections import defaultdict
from pathlib import Path

import numpy as np
import pytest

from loomwright.diagnosis import Model, Setting
from loomwright.diagnosis.harm import control_plugs
from loomwright.loom import Job, State
from loomwright.storage.job_folder import JobFolder
from reference import spice
from reference.looms import make_job
from sample.scenarios import as_reference, branches, ours

DEMO = Path(__file__).parents[2] / "examples" / "tarn-2300"
STATES = ("", "throttle=open", "key=on", "key=start; engine_c=10", "key=on; engine_c=80")
EACH = 8  # faults of each kind
KINDS = {
    "open", "high_resistance", "drift", "wrong_device", "stuck_open",
    "short_to_earth", "short_to_supply", "short_between", "leak", "stuck_closed", "bypassed",
    "swapped",
}  # fmt: skip

Case = tuple[str, Setting, int, float, tuple[int, int]]


def loom(name: str) -> Job:
    return JobFolder().read(DEMO) if name == "demo" else make_job(int(name), seed=5)


def cases(model: Model, rng: np.random.Generator) -> list[Case]:
    """Some faults of each kind, each read across itself and between two random points."""
    by_kind: dict[str, list[int]] = defaultdict(list)
    for number, fault in enumerate(model.faults):
        by_kind[fault.kind].append(number)
    control = control_plugs(model.network.topology)
    nodes = len(model.network.points)
    found: list[Case] = []
    for kind, numbers in by_kind.items():
        for number in rng.permutation(numbers)[:EACH].tolist():
            fault = model.faults[number]
            edge = model.network.edges[fault.edge]
            across = (edge.tail, edge.head) if fault.edge >= 0 else fault.nodes
            if fault.swap is not None:
                across = (model.network.node_of[fault.swap[0]], model.network.earth)
            elsewhere = tuple(int(n) for n in rng.choice(nodes, 2, replace=False))
            sizes = [0.0]
            if fault.size != "none" and fault.swap is None:
                sizes = [float(fault.low * (fault.high / fault.low) ** s) for s in rng.random(2)]
            for size in sizes:
                for pair in (across, elsewhere):
                    state = State.parse(STATES[rng.integers(len(STATES))])
                    off = control if rng.random() < 0.5 else ()
                    found.append((kind, Setting.of(state, off), number, size, pair))
    return found


@pytest.fixture(scope="module", params=["demo", "24", "60"])
def compared(request: pytest.FixtureRequest) -> list[tuple[str, str, float, float]]:
    """(kind, quantity, ours, ngspice) of every case of one loom."""
    spice.require()
    model = Model(loom(request.param))
    chosen = cases(model, np.random.default_rng(7))
    rows, circuits = [], []
    for kind, setting, number, size, pair in chosen:
        mine = ours(model, setting, [(number, size)], pair)
        for quantity, value in zip(("ohm", "volt"), mine, strict=True):
            wrong = [as_reference(model, number, size)]
            listed = branches(model, setting, wrong, dead=quantity == "ohm")
            nodes = len(model.network.points)
            circuits.append(
                spice.Circuit(nodes, listed, *pair, quantity, model.assume.voltmeter_ohm)
            )
            rows.append((kind, quantity, value))
    said = spice.together(circuits)
    return [(*row, value) for row, value in zip(rows, said, strict=True)]


def test_every_kind_of_fault_is_among_the_cases() -> None:
    found = {fault.kind for name in ("demo", "24", "60") for fault in Model(loom(name)).faults}
    assert found == KINDS


def test_over_range_is_always_the_same(compared: list[tuple[str, str, float, float]]) -> None:
    ohms = [(mine, theirs) for _, quantity, mine, theirs in compared if quantity == "ohm"]
    assert any(math.isinf(mine) for mine, _ in ohms)
    assert [math.isinf(mine) for mine, _ in ohms] == [math.isinf(theirs) for _, theirs in ohms]


def test_ohms_agree_to_a_millionth(compared: list[tuple[str, str, float, float]]) -> None:
    for kind, quantity, mine, theirs in compared:
        if quantity == "ohm" and math.isfinite(theirs):
            assert mine == pytest.approx(theirs, rel=1e-6, abs=1e-9), kind


def test_volts_agree_to_a_millionth(compared: list[tuple[str, str, float, float]]) -> None:
    volts = [row for row in compared if row[1] == "volt"]
    assert sum(abs(theirs) > 1e-3 for *_, theirs in volts) > 20
    for kind, _, mine, theirs in volts:
        assert mine == pytest.approx(theirs, rel=1e-6, abs=1e-6), kind

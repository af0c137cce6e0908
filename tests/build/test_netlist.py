"""The netlist: read by ngspice it gives the readings that the circuit works out."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from loomwright.build.netlist import netlist, node_names
from loomwright.circuit import METAL
from loomwright.diagnosis import Model, Setting
from loomwright.loom import Job, Point, State
from reference import spice
from reference.looms import make_job
from sample.demo import demo_job
from sample.scenarios import ours

STATES = ("", "key=on; engine_c=60", "throttle=open; engine_c=-5")
PLAIN = re.compile(r"(\*.*|R\w+ \w+ \w+ \S+|V\w+ \w+ \w+ \S+|\.op|\.end)\Z", re.ASCII)


def looms() -> dict[str, Job]:
    return {"demo": demo_job(), "24": make_job(24, 3)}


def ngspice(text: str, more: list[str], shows: str, folder: Path) -> float:
    """One value of an operating point, some lines put in before the analysis."""
    lines = text.splitlines()
    at = lines.index(".op")
    control = [".control", "set numdgt=15", "op", f"print {shows}", "quit 0", ".endc", ".end"]
    path = folder / "loom.cir"
    path.write_text("\n".join([*lines[:at], *more, spice.OPTIONS, *control, ""]), encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", str(path)], capture_output=True, text=True, check=True, timeout=60
    )
    found = re.search(rf"{re.escape(shows.lower())} = (\S+)", done.stdout.lower())
    assert found, done.stdout + done.stderr
    return float(found[1])


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("name", looms())
def test_ngspice_reads_it_and_agrees_with_the_circuit(
    name: str, state: str, tmp_path: Path
) -> None:
    """Ohms with a current of 1 A where nothing is fed, else volts with the voltmeter's load."""
    spice.require()
    job = looms()[name]
    model = Model(job)
    made = netlist(job, assume=model.assume, state=State.parse(state))
    points = model.network.points
    fed = "key=on" in state
    setting = Setting.of(State.parse(state), ())
    compared = 0
    for point in points[2::9]:
        pair = (model.network.node_of[point], model.network.earth)
        ohm, volt = ours(model, setting, [], pair)
        node = made.nodes[point]
        if fed:
            load = [f"Rmeter {node} 0 {model.assume.voltmeter_ohm!r}"]
            said = ngspice(made.text, load, f"v({node})", tmp_path)
            assert said == pytest.approx(volt, rel=1e-6, abs=1e-6)
            compared += abs(volt) > 0.01
        elif ohm < 1e8:
            dead = re.sub(r"^(V\w+ \w+ \w+) \S+$", r"\1 0", made.text, flags=re.MULTILINE)
            said = ngspice(dead, [f"Iprobe 0 {node} 1"], f"v({node})", tmp_path)
            assert said == pytest.approx(ohm, rel=1e-6)
            compared += 1
    assert compared >= 3


@pytest.mark.parametrize("name", looms())
def test_it_is_written_in_what_every_program_reads(name: str) -> None:
    job = looms()[name]
    text = netlist(job, assume=Model(job).assume).text
    assert text.isascii()
    names = []
    for line in text.splitlines():
        assert PLAIN.match(line), line
        if line[0] in "RV":
            names.append(line.split()[0].casefold())
    assert len(set(names)) == len(names)
    assert text.endswith(".op\n.end\n")


def test_every_wire_stands_in_it_with_its_crimps() -> None:
    job = make_job(24, 3)
    lines = netlist(job, assume=Model(job).assume).text.splitlines()
    wires = [line.split()[0] for line in lines if line.startswith("Rwire_")]
    assert wires == [f"Rwire_{wire.wire}" for wire in job.wires]


def test_an_open_contact_is_a_comment() -> None:
    job = demo_job()
    shut, opened = (
        netlist(job, assume=Model(job).assume, state=State.parse(state)).text
        for state in ("throttle=shut", "throttle=open")
    )
    assert shut.count("* carries nothing now: element") != opened.count(
        "* carries nothing now: element"
    )


def test_names_of_nodes_are_plain_and_no_two_are_alike() -> None:
    points = [METAL, Point("CU", "6"), Point("CU_6"), Point("cu-6"), Point("CU_6_2")]
    names = list(node_names(points).values())
    assert names[0] == "0"
    assert len({name.casefold() for name in names}) == len(points)
    assert all(re.fullmatch(r"\w+", name, re.ASCII) for name in names)

"""The same readings by ngspice, which is free, independent and older than this project.

ngspice solves modified node-voltage equations by its own sparse LU. An ohm reading is the voltage
of a current source of 1 A; a volt reading loads the circuit with the meter's resistance. Whatever
hangs on neither lead is left out before, so an over-range reading is a matter of connection here
too. Without ngspice on the machine the tests that need it are skipped.

`one_by_one` starts a process per reading, `together` loads all circuits into one process, and
`Altered` keeps one circuit in one process and alters resistances between operating points.
"""

from __future__ import annotations

import math
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Literal

import attrs
import pytest

from reference.dense import METER_OHM, Branch, parts

OPTIONS = ".options reltol=1e-9 abstol=1e-18 vntol=1e-15 gmin=1e-18 numdgt=16"
_PRINTED = re.compile(r"^\s*(?:v\([^=]*|r_\S*)\s*=\s*([-+0-9.eE]+|nan|-nan|inf)\s*$", re.MULTILINE)
_TIME_LIMIT_S = 300


@attrs.frozen
class Circuit:
    """One reading to be taken: a list of branches and two nodes."""

    nodes: int
    branches: Sequence[Branch]
    plus: int
    minus: int
    quantity: Literal["ohm", "volt"] = "ohm"
    meter_ohm: float = METER_OHM


def installed() -> bool:
    """Whether ngspice is on the path."""
    return shutil.which("ngspice") is not None


def require() -> None:
    """Skip the running test where ngspice is missing."""
    if not installed():
        pytest.skip("ngspice is not installed")


def netlist(circuit: Circuit, *, title: str = "reading") -> str | None:
    """The circuit as ngspice reads it; None where nothing leads from lead to lead.

    The minus lead stands at 0 V.
    """
    part = parts(circuit.nodes, circuit.branches)
    if circuit.plus == circuit.minus or part[circuit.plus] != part[circuit.minus]:
        return None
    wanted = [
        (number, branch)
        for number, branch in enumerate(circuit.branches)
        if part[branch[0]] == part[circuit.plus]
    ]
    dead = circuit.quantity == "ohm"
    lines = [title, *_branch_lines(wanted, dead=dead, ground={circuit.minus})]
    plus = f"n{circuit.plus}"
    lines.append(f"iprobe 0 {plus} 1" if dead else f"rprobe {plus} 0 {circuit.meter_ohm!r}")
    return "\n".join([*lines, OPTIONS, ""])


def _branch_lines(
    numbered: Iterable[tuple[int, Branch]], *, dead: bool, ground: set[int]
) -> list[str]:
    lines: list[str] = []
    for number, (tail, head, ohm, emf) in numbered:
        one, other = ("0" if node in ground else f"n{node}" for node in (tail, head))
        if emf and not dead:
            lines += [f"r{number} {one} m{number} {ohm!r}", f"v{number} {other} m{number} {emf!r}"]
        else:
            lines.append(f"r{number} {one} {other} {ohm!r}")
    return lines


def one_by_one(circuits: Iterable[Circuit]) -> list[float]:
    """Readings with one ngspice process for each."""
    values: list[float] = []
    for circuit in circuits:
        text = netlist(circuit)
        if text is None:
            values.append(_unconnected(circuit))
            continue
        control = _control(["op", f"print v(n{circuit.plus})"])
        values += _run(text + control, expected=1)
    return values


def together(circuits: Sequence[Circuit]) -> list[float]:
    """Readings with all circuits loaded one after another into one ngspice process."""
    texts = [netlist(circuit) for circuit in circuits]
    with tempfile.TemporaryDirectory() as folder:
        script: list[str] = []
        for number, (circuit, text) in enumerate(zip(circuits, texts, strict=True)):
            if text is None:
                continue
            path = Path(folder) / f"c{number}.cir"
            path.write_text(text + ".end\n", encoding="ascii")
            script += [
                f"source {path}",
                "op",
                f"print v(n{circuit.plus})",
                "destroy all",
                "remcirc",
            ]
        expected = sum(text is not None for text in texts)
        start = "start\nr1 1 0 1\ni1 0 1 1\n"
        solved = iter(_run(start + _control(script), expected=expected) if expected else [])
    return [
        _unconnected(circuit) if text is None else next(solved)
        for circuit, text in zip(circuits, texts, strict=True)
    ]


def _unconnected(circuit: Circuit) -> float:
    if circuit.quantity == "volt" or circuit.plus == circuit.minus:
        return 0.0
    return math.inf


@attrs.frozen
class Step:
    """One operating point: resistances to set [ohm] by branch number, and the two leads."""

    ohm: Mapping[int, float]
    plus: int
    minus: int


class Altered:
    """One circuit in one process; branches altered, leads moved, one `op` per step.

    The fastest way to make ngspice answer many different faults. Every branch stays in the
    circuit: an open is 1 Gohm, and each floating part has its lowest node at 0 V (which is no
    tie: a single common node carries no current between parts). So only steps whose leads are on
    one part, and whose opens leave them connected, are readings; the others are timing only.
    Branches that appear later (shunts) must be in the list from the start, with a large resistance.
    """

    OPEN_OHM = 1e9

    def __init__(self, nodes: int, branches: Sequence[Branch]) -> None:
        self.nodes = nodes
        self.branches = list(branches)
        part = parts(nodes, branches)
        self.ground = {node for node in range(nodes) if part[node] == node}

    def ohms(self, steps: Sequence[Step]) -> list[float]:
        """Resistance between the leads at each step; each step starts from the sound circuit."""
        leads = sorted({node for step in steps for node in (step.plus, step.minus)} - self.ground)
        lines = ["altered", *_branch_lines(enumerate(self.branches), dead=True, ground=self.ground)]
        lines += [f"i{node} 0 n{node} 0" for node in leads]
        script: list[str] = []
        for step in steps:
            script += self._script(step)
        text = "\n".join([*lines, OPTIONS, ""]) + _control(script)
        return _run(text, expected=len(steps))

    def _script(self, step: Step) -> list[str]:
        changed = {n: min(ohm, self.OPEN_OHM) for n, ohm in step.ohm.items()}
        there = [(node, sign) for node, sign in ((step.plus, 1), (step.minus, -1))]
        there = [(node, sign) for node, sign in there if node not in self.ground]
        shown = "".join(f"{'+' if sign > 0 else '-'}v(n{node})" for node, sign in there)
        return [
            *(f"alter r{n} = {ohm!r}" for n, ohm in changed.items()),
            *(f"alter i{node} = {sign}" for node, sign in there),
            "op",
            f"let r_x = 0{shown}",
            "print r_x",
            "destroy all",
            *(f"alter r{n} = {self.branches[n][2]!r}" for n in changed),
            *(f"alter i{node} = 0" for node, _ in there),
        ]


def _control(lines: Iterable[str]) -> str:
    body = ["set numdgt=15", "set noaskquit", *lines, "quit 0"]
    return "\n".join([".control", *body, ".endc", ".end", ""])


def _run(text: str, *, expected: int) -> list[float]:
    """What one batch run prints.

    Raises
    ------
    RuntimeError
        when ngspice prints another number of values, with the end of what it said.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "run.cir"
        path.write_text(text, encoding="ascii")
        done = subprocess.run(
            ["ngspice", "-b", str(path)],
            capture_output=True,
            text=True,
            check=False,
            timeout=_TIME_LIMIT_S,
            cwd=folder,
        )
    found = [float(value) for value in _PRINTED.findall(done.stdout)]
    if len(found) != expected:
        said = (done.stdout + done.stderr)[-1500:]
        raise RuntimeError(f"ngspice printed {len(found)} values instead of {expected}:\n{said}")
    return found

"""The loom in one state as a SPICE netlist: every wire with its crimps, contact and element as R.

Written in what all SPICE programs read: a title, R and V lines, comments with `*`, `.op`, `.end`.
Node 0 is engine and body metal. Values are those that readings are worked out with. What carries
no current in this state (an open contact, a blocking diode, a plug that is off) is a comment. A
part of the loom that hangs on nothing gets one resistor to node 0, which carries no current.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping

import attrs

from loomwright.build.nets import joined
from loomwright.circuit import METAL, Assumptions, Configuration, Edge, Network, configure
from loomwright.loom import Job, Point, State

TIE_OHM = 1e9
"""Ties a part that hangs on nothing to node 0 [Ω]."""
GROUND = "0"
_WIDTH = 78


@attrs.frozen(kw_only=True)
class Netlist:
    """A netlist and the names in it.

    Attributes
    ----------
    text : what a SPICE program reads
    nodes : the node of every point
    """

    text: str
    nodes: Mapping[Point, str]


def netlist(
    job: Job, *, assume: Assumptions, state: State | None = None, unplugged: Iterable[str] = ()
) -> Netlist:
    """The loom with its devices as a netlist.

    Parameters
    ----------
    job : the job
    assume : what is taken where it is silent
    state : key, throttle, temperatures; by default everything at rest
    unplugged : plugs that are off
    """
    network = Network.of(job)
    settled = configure(network, state or State(), unplugged, assume=assume)
    nodes = node_names(network.points)
    lines = [
        *_head(job, settled),
        *_comments("node", ((nodes[point], str(point)) for point in network.points[2:])),
        *_branches(network, settled, nodes),
        *_ties(network, settled, nodes),
        ".op",
        ".end",
    ]
    return Netlist(text="\n".join(lines) + "\n", nodes=nodes)


def node_names(points: Iterable[Point]) -> dict[Point, str]:
    """A name for every point that SPICE can read: letters, digits and `_`, capitals aside unique.

    Engine and body metal is node 0.

    Examples
    --------
    >>> list(node_names([Point("CU", "6"), Point("CU_6"), Point("A-B")]).values())
    ['CU_6', 'CU_6_2', 'A_B']
    """
    name = _unique()
    return {point: GROUND if point == METAL else name(str(point)) for point in points}


def _unique() -> Callable[[str], str]:
    taken = {GROUND}

    def name(text: str) -> str:
        plain = re.sub(r"\W", "_", text.lstrip("~"), flags=re.ASCII)
        made, number = plain, 1
        while made.casefold() in taken:
            number += 1
            made = f"{plain}_{number}"
        taken.add(made.casefold())
        return made

    return name


def _head(job: Job, settled: Configuration) -> Iterator[str]:
    yield f"* {_ascii(job.about.title)}"
    state = "; ".join(f"{name}={value}" for name, value in settled.state.settings.items())
    yield f"* state: {_ascii(state)}"
    if settled.unplugged:
        yield f"* unplugged: {' '.join(sorted(settled.unplugged))}"
    yield "* ohms at this state; node 0 is engine and body metal"
    yield "* figures are aids; the vehicle's own data come first"


def _comments(word: str, pairs: Iterable[tuple[str, str]]) -> Iterator[str]:
    for name, told in pairs:
        if name != told:
            yield f"* {word} {name} is {_ascii(told)}"


def _branches(
    network: Network, settled: Configuration, nodes: Mapping[Point, str]
) -> Iterator[str]:
    name = _unique()
    for number, edge in enumerate(network.edges):
        tail, head = (nodes[network.points[node]] for node in (edge.tail, edge.head))
        about = _about(edge)
        label = name(f"{edge.kind}_{edge.element.element if edge.element else about}")
        ohm, volt = repr(float(settled.ohm[number])), float(settled.emf[number])
        if not settled.present[number]:
            yield f"* carries nothing now: {edge.kind} {about}, {tail} to {head}"
            continue
        if not volt:
            yield f"R{label} {tail} {head} {ohm}"
            continue
        # The voltage rises from tail to head behind the inner resistance.
        yield f"R{label} {tail} {label}_inside {ohm}"
        yield f"V{label} {head} {label}_inside {volt!r}"


def _about(edge: Edge) -> str:
    """What an edge stands for, in the person's own names."""
    if edge.wire is not None:
        return str(edge.wire.wire)
    if edge.element is not None:
        return f"{edge.element.element} ({edge.element.kind}) in {edge.element.device}"
    return _ascii(str(edge.at[0]).lstrip("~"))


def _ties(network: Network, settled: Configuration, nodes: Mapping[Point, str]) -> Iterator[str]:
    pairs = [
        (network.points[edge.tail], network.points[edge.head])
        for number, edge in enumerate(network.edges)
        if settled.present[number]
    ]
    part_of = joined(pairs)
    ground = part_of.get(METAL, METAL)
    loose = [part for part in dict.fromkeys(part_of.values()) if part != ground]
    for number, part in enumerate(loose, start=1):
        # Engineering letters differ from program to program; plain digits do not.
        yield f"Rtie_{number} {nodes[part]} {GROUND} {TIE_OHM!r}"


def _ascii(text: str) -> str:
    """What is safe on a comment line of any program."""
    return " ".join(text.encode("ascii", "replace").decode().split())[:_WIDTH]

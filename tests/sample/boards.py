"""Trees of branches and small looms on them, to lay on a board."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hypothesis import strategies as st

from loomwright.build.board_plan import Bounds
from loomwright.loom import About, Branch, Face, Fixing, Job, Joint, Plug, Point, Wire

BOUNDS = Bounds(width_mm=2500.0, clear_mm=40.0, fork_mm=160.0, bend_mm=60.0)
Sizes = Mapping[str, Sequence[tuple[float, float]]]


def rows(*stretches: tuple[str, str, float]) -> tuple[Branch, ...]:
    """Rows of the table branches: from, to, length."""
    return tuple(
        Branch(branch=f"B{n}", from_place=one, to_place=other, length_mm=long)
        for n, (one, other, long) in enumerate(stretches, start=1)
    )


@st.composite
def trees(draw: st.DrawFn, most: int = 9, longest: float = 1500.0) -> tuple[Branch, ...]:
    """Any tree of branches, each written down in either direction."""
    count = draw(st.integers(1, most))
    stretches = []
    for n in range(1, count + 1):
        start, long = draw(st.integers(0, n - 1)), draw(st.integers(30, int(longest)))
        ends = (f"place {start}", f"place {n}")
        if draw(st.booleans()):
            ends = (ends[1], ends[0])
        stretches.append((*ends, float(long)))
    return rows(*stretches)


def boxes(branches: Sequence[Branch]) -> Sizes:
    """A box for every other place, some with two sizes to choose from."""
    places = sorted({p for b in branches for p in (b.from_place, b.to_place)})
    sizes = ((120.0, 60.0), (60.0, 120.0))
    return {place: sizes[: 1 + n % 2] for n, place in enumerate(places) if n % 2 == 0}


def small_job() -> Job:
    """Two plugs, an earth and a splice on three branches, a clip: all that a board shows."""
    plug = {"face": Face.parse("1 2"), "seen_from": "mating"}
    wires = (
        ("W1", Point("A", "1"), Point("S"), "RD", 1.0),
        ("W2", Point("S"), Point("B", "1"), "RD/BK", 0.75),
        ("W3", Point("B", "2"), Point("E"), "BN", None),
        ("W4", Point("A", "2"), Point("S"), None, 1.0),
    )
    return Job(
        about=About(title="Small board (invented)"),
        plugs=(
            Plug(plug="A", label="Left plug", place="left", latch="top", **plug),
            Plug(plug="B", place="right", **plug),
        ),
        joints=(
            Joint(joint="S", kind="splice", place="fork"),
            Joint(joint="E", kind="earth", place="below"),
        ),
        wires=tuple(
            Wire(wire=name, from_point=one, to_point=other, colour=colour, section_mm2=section)
            for name, one, other, colour, section in wires
        ),
        branches=rows(("left", "fork", 180.0), ("fork", "right", 130.0), ("below", "fork", 90.0)),
        fixings=(Fixing(fixing="CLIP1", kind="clip", branch="B1", at_mm=60.0),),
    )

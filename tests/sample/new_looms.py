"""Small looms to be made new, written down branch by branch; all invented."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

from hypothesis import strategies as st

from loomwright.loom import (
    About,
    Branch,
    Face,
    Fixing,
    Job,
    Joint,
    OwnFigure,
    Part,
    Plug,
    Point,
    Wire,
    Zone,
)
from loomwright.loom.identity import BranchId, FixingId, JointId, PartId, PlugId, WireId, ZoneId


def branch(text: str, **more: object) -> Branch:
    """`B1 a b 500` from place to place [mm]."""
    name, start, end, length = text.split()
    return Branch(
        branch=BranchId(name), from_place=start, to_place=end, length_mm=float(length),
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


def wire(text: str, **more: object) -> Wire:
    """`W1 P.1 S 1.5` from point to point [mm²]."""
    name, one, other, section = text.split()
    return Wire(
        wire=WireId(name), from_point=Point.parse(one), to_point=Point.parse(other),
        section_mm2=float(section),
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


def new_loom(
    branches: tuple[Branch, ...],
    wires: tuple[Wire, ...],
    *,
    plugs: Mapping[str, str] | None = None,
    joints: Mapping[str, str] | None = None,
    **more: object,
) -> Job:
    """A job of branches and wires.

    Parameters
    ----------
    branches, wires : as `branch` and `wire` make them
    plugs : plug to its place; each has twenty cavities, and the boot `none`
    joints : joint to `kind place`; the place may be left out
    more : other tables of the job
    """
    face = Face.parse(" ".join(map(str, range(1, 21))))
    kinds = {name: (*text.split(" ", 1), None)[:2] for name, text in (joints or {}).items()}
    return Job(
        about=About(title="A new loom"),
        branches=branches,
        wires=wires,
        plugs=tuple(
            Plug(plug=PlugId(name), face=face, place=place or None, boot="none")
            for name, place in (plugs or {}).items()
        ),
        joints=tuple(
            Joint(joint=JointId(name), kind=str(kind), place=place)
            for name, (kind, place) in kinds.items()
        ),
        **more,  # type: ignore[arg-type]
    )


def figures(**own: float) -> tuple[OwnFigure, ...]:
    """Figures of a job's own."""
    return tuple(OwnFigure(name=name, value=value) for name, value in own.items())


def clip(name: str, branch: str, at_mm: float | None, kind: str = "clip") -> Fixing:
    """A clip or grommet."""
    return Fixing(fixing=FixingId(name), kind=kind, branch=BranchId(branch), at_mm=at_mm)


def zone(name: str, soak_c: float | None) -> Zone:
    """A zone by what it reaches after a hot stop."""
    return Zone(zone=ZoneId(name), soak_c=soak_c)


def splice_part(name: str, low: float | None, high: float | None) -> Part:
    """A splice of the catalogue with its range [mm²]."""
    return Part(part=PartId(name), kind="splice", section_min_mm2=low, section_max_mm2=high)


@st.composite
def small_looms(
    draw: st.DrawFn, *, most_places: int = 5, most_splices: int = 2, longest: int = 8
) -> Job:
    """A tree of few places with splices, some with a wire between them; lengths of whole 10 mm."""
    size = draw(st.integers(2, most_places))
    branches = tuple(
        branch(f"B{i} {a} {b} {10 * draw(st.integers(1, longest))}")
        for i in range(1, size)
        for above in [draw(st.integers(0, i - 1))]
        for a, b in [draw(st.permutations([f"p{above}", f"p{i}"]))]
    )
    splices = [f"S{i}" for i in range(draw(st.integers(1, most_splices)))]
    wires = []
    for splice in splices:
        for _ in range(draw(st.integers(1, 4))):
            end = draw(st.integers(0, size - 1))
            section = draw(st.sampled_from([0.5, 0.75, 1.0, 1.5, 2.5]))
            wires.append(wire(f"W{len(wires)} P{end}.1 {splice} {section}"))
    for one, other in pairwise(splices):
        if draw(st.booleans()):
            wires.append(wire(f"W{len(wires)} {one} {other} 1.0"))
    return new_loom(
        branches,
        tuple(wires),
        plugs={f"P{i}": f"p{i}" for i in range(size)},
        joints=dict.fromkeys(splices, "splice p0"),
    )

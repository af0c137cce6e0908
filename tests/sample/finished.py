"""Small looms out of the car, from a few words: plugs with their faces, joints, wires."""

from __future__ import annotations

from loomwright import standards
from loomwright.build.continuity import FinishedLoom
from loomwright.loom import About, Face, Job, Joint, MeterRange, Plug, Point, Wire
from loomwright.loom.identity import JointId, MeterId, PlugId, WireId

METER = MeterRange(
    meter=MeterId("DMM"), quantity="ohm", full_scale=400.0, percent=0.8, counts=3.0, resolution=0.1
)


def loom(
    wires: str, *, joints: str = "", mm2: float = 0.75, mm: float = 2000.0, **faces: str
) -> Job:
    """A loom of equal wires.

    Parameters
    ----------
    wires : `A.1-B.1 A.2-SP`; they are called W1, W2 and so on
    joints : `SP=splice E=earth`
    mm2, mm : section and length of each wire
    faces : the face of each plug: `A="1 2 / 3 4"`
    """
    pairs = [pair.split("-") for pair in wires.split()]
    return Job(
        about=About(title="Small loom"),
        plugs=tuple(Plug(plug=PlugId(n), face=Face.parse(face)) for n, face in faces.items()),
        joints=tuple(
            Joint(joint=JointId(name), kind=kind)
            for name, kind in (each.split("=") for each in joints.split())
        ),
        wires=tuple(
            Wire(
                wire=WireId(f"W{number}"), from_point=Point.parse(one), to_point=Point.parse(other),
                section_mm2=mm2, length_mm=mm,
            )
            for number, (one, other) in enumerate(pairs, start=1)
        ),
        meters=(METER,),
    )  # fmt: skip


def finished(job: Job, **value: float) -> FinishedLoom:
    """The job's loom with its tests, some defaults replaced."""
    return FinishedLoom(job, standards.values(value))


STAR = loom(
    "A.1-SP A.2-SP B.1-SP A.3-B.2 A.4-E B.3-E", joints="SP=splice E=earth",
    A="1 2 3 / 4 5 .", B="1 2 3",
)  # fmt: skip
"""A spliced net of three cavities, a plain wire, an eyelet with two wires, and an empty cavity."""

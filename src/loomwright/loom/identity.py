"""Names of things in a loom, and the points a probe can touch."""

from __future__ import annotations

import re
from typing import NewType

import attrs

PlugId = NewType("PlugId", str)
WireId = NewType("WireId", str)
JointId = NewType("JointId", str)
DeviceId = NewType("DeviceId", str)
ElementId = NewType("ElementId", str)
CurveId = NewType("CurveId", str)
MeterId = NewType("MeterId", str)
ReadingId = NewType("ReadingId", str)
BranchId = NewType("BranchId", str)
ZoneId = NewType("ZoneId", str)
PartId = NewType("PartId", str)
TrialId = NewType("TrialId", str)
SetUpId = NewType("SetUpId", str)
SupplierId = NewType("SupplierId", str)
OfferId = NewType("OfferId", str)
TaskId = NewType("TaskId", str)
FixingId = NewType("FixingId", str)
RunId = NewType("RunId", str)

IDENTIFIER = re.compile(r"[A-Za-z0-9_-]{1,40}\Z")

CASE_PIN = "case"
"""Reserved pin name: the metal body of a device, bolted to the engine and so to earth."""


@attrs.frozen(order=True, cache_hash=True)
class Point:
    """A place where a probe can touch: `PLUG.cavity`, `DEVICE.pin` or a joint.

    Attributes
    ----------
    owner : plug, device or joint
    terminal : cavity or pin; empty for a joint
    """

    owner: str
    terminal: str = ""

    @classmethod
    def parse(cls, text: str) -> Point:
        """Read `T4.1` or `EARTH1`.

        Raises
        ------
        ValueError
            when the text is neither form; the message says which forms there are.
        """
        owner, dot, terminal = text.strip().partition(".")
        if not IDENTIFIER.match(owner) or (dot and not IDENTIFIER.match(terminal)):
            raise ValueError("a point is written PLUG.cavity, DEVICE.pin or JOINT")
        return cls(owner, terminal)

    def __str__(self) -> str:
        return f"{self.owner}.{self.terminal}" if self.terminal else self.owner

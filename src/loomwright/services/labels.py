"""What a person calls the things of a job: the name on the sheet with its label."""

from __future__ import annotations

from loomwright.loom import Job, Point, Topology
from loomwright.loom.schema.work_tables import WHOLE_LOOM
from loomwright.services.words import BETWEEN, listed, sentence


class Labels:
    """Names of a job's things, as text."""

    def __init__(self, job: Job) -> None:
        self.loom = Topology(job)
        self.wires = {str(wire.wire): wire for wire in job.wires}
        self.branches = {str(branch.branch): branch for branch in job.branches}

    def owner(self, name: str) -> str:
        """What is worked on, with its label: `plug TE (Engine temperature sensor plug)`.

        A plug, device or joint; a branch with its places as the sheet writes them, `branch B8
        (thermostat to air valve)`; `the whole loom`.
        """
        for word, kept in (
            ("plug", self.loom.plugs),
            ("device", self.loom.devices),
            ("joint", self.loom.joints),
        ):
            if name in kept:
                label = getattr(kept[name], "label", None)
                return f"{word} {name} ({label})" if label else f"{word} {name}"
        if name in self.branches:
            branch = self.branches[name]
            return f"branch {name} ({branch.from_place} to {branch.to_place})"
        return "the whole loom" if name == WHOLE_LOOM else name

    def called(self, name: str) -> str:
        """As the owner of the car knows it: `Engine temperature sensor plug (TE)`."""
        for kept in (self.loom.plugs, self.loom.devices, self.loom.joints):
            label = getattr(kept.get(name), "label", None)
            if label:
                return f"{label} ({name})"
        return sentence(self.owner(name) if name in self.branches else self.item(name))

    def item(self, name: str) -> str:
        """Any item: `wire W32 (CU.6 to TE.1)`, `plug TE (…), cavity 1`; a branch by name alone."""
        if name in self.wires:
            wire = self.wires[name]
            return f"wire {name} ({wire.from_point} to {wire.to_point})"
        owner, dot, terminal = name.partition(".")
        if not dot:
            return name if name in self.branches else self.owner(name)
        part = "cavity" if owner in self.loom.plugs else "pin"
        return f"{self.owner(owner)}, {part} {terminal}"

    def place(self, items: tuple[str, ...], kind: str) -> str:
        """Where a suspect lies: its items in one phrase, cavities of one plug together."""
        points = [Point.parse(item) for item in items if "." in item]
        owners = {point.owner for point in points}
        if len(points) == len(items) > 1 and len(owners) == 1:
            return f"{self.owner(points[0].owner)}, {self._terminals(points, kind)}"
        shown = [self.item(item) for item in items[:MOST]]
        more = len(items) - len(shown)
        return listed([*shown, f"{more} more"] if more else shown, "or")

    def _terminals(self, points: list[Point], kind: str) -> str:
        """`between cavities 1 and 3` for one fault at both, `cavity 1 or 2` for one at either."""
        names = [point.terminal for point in points]
        one, more = (
            ("cavity", "cavities") if points[0].owner in self.loom.plugs else ("pin", "pins")
        )
        if kind in BETWEEN and len(names) == 2:
            return f"between {more} {listed(names)}"
        return f"{one} {listed(names, 'or')}"


MOST = 3
"""Items named in one phrase; the rest are counted."""

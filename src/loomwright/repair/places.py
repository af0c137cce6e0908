"""Where things sit, which wires meet there, and how long it takes to reach them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

import attrs

from loomwright.diagnosis import Admissible, Model
from loomwright.loom import Job, Plug, Topology


@attrs.define(slots=False, eq=False)
class Places:
    """Look-ups of one job for those who plan work on it.

    Attributes
    ----------
    job : its plugs, wires and places
    value : defaults by name: `access_minutes_joint`
    """

    job: Job
    value: Mapping[str, float]

    @cached_property
    def loom(self) -> Topology:
        """What meets what."""
        return Topology(self.job)

    @cached_property
    def _opening(self) -> dict[str, float]:
        """Minutes to open each plug."""
        return Admissible(Model(self.job)).access

    @cached_property
    def _wires_of(self) -> dict[str, dict[str, None]]:
        found: dict[str, dict[str, None]] = {}
        for wire in self.job.wires:
            for point in (wire.from_point, wire.to_point):
                found.setdefault(point.owner, {})[str(wire.wire)] = None
        return found

    def wires(self, name: str) -> tuple[str, ...]:
        """Names of the wires that end at a plug or joint."""
        return tuple(self._wires_of.get(name, ()))

    def plugs_of(self, wire: str) -> tuple[Plug, ...]:
        """Plugs at the ends of a wire."""
        owners = dict.fromkeys(self.owners(wire))
        return tuple(self.loom.plugs[name] for name in owners if name in self.loom.plugs)

    def owners(self, wire: str) -> Iterator[str]:
        """What a wire ends at."""
        for each in self.job.wires:
            if each.wire == wire:
                yield each.from_point.owner
                yield each.to_point.owner

    def known(self, name: str) -> str | None:
        """The place of a plug, joint or device; None where it was not written down."""
        for table in (self.loom.plugs, self.loom.joints, self.loom.devices):
            row = table.get(name)
            if row is not None and row.place:
                return str(row.place)
        return None

    def all(self) -> tuple[str, ...]:
        """Every place of plugs, joints and branches; what has none opens by itself."""
        hung = (*self.loom.plugs, *self.loom.joints)
        ends = (end for branch in self.job.branches for end in (branch.from_place, branch.to_place))
        return tuple(dict.fromkeys((*(self.known(name) or str(name) for name in hung), *ends)))

    def minutes(self, place: str) -> float:
        """Minutes to reach a place: those of its plug that takes longest [min]."""
        here = [
            self._opening[plug.plug] for plug in self.job.plugs if place in (plug.place, plug.plug)
        ]
        return max(here, default=self.value["access_minutes_joint"])

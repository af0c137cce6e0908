"""Which heat zones a wire runs through and a plug sits in, as far as the job tells."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

import attrs

from loomwright.loom import Job, Topology, Wire, Zone


@attrs.frozen(kw_only=True)
class Stretch:
    """A piece of a wire's way, or the place of a plug.

    Attributes
    ----------
    where : the branch, or the plug or joint at an end
    zone : its heat zone; None where the job does not tell it, or not how warm it runs
    wires : wires that lie side by side there
    """

    where: str
    zone: Zone | None
    wires: tuple[str, ...]

    @property
    def running_c(self) -> float | None:
        """Surroundings while running [°C]."""
        return None if self.zone is None else self.zone.running_c


@attrs.define(slots=False, eq=False)
class HeatZones:
    """Look-ups of one job.

    A plug is as warm as the device it fits onto; a joint, and a plug on another plug, as the
    hottest device at its place, or else as the hottest branch that ends there.
    """

    job: Job

    @cached_property
    def loom(self) -> Topology:
        """What meets what."""
        return Topology(self.job)

    def stretches(self, wire: Wire) -> tuple[Stretch, ...]:
        """The way of a wire: its branches, then its two ends."""
        return (
            *(self._branches[name] for name in wire.branches if name in self._branches),
            *(self.at(end.owner) for end in (wire.from_point, wire.to_point)),
        )

    def at(self, owner: str) -> Stretch:
        """Where a plug or joint sits."""
        if owner not in self._ends:
            names = dict.fromkeys(str(wire.wire) for wire in self._wires_of.get(owner, ()))
            self._ends[owner] = Stretch(where=owner, zone=self._zone_at(owner), wires=(*names,))
        return self._ends[owner]

    @cached_property
    def zones(self) -> dict[str, Zone]:
        """Zones by name, those of which is known how warm they run."""
        return {
            str(zone.zone): zone for zone in reversed(self.job.zones) if zone.running_c is not None
        }

    @cached_property
    def _ends(self) -> dict[str, Stretch]:
        return {}

    @cached_property
    def _wires_of(self) -> dict[str, list[Wire]]:
        found: dict[str, list[Wire]] = {}
        for wire in self.job.wires:
            for end in (wire.from_point, wire.to_point):
                found.setdefault(end.owner, []).append(wire)
        return found

    @cached_property
    def _branches(self) -> dict[str, Stretch]:
        inside: dict[str, list[str]] = {}
        for wire in self.job.wires:
            for name in dict.fromkeys(wire.branches):
                inside.setdefault(name, []).append(str(wire.wire))
        return {
            str(branch.branch): Stretch(
                where=str(branch.branch),
                zone=self.zones.get(branch.zone or ""),
                wires=tuple(inside.get(branch.branch, ())),
            )
            for branch in self.job.branches
        }

    def _zone_at(self, owner: str) -> Zone | None:
        plug = self.loom.plugs.get(owner)
        device = self.loom.devices.get((plug and plug.mates_with) or "")
        if device is not None and device.zone in self.zones:
            return self.zones[device.zone]
        row = plug or self.loom.joints.get(owner)
        place = None if row is None else row.place
        return None if place is None else self._zone_of_place.get(place)

    @cached_property
    def _zone_of_place(self) -> dict[str, Zone]:
        found: dict[str, Zone] = {}
        for named in (self._by_branch(), self._by_device()):
            here: dict[str, Zone] = {}
            for place, name in named:
                zone = self.zones.get(name)
                if zone and (place not in here or _heat(zone) > _heat(here[place])):
                    here[place] = zone
            found |= here
        return found

    def _by_branch(self) -> Iterator[tuple[str, str]]:
        for branch in self.job.branches:
            for place in (branch.from_place, branch.to_place):
                yield place, branch.zone or ""

    def _by_device(self) -> Iterator[tuple[str, str]]:
        for device in self.job.devices:
            yield device.place or "", device.zone or ""


def _heat(zone: Zone) -> float:
    return zone.running_c or 0.0

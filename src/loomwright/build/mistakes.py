"""A single mistake of a loom's maker, put into the loom: does the list of tests show it?

What is wrong goes into the links of the nets that it touches, and the tests of these nets are made
on them. A mistake counts as shown by its ohms only where any meter within its doubt would read
above the limit; a bridge lowers ohms and never raises them (Rayleigh), so only isolation shows it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import Literal

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright.build.continuity import ContinuityTest, FinishedLoom, Way
from loomwright.build.isolation import group_tests, parted, sides
from loomwright.build.links import Link, ohms_from, reached
from loomwright.loom import Plug, Point, Wire

Shown = Literal["open", "joined", "limit", ""]
"""What shows a mistake: a line that is open, nets that are joined, a limit, or nothing."""

BRIDGE_OHM = 1e-3
"""Two strands or a blob of solder between two cavities [Ω]."""


@attrs.frozen(kw_only=True)
class Mistake:
    """One thing made wrong.

    Attributes
    ----------
    items : the wires, cavities or plugs that it is about
    nets : numbers of the nets that it touches
    links : how these nets then are; None where no meter could tell any difference
    """

    items: tuple[str, ...]
    nets: tuple[int, ...] = ()
    links: tuple[Link, ...] | None = None


@attrs.frozen
class Verdict:
    """What becomes of one mistake.

    Attributes
    ----------
    mistake : what was made wrong
    shown : what shows it with four leads
    shown_by_two : what shows it with two
    """

    mistake: Mistake
    shown: Shown
    shown_by_two: Shown


@attrs.define(slots=False, eq=False)
class Maker:
    """Puts mistakes into a loom and makes its tests on them.

    Attributes
    ----------
    finished : the loom as it should be, with its tests
    """

    finished: FinishedLoom

    @cached_property
    def sides(self) -> NDArray[np.int8]:
        """On which side each net is in each isolation test."""
        count = len(self.finished.nets)
        return sides(group_tests(count), count)

    @cached_property
    def hub_at(self) -> Mapping[Point, int]:
        """The net whose hub a point is."""
        return {hub: number for number, hub in enumerate(self.finished.hubs)}

    def verdict(self, mistake: Mistake) -> Verdict:
        """What shows one mistake."""
        if mistake.links is None:
            return Verdict(mistake, "", "")
        tests = [test for net in mistake.nets for test in self.finished.tests_of[net]]
        there = {net: reached(mistake.links, self.finished.hubs[net]) for net in mistake.nets}
        told: Shown = ""
        if any(test.far not in there[test.net] for test in tests):
            told = "open"
        elif any(self._joins(net, points) for net, points in there.items()):
            told = "joined"
        if told:
            return Verdict(mistake, told, told)
        return Verdict(mistake, *self._by_limit(mistake, tests))

    def _joins(self, net: int, points: Sequence[Point]) -> bool:
        others = {self.hub_at[point] for point in points if point in self.hub_at} - {net}
        return any(parted(self.sides, net, other) for other in others)

    def _by_limit(self, mistake: Mistake, tests: Sequence[ContinuityTest]) -> tuple[Shown, Shown]:
        finished = self.finished
        ohms = {
            net: ohms_from(mistake.links or (), finished.hubs[net])
            for net in mistake.nets
            if finished.tests_of[net]
        }

        def above(way: Way, test: ContinuityTest, limit: float) -> bool:
            found = ohms[test.net][test.far]
            return found - way.doubt_ohm(found) > limit

        four = any(above(finished.four_leads, test, test.limit_ohm) for test in tests)
        two = any(above(finished.two_leads, test, test.two_lead_ohm) for test in tests)
        return "limit" if four else "", "limit" if two else ""

    @cached_property
    def net_of_wire(self) -> Mapping[str, int]:
        """The number of the net of every wire, by its name."""
        return {
            str(wire.wire): number
            for number, net in enumerate(self.finished.nets)
            for wire in net.wires
        }

    @property
    def wires(self) -> Iterator[Wire]:
        """The wires of all nets."""
        for net in self.finished.nets:
            yield from net.wires

    def wired(self, plug: Plug) -> tuple[Point, ...]:
        """The cavities of a plug that hold a wire."""
        cavities = (Point(plug.plug, name) for name in plug.face.cavities)
        return tuple(point for point in cavities if point in self.finished.net_of)

    @property
    def plugs(self) -> Iterator[Plug]:
        """The plugs that hold a wire."""
        return (plug for plug in self.finished.loom.plugs.values() if self.wired(plug))

    def with_wire(self, wire: Wire, links: Callable[[Link], Sequence[Link]]) -> Mistake:
        """A net in which other links take the place of a wire's."""
        name = str(wire.wire)
        net = self.net_of_wire[name]
        there = self.finished.links[net]
        changed = (
            each for link in there for each in (links(link) if link.wire == name else [link])
        )
        return Mistake(items=(name,), nets=(net,), links=tuple(changed))

    def moved(self, items: tuple[str, ...], to: Mapping[Point, Point]) -> Mistake:
        """The nets in which wires of some cavities are in others."""
        net_of = self.finished.net_of
        touched = tuple(dict.fromkeys(net_of[point] for point in to if point in net_of))
        links = (
            attrs.evolve(link, one=to.get(link.one, link.one), other=to.get(link.other, link.other))
            for net in touched
            for link in self.finished.links[net]
        )
        return Mistake(items=items, nets=touched, links=tuple(links))

    def bridged(self, one: Point, other: Point) -> Mistake:
        """Two points that touch."""
        net_of = self.finished.net_of
        touched = tuple(dict.fromkeys((net_of[one], net_of[other])))
        links = [link for net in touched for link in self.finished.links[net]]
        bridge = Link(one, other, BRIDGE_OHM, "")
        return Mistake(items=(str(one), str(other)), nets=touched, links=(*links, bridge))

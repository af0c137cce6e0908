"""The fewest continuity tests that prove every net of a finished loom, each with its limit.

To show that k ends hang together takes k - 1 tests: each test joins two ends at most, and with
fewer the ends fall into two groups that no test has joined. One probe stays at the net's hub, the
other goes from end to end; as every wire leads on to an end, every wire and crimp then lies on a
tested way. The hub is the end that has the least ohms to the others, so that a bad crimp stands
out most.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from functools import cached_property

import attrs

from loomwright.build.links import Link, links_of, ohms_from, shortest, wire_ohms
from loomwright.build.nets import Net, nets
from loomwright.circuit import Assumptions
from loomwright.loom import Job, MeterRange, Point, Topology, Wire
from loomwright.physics.conductor import run_limit
from loomwright.physics.meter import half_width


@attrs.frozen(kw_only=True)
class Way:
    """How exactly a meter tells ohms.

    Attributes
    ----------
    percent : of the reading
    ohm : what comes on top, probes and display together [Ω]
    """

    percent: float
    ohm: float

    def doubt_ohm(self, ohm: float) -> float:
        """How far a reading may be off [Ω]."""
        return float(half_width(ohm, percent=self.percent, counts=1, resolution=self.ohm))


@attrs.frozen(kw_only=True)
class ContinuityTest:
    """One line of the list.

    Attributes
    ----------
    net : number of its net
    hub, far : where the probe stays, and where the other one goes
    wires : on the shortest way between them
    sound_ohm : what copper, crimps and splices have [Ω]
    limit_ohm : most that may be read with four leads [Ω]
    two_lead_ohm : most that may be read with two, the meter zeroed [Ω]
    two_lead_tells : whether two leads are exact enough: their doubt is below the limit itself
    known : whether section and length of all these wires are written down
    """

    net: int
    hub: Point
    far: Point
    wires: tuple[str, ...]
    sound_ohm: float
    limit_ohm: float
    two_lead_ohm: float
    two_lead_tells: bool
    known: bool


@attrs.define(slots=False, eq=False)
class FinishedLoom:
    """A loom out of the car with nothing plugged in, and the tests that prove its nets.

    Attributes
    ----------
    job : plugs, joints and wires
    value : the number of every default, by its name
    lengths : cut lengths by the wires' names where they are known better than the job's [mm]
    """

    job: Job
    value: Mapping[str, float]
    lengths: Mapping[str, float] = attrs.field(factory=dict)

    @cached_property
    def loom(self) -> Topology:
        """What meets what."""
        return Topology(self.job)

    @cached_property
    def assume(self) -> Assumptions:
        """What is taken where the job is silent."""
        return Assumptions.of(self.value)

    @cached_property
    def as_cut(self) -> Job:
        """The job with the lengths that the wires are cut to."""
        rows = tuple(
            attrs.evolve(wire, length_mm=self.lengths[str(wire.wire)])
            if str(wire.wire) in self.lengths
            else wire
            for wire in self.job.wires
        )
        return attrs.evolve(self.job, wires=rows)

    @cached_property
    def nets(self) -> tuple[Net, ...]:
        """The nets, in the order in which they are tested."""
        return tuple(net for net, _ in self._by_hub)

    @cached_property
    def hubs(self) -> tuple[Point, ...]:
        """Where one probe stays, by the number of the net."""
        return tuple(hub for _, hub in self._by_hub)

    @cached_property
    def links(self) -> tuple[tuple[Link, ...], ...]:
        """The wires of each net as ohms."""
        return tuple(links_of(net.wires, self.ohms) for net in self.nets)

    @cached_property
    def net_of(self) -> Mapping[Point, int]:
        """The number of the net of every wired point."""
        return {point: number for number, net in enumerate(self.nets) for point in net.points}

    @cached_property
    def ohms(self) -> Mapping[str, float]:
        """Resistance of every wire with its crimps [Ω], by its name."""
        return wire_ohms(self.as_cut, self.assume)

    @cached_property
    def two_leads(self) -> Way:
        """The meter of the job with two leads, zeroed; a usual one where the job names none."""
        row = finest_range(self.job)
        known = (None, None, None) if row is None else (row.percent, row.counts, row.resolution)
        percent, counts, step = known
        full = row.full_scale if row else self.value["meter_full_scale_counts"] * 0.1
        step = full / self.assume.meter_full_scale_counts if step is None else step
        counts = self.assume.meter_counts if counts is None else counts
        return Way(
            percent=self.assume.meter_percent if percent is None else percent,
            ohm=counts * step + self.assume.probe_spread_ohm,
        )

    @cached_property
    def four_leads(self) -> Way:
        """Four leads, or a known current and millivolts."""
        return Way(
            percent=self.value["four_lead_percent"], ohm=self.value["four_lead_doubt"] * 1e-3
        )

    @cached_property
    def tests(self) -> tuple[ContinuityTest, ...]:
        """The list, net by net, the far ends plug by plug."""
        return tuple(
            self._test(number, far)
            for number, net in enumerate(self.nets)
            for far in sorted(net.ends, key=self.place)
            if far != self.hubs[number]
        )

    @cached_property
    def tests_of(self) -> Mapping[int, tuple[ContinuityTest, ...]]:
        """The lines of each net, by its number."""
        found: dict[int, list[ContinuityTest]] = {number: [] for number in range(len(self.nets))}
        for test in self.tests:
            found[test.net].append(test)
        return {number: tuple(tests) for number, tests in found.items()}

    def place(self, point: Point) -> tuple[int, int]:
        """Where a point stands in the sheets: plug before joint, cavity by cavity."""
        return self._places.get(point, (len(self._places), 0))

    @cached_property
    def _places(self) -> Mapping[Point, tuple[int, int]]:
        found = {
            Point(plug.plug, cavity): (number, place)
            for number, plug in enumerate(self.job.plugs)
            for place, cavity in enumerate(plug.face.cavities)
        }
        plugs = len(self.job.plugs)
        for number, joint in enumerate(self.job.joints):
            found.setdefault(Point(joint.joint), (plugs + number, 0))
        return found

    @cached_property
    def _by_hub(self) -> tuple[tuple[Net, Point], ...]:
        """Nets with their hubs: the plug with most hubs first, then cavity by cavity."""
        found = nets(self.job)
        nets_at = Counter(owner for net in found for owner in {end.owner for end in net.ends})
        pairs = [(net, self._hub(net, nets_at)) for net in found]
        hubs_at = Counter(hub.owner for _, hub in pairs)
        return tuple(sorted(pairs, key=lambda pair: (-hubs_at[pair[1].owner], self.place(pair[1]))))

    def _hub(self, net: Net, nets_at: Mapping[str, int]) -> Point:
        """The end nearest to all others; between equals the one at the plug with most nets."""
        links = links_of(net.wires, self.ohms)

        def far(end: Point) -> tuple[float, int, tuple[int, int]]:
            ohms = ohms_from(links, end)
            away = round(sum(ohms[other] for other in net.ends), 9)
            return away, -nets_at[end.owner], self.place(end)

        return min(net.ends, key=far)

    @cached_property
    def _sound(self) -> tuple[Mapping[Point, float], ...]:
        return tuple(
            ohms_from(links, hub) for links, hub in zip(self.links, self.hubs, strict=True)
        )

    def _test(self, number: int, far: Point) -> ContinuityTest:
        sound = self._sound[number][far]
        wires = shortest(self.links[number], self.hubs[number], far)
        limit, two = (self._limit(sound, way) for way in (self.four_leads, self.two_leads))
        wired = {str(wire.wire): wire for wire in self.as_cut.wires}
        return ContinuityTest(
            net=number,
            hub=self.hubs[number],
            far=far,
            wires=wires,
            sound_ohm=sound,
            limit_ohm=limit,
            two_lead_ohm=two,
            two_lead_tells=self.two_leads.doubt_ohm(sound) <= limit,
            known=all(_is_known(wired[name]) for name in wires),
        )

    def _limit(self, sound_ohm: float, way: Way) -> float:
        # The crimps are in the sound value already; what the probe meets comes on top.
        return float(
            run_limit(
                sound_ohm,
                contact_pairs=2,
                contact_pair_ohm=self.assume.contact_ohm,
                meter_ohm=way.doubt_ohm(sound_ohm),
            )
        )


def finest_range(job: Job) -> MeterRange | None:
    """The smallest range of ohms that the job's meters have; None where it names none."""
    ranges = [row for row in job.meters if row.quantity == "ohm"]
    return min(ranges, key=lambda row: row.full_scale, default=None)


def _is_known(wire: Wire) -> bool:
    built = wire.section_mm2 is not None or bool(wire.strands and wire.strand_mm)
    return built and wire.length_mm is not None

"""Ways of choosing the next reading; all of them face the same posterior and the same stop rule."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import Protocol

import attrs
import numpy as np

from loomwright.diagnosis.admissible import Candidate, Situation
from loomwright.diagnosis.complaint import complaint_of
from loomwright.diagnosis.model import Probe, Setting
from loomwright.diagnosis.next_reading import Advisor
from loomwright.diagnosis.posterior import Posterior
from loomwright.diagnosis.taken import Taken
from loomwright.diagnosis.weighing import Diagnosis
from loomwright.loom import CASE_PIN, Point, State

START = State.parse("key=off; throttle=shut; engine_c=20; air_c=20")
METER = "DMM"


class Policy(Protocol):
    """Chooses readings for one diagnosis."""

    def next(self, posterior: Posterior | None) -> Candidate | None:
        """The next reading with its minutes, None when there is no more to take."""

    @property
    def quiet(self) -> bool:
        """Whether nothing odd was read yet and the next reading is known without a posterior."""


@attrs.define(slots=False, eq=False)
class Advised:
    """The package's own choice: most information a minute.

    Parameters
    ----------
    diagnosis : the readings so far
    seed : of the sample that stands for the posterior
    """

    diagnosis: Diagnosis
    seed: int = 0
    advisor: Advisor = attrs.field(init=False)

    def __attrs_post_init__(self) -> None:
        self.advisor = Advisor(self.diagnosis, seed=self.seed)

    @property
    def quiet(self) -> bool:
        return False

    def next(self, posterior: Posterior | None) -> Candidate | None:
        if posterior is None:
            return None
        now = None if self.diagnosis.taken else beginning()
        found = self.advisor.suggest(posterior, 1, now)
        return found[0].candidate if found else None


def beginning() -> Situation:
    """Where every job starts: nothing opened, key off, all at 20 °C, meter in hand."""
    return Situation(state=START, meter=METER)


class Checklist:
    """A patient person with a wiring diagram.

    Control plug off: every pin to earth in order, then to supply. Then supply with the key on.
    Then every other plug, opened, in the order of the sheet; where the owner complains, first
    those that hold a fault the complaint makes likelier, the weightiest first. At each: its
    cavities to earth, to the control plug along their wires, and its device's pins. A reading
    that is not what the sound loom would give (by more than three standard uncertainties) is
    followed at once into the plugs on that pin's net. A reading that has been taken is not taken
    again.
    """

    BAD, ODD = 3.0, 1.5
    SPOKEN = 1.2

    def __init__(self, diagnosis: Diagnosis) -> None:
        self.diagnosis, self.model = diagnosis, diagnosis.model
        self.advisor = Advisor(diagnosis)
        self.admissible = self.advisor.admissible
        self.rest = Setting.of(START, self.admissible.control)
        self.waiting: list[Probe] = []
        self.followed: set[str] = set()
        self.done: set[tuple[object, ...]] = set()
        self.odd = False
        self.order = self.in_order()

    @property
    def quiet(self) -> bool:
        return not self.odd

    def next(self, posterior: Posterior | None) -> Candidate | None:
        self.follow()
        for probe in self.upcoming():
            key = (probe.quantity, frozenset((probe.plus, probe.minus)), probe.setting)
            if key not in self.done:
                self.done.add(key)
                now = self.advisor.situation() if self.diagnosis.taken else beginning()
                return self.admissible.candidate(probe, now)
        return None

    def upcoming(self) -> Iterator[Probe]:
        while self.waiting:
            yield self.waiting.pop(0)
        # Not `yield from`: closing this generator would close the order with it.
        while (probe := next(self.order, None)) is not None:
            yield probe

    def follow(self) -> None:
        """Put the plugs that hang on a bad reading's pins first in the queue."""
        if not self.diagnosis.taken:
            return
        last = self.diagnosis.taken[-1]
        strange = self.strangeness(last)
        self.odd |= strange > self.ODD
        if strange > self.BAD:
            for point in (last.probe.plus, last.probe.minus):
                for plug in self.plugs_on(point):
                    if plug not in self.followed:
                        self.followed.add(plug)
                        self.waiting += self.at_plug(plug)

    @staticmethod
    def strangeness(taken: Taken) -> float:
        """How far a reading is from the sound loom's, in standard uncertainties."""
        sound, read = taken.predicted.rows(np.array([0])), taken.observed
        if bool(sound.over[0]) or read.over:
            return 0.0 if bool(sound.over[0]) == read.over else np.inf
        return abs(read.z - float(sound.z[0])) / float(np.sqrt(sound.variance[0]))

    def plugs_on(self, point: Point) -> list[str]:
        """Other plugs whose cavities hang together with a point through wires and plug pairs."""
        node = self.model.network.node(point)
        if node is None or node == self.model.network.earth:
            return []
        loom, nets, node_of = (
            self.model.network.topology,
            self.model.nets,
            self.model.network.node_of,
        )
        reached, found = {nets[node]}, []
        for _ in range(3):  # through two plug pairs at most
            for plug in self.model.job.plugs:
                if plug.plug in self.admissible.control:
                    continue
                for cavity in self.admissible.wired[plug.plug]:
                    if nets[node_of[cavity]] in reached:
                        found.append(plug.plug)
                        across = loom.across(cavity)
                        if across in node_of and across.owner in loom.plugs:
                            reached.add(nets[node_of[across]])
        return list(dict.fromkeys(found))

    def in_order(self) -> Iterator[Probe]:
        control = [p for plug in self.admissible.control for p in self.admissible.wired[plug]]
        earth, supply = self.admissible.earth_point, self.admissible.supply_point
        for rail in (earth, supply):
            if rail is not None:
                for point in control:
                    yield Probe("ohm", point, rail, self.rest, METER)
        if earth is not None and supply is not None:
            on = Setting.of(START.changed(key="on"), self.admissible.control)
            for point in control:
                yield Probe("volt", point, earth, on, METER)
        for plug in self.complained_of():
            yield from self.at_plug(plug)
        for each in self.model.job.plugs:
            if each.plug not in self.admissible.control:
                yield from self.at_plug(each.plug)

    def complained_of(self) -> list[str]:
        """Plugs at which the complaint makes some fault likelier, the weightiest first.

        A plug's weight is that of all likelier faults that lie at its cavities or in its device.
        """
        complaint = complaint_of(self.model)
        if complaint is None:
            return []
        plug_of = {each.mates_with: each.plug for each in self.model.job.plugs}
        weights: dict[str, float] = {}
        for number in np.flatnonzero(complaint.factor > self.SPOKEN).tolist():
            owners = {point.owner for point in self.model.faults[number].at}
            for plug in {plug_of.get(owner, owner) for owner in owners}:
                weights[plug] = weights.get(plug, 0.0) + float(self.model.weight[number])
        known = {each.plug for each in self.model.job.plugs} - set(self.admissible.control)
        return sorted(weights.keys() & known, key=lambda plug: (-weights[plug], plug))

    def at_plug(self, plug: str) -> list[Probe]:
        """Readings with one more plug off: its wires, then its device."""
        setting = Setting.of(START, (*self.admissible.control, plug))
        earth, loom = self.admissible.earth_point, self.model.network.topology
        control = [p for name in self.admissible.control for p in self.admissible.wired[name]]
        node_of, nets = self.model.network.node_of, self.model.nets
        found = []
        for point in self.admissible.wired[plug]:
            if earth is not None:
                found.append(Probe("ohm", point, earth, setting, METER))
            same = [c for c in control if nets[node_of[c]] == nets[node_of[point]]]
            found += [Probe("ohm", point, other, setting, METER) for other in same[:1]]
        device = loom.plugs[plug].mates_with or ""
        pins = [Point(device, pin) for pin in loom.pins.get(device, ())]
        pins = [pin for pin in pins if pin in node_of]
        for one, other in itertools.pairwise(pins):
            found.append(Probe("ohm", one, other, setting, METER))
        if earth is not None and Point(device, CASE_PIN) in node_of:
            found += [Probe("ohm", pin, earth, setting, METER) for pin in pins]
        return found

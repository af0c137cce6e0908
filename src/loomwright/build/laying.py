"""The order in which a new loom is laid on its board: a sort of steps by what must come before.

Splices are made first, the control unit's plug is finished before its wires are laid, long wires of
the trunk come before short branches and sensor pairs last; then the far ends are trimmed. Where a
mistake cannot be undone stands a hold point. Sources: common practice, no published source.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

import attrs

from loomwright.build.lengths import WireLength
from loomwright.build.sensor_wires import sensor_wires
from loomwright.build.step_order import (
    BOOT,
    CHECK,
    CRIMP,
    LAY,
    SPLICE,
    TEST,
    TRIM,
    Asked,
    LayStep,
    sorted_steps,
)
from loomwright.build.tree import LoomTree
from loomwright.repair.condition import NO_BOOT

_STAGE = {SPLICE: 0, CHECK: 1, BOOT: 2, CRIMP: 3, LAY: 4, TRIM: 6, TEST: 7}


def laying_order(tree: LoomTree, wires: Sequence[WireLength]) -> tuple[LayStep, ...]:
    """The steps of making the loom; every wire is laid once.

    Parameters
    ----------
    tree : branches, plugs and joints
    wires : those whose length is known, as `lengths.wire_lengths` gives them

    Returns
    -------
    steps in order; the same loom always gives the same order
    """
    return sorted_steps(tuple(_Order(tree, wires).steps()))


@attrs.define(slots=False, eq=False)
class _Order:
    tree: LoomTree
    wires: Sequence[WireLength]

    def steps(self) -> Iterator[Asked]:
        yield from self._splices()
        first = self._first
        if first:
            yield from self._end(first, after=self._checks(first), early=True)
        lays = list(self._lays())
        yield from lays
        at = {name: each.key for each in lays for name in each.wires}
        ends = [
            each for owner in self._at if owner != first and not self.tree.loom.is_splice(owner)
            for each in self._end(owner, after={at[name] for name in self._at[owner]})
        ]  # fmt: skip
        yield from ends
        yield from self._tests({each.key for each in (*lays, *ends)})

    # What is where

    @cached_property
    def _at(self) -> Mapping[str, tuple[str, ...]]:
        """Wires by the plug or joint at their ends, in the order of the sheets."""
        found: dict[str, list[str]] = defaultdict(list)
        for each in self.wires:
            for owner in dict.fromkeys(end.point.owner for end in each.ends):
                found[owner].append(each.wire)
        order = [*self.tree.loom.plugs][::-1] + [*self.tree.loom.joints][::-1]
        return {name: tuple(found[name]) for name in order if name in found}

    @cached_property
    def _first(self) -> str:
        """The plug of the control unit; without one, the plug with the most wires."""
        inputs = {each.device for each in self.tree.job.elements if each.kind == "input"}
        plugs = [name for name in self._at if name in self.tree.loom.plugs]
        mates = {name: self.tree.loom.plugs[name].mates_with for name in plugs}
        on_unit = [name for name in plugs if mates[name] in inputs]
        return max(on_unit or plugs, key=lambda name: len(self._at[name]), default="")

    def _checks(self, owner: str) -> set[tuple[str, str]]:
        """Checks of the splices that wires of a plug are in."""
        own = set(self._at[owner])
        return {
            (CHECK, name) for name, wires in self._at.items()
            if self.tree.loom.is_splice(name) and own.intersection(wires)
        }  # fmt: skip

    # Steps

    def _splices(self) -> Iterator[Asked]:
        for place, (name, wires) in enumerate(self._at.items()):
            if not self.tree.loom.is_splice(name):
                continue
            yield Asked(
                key=(SPLICE, name), order=(_STAGE[SPLICE], place), wires=wires, after=frozenset(),
                what=f"slide a sleeve on, then crimp splice {name}",
                why="a splice is made on the bench, where its barrel can be turned and seen",
            )  # fmt: skip
            yield Asked(
                key=(CHECK, name), order=(_STAGE[SPLICE], place, 1), wires=wires,
                after=frozenset({(SPLICE, name)}),
                what=f"pull at each wire of {name} and measure from wire to wire; then shrink the "
                "sleeve",
                why="under sleeve and tape it is not reached again",
            )  # fmt: skip

    def _end(self, owner: str, after: Iterable[tuple[str, str]], *, early: bool = False
             ) -> Iterator[Asked]:  # fmt: skip
        """Boot on, then terminals; `early` for the plug that is finished before laying."""
        plug, wires = self.tree.loom.plugs.get(owner), self._at[owner]
        place = float([*self._at].index(owner))
        stage = _STAGE[BOOT] if early else _STAGE[TRIM]
        before = frozenset(after)
        if plug is None or (plug.boot or "").strip().casefold() != NO_BOOT:
            cover = "the boot" if plug is not None else "the sleeve"
            yield Asked(
                key=(BOOT, owner), order=(stage, place, 0.0), wires=wires, after=before,
                what=f"{cover} of {owner} on all its wires, the right way round",
                why="it does not go over a terminal",
            )  # fmt: skip
            before |= {(BOOT, owner)}
        cut = "" if early else "trim to the mark on the board, "
        into = f"crimp, and seat the terminals in {owner}"
        spliced = [name for name in wires if self._of_splices(name)]
        if early and spliced:
            into += f"; measure {', '.join(spliced)} from the splice first, both ends are then made"
        yield Asked(
            key=(CRIMP if early else TRIM, owner), order=(stage, place, 1.0), wires=wires,
            after=before,
            what=cut + (into if plug is not None else f"crimp the eyelets for {owner}"),
            why="one end is made before laying: there the wires are counted off"
            if early else "far ends are trimmed when everything lies, so that all reach alike",
        )  # fmt: skip

    def _lays(self) -> Iterator[Asked]:
        """Wires in groups, each after the one below it."""
        last: frozenset[tuple[str, str]] = frozenset()
        for place, (key, what, why, names) in enumerate(self._groups()):
            held = {check for name in names for check in self._of_splices(name)}
            if self._first and set(names) & set(self._at[self._first]):
                held.add((CRIMP, self._first))
            yield Asked(
                key=(LAY, key), order=(_STAGE[LAY], place), what=what, why=why, wires=names,
                after=last | held,
            )  # fmt: skip
            last = frozenset({(LAY, key)})

    def _of_splices(self, wire: str) -> Sequence[tuple[str, str]]:
        return self._check_of.get(wire, ())

    @cached_property
    def _check_of(self) -> Mapping[str, list[tuple[str, str]]]:
        """Checks of the splices that each wire is in."""
        found: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for owner, wires in self._at.items():
            if self.tree.loom.is_splice(owner):
                for name in wires:
                    found[name].append((CHECK, owner))
        return found

    def _groups(self) -> Iterator[tuple[str, str, str, tuple[str, ...]]]:
        """Key, what, why and wires of each group, from the bottom of the bundle to its top."""
        sensors, left = sensor_wires(self.tree), {each.wire: each for each in self.wires}
        on_top: list[tuple[str, str, str, tuple[str, ...]]] = []
        for owner, wires in self._at.items():
            own = tuple(name for name in wires if name in left)
            if not self.tree.loom.is_splice(owner) or not own:
                continue
            for name in own:
                del left[name]
            thin = not sensors.isdisjoint(own)
            made = (
                f"splice {owner}", f"lay splice {owner} with its wires, at its mark",
                "sensor wires lie on top, the splice among them where it is seen" if thin else
                "what is made already goes down first; wires are then laid past it",
                own,
            )  # fmt: skip
            if thin:
                on_top.append(made)
            else:
                yield made
        yield from self._by_way([each for each in left.values() if each.wire not in sensors])
        yield from on_top
        pairs = tuple(name for name in left if name in sensors)
        if pairs:
            yield (
                "sensor pairs",
                "lay the sensor wires, each pair side by side",
                "thin wires lie last on top, where nothing is pulled over them",
                pairs,
            )

    def _by_way(self, wires: Sequence[WireLength]
                ) -> Iterator[tuple[str, str, str, tuple[str, ...]]]:  # fmt: skip
        """Wires of one way together: through the trunk first, the longest first."""
        through = Counter(str(s.branch.branch) for each in wires for s in each.way)
        trunk = max(through, key=lambda name: through[name], default="")
        groups: dict[tuple[str, ...], list[WireLength]] = defaultdict(list)
        for each in wires:
            groups[self._way_key(each)].append(each)
        rows = list(groups.items())
        rows.sort(
            key=lambda pair: (trunk not in pair[0], -pair[1][0].run_mm * bool(pair[1][0].way))
        )
        for way, members in rows:
            names = tuple(each.wire for each in members)
            if not members[0].way:
                yield (
                    "at " + way[0],
                    f"lay the wires at {way[0]}",
                    "short ones at one place lie over those that run through",
                    names,
                )
                continue
            why = "long wires of the trunk lie at the bottom" if trunk in way else (
                "branches are laid over the trunk they leave")  # fmt: skip
            yield "/".join(way), f"lay through {' '.join(way)}", why, names

    def _way_key(self, wire: WireLength) -> tuple[str, ...]:
        """Its branches, the same from either end; at one place, the place."""
        names = tuple(str(each.branch.branch) for each in wire.way)
        if names:
            return min(names, names[::-1])
        owner = wire.ends[0].point
        return (self.tree.place_of(owner) or owner.owner,)

    def _tests(self, before: set[tuple[str, str]]) -> Iterator[Asked]:
        everything = tuple(each.wire for each in self.wires)
        if not everything:
            return
        yield Asked(
            key=(TEST, "continuity"), order=(_STAGE[TEST], 0), wires=everything,
            after=frozenset(before),
            what="measure every wire end to end and against all others, while moving the plugs",
            why="before it is taped a wrong wire is changed in minutes",
        )  # fmt: skip
        yield Asked(
            key=(TEST, "fit"), order=(_STAGE[TEST], 1), wires=(),
            after=frozenset({(TEST, "continuity")}),
            what="tape, but leave the last 200 mm to each plug; fit the loom in the car, then tape "
            "them",
            why="only the car shows where a branch must leave",
        )  # fmt: skip

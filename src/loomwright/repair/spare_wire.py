"""The ledger of spare wire: how many crimps each plug has wire for, and when to stop and splice.

    rounds = 1 + ⌊(spare - service loop - first cut-back) / loss per retry⌋, 0 if that is negative

In a small plug all wires must end equal: one slip costs every wire of it a length, and all its
crimps are made anew. The wires of a large plug fan out, each with tries of its own. The chance that
a crimp fails is known by the trial record only, so it is carried as a beta distribution.

The rule is common practice, no published source; the chances are in `physics.retries`.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import floor

import attrs

from loomwright import standards
from loomwright.loom import Job, Plug, Point, Topology
from loomwright.loom.errors import OutOfRange
from loomwright.loom.identity import PlugId
from loomwright.physics.retries import (
    chance_all_equal_by_record,
    chance_each_alone_by_record,
    chance_of_enough_by_record,
)
from loomwright.repair.crimp_trials import SetUp, counts

COPPER = ("bright", "dark")
"""How the copper under the insulation may look where it is cut."""
_SURE = 0.95
_MOST_ROUNDS = 20  # reckoned with; the chance is then rather told too small than too large
_CLOSE_MM = 1e-6  # lengths are added in millimetres; a hair of rounding is not a lost try


@attrs.frozen(kw_only=True)
class Scrap:
    """What is known of the chance that a crimp fails: so much failed, so much good.

    The two are the parameters of a beta distribution: trials counted, on top of what common
    practice says, which weighs as a number of trials.
    """

    failed: float
    good: float

    @property
    def mean(self) -> float:
        """The share that fails, on average."""
        return self.failed / (self.failed + self.good)

    def after(self, failed: int, good: int = 0) -> Scrap:
        """The same after so many more crimps."""
        return Scrap(failed=self.failed + failed, good=self.good + good)


@attrs.frozen(kw_only=True)
class Outlook:
    """What the wire is worth when the copper looks one way.

    Attributes
    ----------
    copper : `bright` or `dark`
    first_cut_mm : first cut-back [mm]
    rounds : crimps there is wire for, the first included; of all wires together in a small plug
    chances : chance to finish before any slip, after one, two … down to no wire; of the plug, in a
        large plug after a slip of that one wire; every slip counts against the hand, too
    stop_after : slips after which it is spliced rather than cut again; 0 before the first cut
    terminals : terminals to have at hand, 95 % certain to suffice; no more than there is wire for
    """

    copper: str
    first_cut_mm: float
    rounds: int
    chances: tuple[float, ...]
    stop_after: int
    terminals: int

    @property
    def chance(self) -> float:
        """Chance to finish before any slip."""
        return self.chances[0]


@attrs.frozen(kw_only=True)
class Ledger:
    """The wire of one plug.

    Attributes
    ----------
    plug : its name
    ends : cavities with a wire, each a crimp
    equal : whether all wires must end equal
    spare_mm : wire that can be given up [mm]; None when not known
    loop_mm, retry_mm : service loop, and loss per retry [mm]
    outlooks : for bright and for dark copper, or for the one that was seen; empty when the spare
        is not known
    advice : what to do, in a sentence
    """

    plug: PlugId
    ends: int
    equal: bool
    spare_mm: float | None
    loop_mm: float
    retry_mm: float
    outlooks: tuple[Outlook, ...]
    advice: str


def scrap_record(
    set_ups: tuple[SetUp, ...] = (), figures: Mapping[str, float] | None = None
) -> Scrap:
    """Common practice on scrap, and the trials of one's own on top.

    Parameters
    ----------
    set_ups : trials of the terminals in question
    figures : the defaults by name; as shipped when not given

    Raises
    ------
    OutOfRange : a scrap or a weight of one's own that is not possible
    """
    value = figures or standards.values()
    share, weight = value["crimp_scrap"] / 100, value["crimp_scrap_weight"]
    if not weight > 0:
        raise OutOfRange(
            f"{weight:g} trials are not possible",
            where="crimp_scrap_weight",
            expected="give more than 0",
        )
    if not 0 < share < 1:
        raise OutOfRange(
            f"{100 * share:g} % is not possible",
            where="crimp_scrap",
            expected="give a share above 0 and below 100 %",
        )
    failed, good = counts(set_ups)
    return Scrap(failed=share * weight, good=(1 - share) * weight).after(failed, good)


def rounds_in(spare_mm: float, *, loop_mm: float, first_cut_mm: float, retry_mm: float) -> int:
    """Crimps there is wire for, the first included.

    1 + ⌊(spare - loop - first cut) / retry⌋, 0 if the bracket is negative

    Raises
    ------
    OutOfRange : a negative length, or no loss per retry

    Examples
    --------
    >>> [rounds_in(s, loop_mm=10, first_cut_mm=20, retry_mm=15) for s in (20, 30, 40, 60, 80)]
    [0, 1, 1, 3, 4]
    """
    for name, length in (("spare wire", spare_mm), ("loop", loop_mm), ("cut-back", first_cut_mm)):
        if not length >= 0:
            raise OutOfRange(
                f"{length:g} mm is not possible", where=name, expected="give 0 mm or more"
            )
    if not retry_mm > 0:
        raise OutOfRange(
            f"{retry_mm:g} mm is not possible", where="loss per retry", expected="give more than 0"
        )
    left = spare_mm - loop_mm - first_cut_mm + _CLOSE_MM
    return 1 + floor(left / retry_mm) if left >= 0 else 0


def spare_wire(
    job: Job, *, scrap: Scrap | None = None, copper: Mapping[str, str] | None = None
) -> tuple[Ledger, ...]:
    """The ledger of every plug with wires, in the order of the sheet.

    Parameters
    ----------
    job : its plugs with `spare_mm`, its wires, its own figures
    scrap : what is known of the chance to fail; common practice when not given
    copper : `bright` or `dark` by plug, where one sacrificial cut has shown it

    Raises
    ------
    OutOfRange : a look of the copper that is neither
    """
    figures = standards.values({row.name: row.value for row in job.settings})
    known = scrap or scrap_record(figures=figures)
    seen = copper or {}
    for plug, look in seen.items():
        if look not in COPPER:
            raise OutOfRange(
                f'"{look}" is not one of the looks', where=plug, expected="write bright or dark"
            )
    topology = Topology(job)
    return tuple(
        _ledger(
            plug, ends, known, figures, looks=(seen[plug.plug],) if plug.plug in seen else COPPER
        )
        for plug in job.plugs
        if (ends := _ends(topology, plug))
    )


def _ends(topology: Topology, plug: Plug) -> int:
    """Crimps of a plug: cavities with a wire."""
    return sum(bool(topology.wires_at.get(Point(plug.plug, name))) for name in plug.face.cavities)


def _ledger(
    plug: Plug, ends: int, scrap: Scrap, figures: Mapping[str, float], *, looks: tuple[str, ...]
) -> Ledger:
    equal = ends <= figures["equal_ends_most"]
    outlooks: tuple[Outlook, ...] = ()
    if plug.spare_mm is not None:
        outlooks = tuple(
            _outlook(plug.spare_mm, ends, scrap, figures, look=look, equal=equal) for look in looks
        )
    return Ledger(
        plug=plug.plug,
        ends=ends,
        equal=equal,
        spare_mm=plug.spare_mm,
        loop_mm=figures["service_loop"],
        retry_mm=figures["retry_loss"],
        outlooks=outlooks,
        advice=_advice(plug, outlooks),
    )


def _outlook(
    spare_mm: float,
    ends: int,
    scrap: Scrap,
    figures: Mapping[str, float],
    *,
    look: str,
    equal: bool,
) -> Outlook:
    first = figures[f"cut_back_{look}"]
    rounds = rounds_in(
        spare_mm,
        loop_mm=figures["service_loop"],
        first_cut_mm=first,
        retry_mm=figures["retry_loss"],
    )
    chances = _chances(ends, rounds, scrap, equal=equal)
    least = figures["finish_chance_least"]
    stop = next(slips for slips, chance in enumerate((*chances, 0.0)) if chance < least)
    return Outlook(
        copper=look,
        first_cut_mm=first,
        rounds=rounds,
        chances=chances,
        stop_after=stop,
        terminals=_terminals(ends, rounds, scrap, equal=equal),
    )


def _chances(ends: int, rounds: int, scrap: Scrap, *, equal: bool) -> tuple[float, ...]:
    """Chance to finish after 0, 1, 2 … slips, down to no wire; in a large plug of the one wire."""
    found = []
    for slips in range(rounds + 1):
        now, left = scrap.after(slips), min(rounds - slips, _MOST_ROUNDS)
        wires = ends if equal or not slips else 1
        chance = chance_all_equal_by_record if equal else chance_each_alone_by_record
        found.append(chance(wires, left, failed=now.failed, good=now.good))
    return tuple(found)


def _terminals(ends: int, rounds: int, scrap: Scrap, *, equal: bool) -> int:
    """Terminals that suffice; in a small plug a slip may cost those of all its wires."""
    record = {"failed": scrap.failed, "good": scrap.good}
    most = ends * min(rounds, _MOST_ROUNDS)
    for used in range(ends, most, ends if equal else 1):
        chance = (
            chance_all_equal_by_record(ends, used // ends, **record)
            if equal
            else chance_of_enough_by_record(ends, used - ends, **record)
        )
        if chance >= _SURE:
            return used
    return most


def _advice(plug: Plug, outlooks: tuple[Outlook, ...]) -> str:
    if plug.lock == "moulded":
        return "Over-moulded: it cannot be opened; cut it off and splice a new plug on."
    if not outlooks:
        return "The spare wire is not known: measure what can be given up before cutting."
    said = {look.copper: _what_to_do(look) for look in outlooks}
    if len(set(said.values())) == 1:
        told = next(iter(said.values()))
        return told[:1].upper() + told[1:] + "."
    parts = "; ".join(f"where it is {copper}, {told}" for copper, told in said.items())
    return f"Make one sacrificial cut and look at the copper: {parts}."


def _what_to_do(look: Outlook) -> str:
    if not look.rounds:
        return "there is no wire for a new crimp, extend with a splice"
    wire = f"there is wire for {look.rounds} {'try' if look.rounds == 1 else 'tries'}"
    if look.stop_after == 0:
        return f"{wire}, too few to be likely enough: extend with a splice before the first cut"
    slips = "the first slip" if look.stop_after == 1 else f"{look.stop_after} slips"
    return f"{wire}; after {slips} stop and extend with a splice"

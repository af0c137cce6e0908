"""How much life the insulation of each wire, and each boot, has left, and what would buy more.

Heat uses up a share of the life every year: the hours in the zone running, with the rise by
current, and those after a hot stop. Years alone may end it sooner. The grade of the survey says how
much is behind it. Every answer is a band: halving interval, law and zone temperature are taken
at both ends of what they may be.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from math import inf

import attrs
import numpy as np
from numpy.typing import NDArray

from loomwright import standards
from loomwright.loom import Job, Plug, Zone
from loomwright.physics.ageing import arrhenius_life, halving_life, life_in_years, used_share
from loomwright.repair.condition import NO_BOOT, ItemCondition
from loomwright.repair.heat_zones import HeatZones, Stretch
from loomwright.repair.wire_heat import WireHeat
from loomwright.standards import Insulation, Told

Floats = NDArray[np.float64]
BY_HEAT, BY_AGE, NEITHER = "heat", "age", "neither"
_DAYS_A_YEAR = 365.25
_MOST_ROUTES, _MOST_CLASSES = 3, 3


@attrs.frozen(kw_only=True)
class Band:
    """Least, likely and most."""

    low: float
    likely: float
    high: float


@attrs.frozen(kw_only=True)
class Buys:
    """What a change would buy.

    Attributes
    ----------
    kind : `sleeve`, `class`, `route` or `rubber`
    what : the sleeve, the class temperature, the zone or the rubber
    times : how many times longer the heat would take; infinite where it would do nothing more
    total : life of a new one then [a]
    """

    kind: str
    what: str
    times: float
    total: Band


@attrs.frozen(kw_only=True)
class Life:
    """The life of one wire's insulation or of one boot.

    Attributes
    ----------
    item, kind : its name; `wire` or `boot`
    material : what it is made of
    where : the branch, plug or joint where it ages fastest; blank where no zone is known
    zone : that heat zone; None likewise
    rise_k : what current adds there while running [K]
    share_per_year : share of the life that heat uses in a year, likely [1/a]; None where not known
    total : life of a new one there [a]; None where class or zone is not known
    bound : what ends it: `heat`, `age`, or `neither` within the years that are told
    grade : of the survey; None where nobody looked
    remaining : what is left [a]; None without a life or a grade
    inspect_by : day to look at it again at the latest; None without a remaining life
    buys : what a change would buy, the most first
    unknown : what is not known and matters
    """

    item: str
    kind: str
    material: Told
    where: str
    zone: Zone | None
    rise_k: float
    share_per_year: float | None
    total: Band | None
    bound: str
    grade: int | None
    remaining: Band | None
    inspect_by: date | None
    buys: tuple[Buys, ...]
    unknown: tuple[str, ...]


def lives(
    job: Job,
    heats: Iterable[WireHeat],
    found: Iterable[ItemCondition],
    *,
    value: Mapping[str, float],
    today: date,
) -> tuple[Life, ...]:
    """Every wire and every boot, in the order of the sheets.

    Parameters
    ----------
    job : its zones and plugs
    heats : how warm the wires run (`wire_heats`)
    found : the survey (`conditions`)
    value : defaults by name: those that begin with `ageing_`, and `look_again_years`
    today : day from which to count
    """
    clock = _Clock(HeatZones(job), {each.item: each for each in found}, value, today)
    plugs = {plug.plug: plug for plug in reversed(job.plugs)}.values()
    boots = [plug for plug in plugs if (plug.boot or "").strip().casefold() != NO_BOOT]
    return (
        *(clock.wire(heat) for heat in heats),
        *(clock.boot(plug) for plug in reversed(boots)),
    )


@attrs.frozen(kw_only=True)
class _At:
    """Somewhere to age.

    Attributes
    ----------
    where : name of the stretch
    zone : its heat
    rise_k : by current while running [K]
    cooler_k : what a sleeve takes off [K]
    """

    where: str
    zone: Zone
    rise_k: float = 0.0
    cooler_k: float = 0.0


class _Clock:
    """Counts lives of one job."""

    def __init__(
        self,
        zones: HeatZones,
        found: Mapping[str, ItemCondition],
        value: Mapping[str, float],
        today: date,
    ) -> None:
        self.zones, self.found, self.value, self.today = zones, found, value, today
        self.known: dict[tuple[str, float, _At], Band] = {}

    def wire(self, heat: WireHeat) -> Life:
        """One wire's insulation."""
        ways = {
            (str(on.stretch.zone.zone), round(on.rise_k, 2)): _At(
                where=on.stretch.where, zone=on.stretch.zone, rise_k=on.rise_k
            )
            for on in reversed(heat.stretches)
            if on.stretch.zone is not None
        }
        grade = self._grade(heat.wire, "insulation")
        return self._life(
            heat.wire, "wire", heat.insulation, tuple(ways.values()), grade, heat.unknown
        )

    def boot(self, plug: Plug) -> Life:
        """One boot: where its plug sits, of what its words tell."""
        told = standards.insulation(plug.boot)
        if told.material is not None and not told.material.words:
            told = attrs.evolve(told, class_c=None, unknown=f'"{told.text}" names no rubber')
        stretch: Stretch = self.zones.at(str(plug.plug))
        unknown = []
        if told.class_c is None:
            unknown.append(
                "what rubber the boot is of is not known: add it to its words, such as "
                f"{plug.boot or 'straight 2-way'}, EPDM"
            )
        if stretch.zone is None:
            unknown.append(f"heat zone of {plug.plug} not known: give its device's zone")
        ways = () if stretch.zone is None else (_At(where=stretch.where, zone=stretch.zone),)
        grade = self._grade(str(plug.plug), "boot")
        return self._life(str(plug.plug), "boot", told, ways, grade, tuple(unknown))

    def _grade(self, item: str, aspect: str) -> int | None:
        found = self.found.get(item)
        return None if found is None else found.grade(aspect)

    def _life(
        self, item: str, kind: str, told: Told, ways: tuple[_At, ...], grade: int | None,
        unknown: tuple[str, ...],
    ) -> Life:  # fmt: skip
        silent = [
            f"zone {at.zone.zone} has no hours_per_year" for at in ways
            if at.zone.hours_per_year is None
        ]  # fmt: skip
        timed = tuple(at for at in ways if at.zone.hours_per_year is not None)
        rates = [(self._rate(told, at), at) for at in timed] if told.class_c is not None else []
        if not rates:
            return self._without(item, kind, told, ways, grade, (*unknown, *dict.fromkeys(silent)))
        share, worst = max(rates, key=lambda pair: pair[0].likely)
        total, bound = self._total(told, worst, kind, share)
        remaining = self._remaining(total, grade)
        return Life(
            item=item,
            kind=kind,
            material=told,
            where=worst.where,
            zone=worst.zone,
            rise_k=worst.rise_k,
            share_per_year=share.likely,
            total=total,
            bound=bound,
            grade=grade,
            remaining=remaining,
            inspect_by=None if remaining is None else self._inspect_by(remaining),
            buys=self._buys(told, worst, kind, share) if bound != NEITHER else (),
            unknown=(*unknown, *dict.fromkeys(silent)),
        )

    def _without(
        self, item: str, kind: str, told: Told, ways: tuple[_At, ...], grade: int | None,
        unknown: tuple[str, ...],
    ) -> Life:  # fmt: skip
        """What can be said where class, zone or hours are not known."""
        hottest = max(ways, key=lambda at: at.zone.running_c or 0.0, default=None)
        return Life(
            item=item, kind=kind, material=told, where=hottest.where if hottest else "",
            zone=hottest.zone if hottest else None, rise_k=hottest.rise_k if hottest else 0.0,
            share_per_year=None, total=None, bound=NEITHER, grade=grade, remaining=None,
            inspect_by=None, buys=(), unknown=unknown,
        )  # fmt: skip

    def _rate(self, told: Told, at: _At) -> Band:
        """Share of the life that heat uses in a year [1/a]; the same for all to a tenth of 1 K."""
        if told.material is None or told.class_c is None:
            return Band(low=0.0, likely=0.0, high=0.0)
        rise = round(at.rise_k, 1) if at.rise_k < inf else inf
        alike = attrs.evolve(at, where="", rise_k=rise)
        key = (told.material.name, told.class_c, alike)
        if key not in self.known:
            self.known[key] = self._reckoned(told.material, told.class_c, alike)
        return self.known[key]

    def _reckoned(self, material: Insulation, class_c: float, at: _At) -> Band:
        hours = at.zone.hours_per_year or 0.0
        soak = (at.zone.soak_share or 0.0) if at.zone.soak_c is not None else 0.0
        running = (at.zone.running_c or 0.0) - at.cooler_k + at.rise_k
        after = (at.zone.soak_c or 0.0) - at.cooler_k
        if running > standards.copper("melting_point").value:
            return Band(low=inf, likely=inf, high=inf)
        off = self.value["ageing_zone_uncertainty"] * np.array([-1.0, 0.0, 1.0])
        spells = np.array([running, after]) + off[:, None, None, None]
        halving = np.array(
            [material.halving_low_k, material.halving_k, material.halving_high_k]
        )[:, None, None]  # fmt: skip
        known = {"reference_c": class_c, "reference_hours": material.hours}
        laws = np.concatenate(
            [law(spells, halving_k=halving, **known) for law in (arrhenius_life, halving_life)],
            axis=2,
        )  # shape (temperatures, halvings, laws, spells)
        shares = np.asarray(used_share([hours * (1 - soak), hours * soak], laws))
        return Band(low=float(shares.min()), likely=float(shares[1, 1, 0]),
                    high=float(shares.max()))  # fmt: skip

    def _total(self, told: Told, at: _At, kind: str, share: Band) -> tuple[Band, str]:
        """Life of a new one [a], and what ends it."""
        heat = [float(life_in_years(each)) for each in (share.high, share.likely, share.low)]
        ages = self._ages(told.material, at, kind)
        years = [inf] * 3 if ages is None else [ages[0], (ages[0] + ages[1]) / 2, ages[1]]
        most = self.value["ageing_most_years"]
        low, likely, high = (min(each) for each in zip(heat, years, [most] * 3, strict=True))
        bound = BY_HEAT if heat[1] <= years[1] else BY_AGE
        if heat[0] >= most and years[0] >= most:
            bound = NEITHER
        return Band(low=low, likely=likely, high=high), bound

    def _ages(self, material: Insulation | None, at: _At, kind: str) -> tuple[float, float] | None:
        """Years after which it is stiff by age alone."""
        if material is None:
            return None
        if kind == "boot":
            return material.boot_ages
        hot = (at.zone.running_c or 0.0) >= self.value["ageing_hot_from"]
        return material.ages_hot if hot else material.ages

    def _remaining(self, total: Band, grade: int | None) -> Band | None:
        if grade is None:
            return None
        name = f"ageing_used_grade_{grade}"
        shipped = standards.default(name)
        used = self.value[name]
        own = used != shipped.value
        least, most = (used, used) if own else (shipped.low, shipped.high)
        return Band(
            low=total.low * max(1 - most, 0.0),
            likely=total.likely * max(1 - used, 0.0),
            high=total.high * max(1 - least, 0.0),
        )

    def _inspect_by(self, remaining: Band) -> date:
        """The low end of what is left, and never later than the usual look."""
        years = min(remaining.low, self.value["look_again_years"])
        return self.today + timedelta(days=int(years * _DAYS_A_YEAR))

    def _buys(self, told: Told, at: _At, kind: str, share: Band) -> tuple[Buys, ...]:
        found = [
            self._bought(change, what, kind, new, place, share)
            for change, what, new, place in self._changes(told, at, kind)
        ]
        today = self._total(told, at, kind, share)[0].likely
        longer = (each for each in found if each.total.likely > today)
        return tuple(sorted(longer, key=lambda each: -each.times))

    def _bought(self, change: str, what: str, kind: str, told: Told, at: _At, share: Band) -> Buys:
        new = self._rate(told, at)
        times = share.likely / new.likely if new.likely > 0 else inf
        return Buys(kind=change, what=what, times=times,
                    total=self._total(told, at, kind, new)[0])  # fmt: skip

    def _changes(self, told: Told, at: _At, kind: str) -> Iterator[tuple[str, str, Told, _At]]:
        """Kind and name of each change, with the material and the place it makes."""
        running = at.zone.running_c or 0.0
        if kind == "boot":
            for row in standards.insulations():
                if row.boots and row.class_c and row.class_c > (told.class_c or 0.0):
                    yield "rubber", row.name, standards.insulation(row.name), at
            return
        if max(running, at.zone.soak_c or running) >= self.value["ageing_sleeve_from"]:
            drop = self.value["ageing_sleeve_drop"]
            yield "sleeve", f"{drop:g} K", told, attrs.evolve(at, cooler_k=drop)
        better = [
            row for row in standards.temperature_classes().values()
            if row.highest_c > (told.class_c or 0.0)
        ][:_MOST_CLASSES]  # fmt: skip
        for each in better:
            yield "class", f"{each.highest_c:g} °C", standards.insulation(each.letter), at
        cooler = [z for z in self.zones.zones.values() if z.hours_per_year is not None
                  and (z.running_c or 0.0) < running]  # fmt: skip
        cooler.sort(key=lambda zone: -(zone.running_c or 0.0))
        for zone in cooler[:_MOST_ROUTES]:
            yield "route", str(zone.zone), told, attrs.evolve(at, zone=zone)

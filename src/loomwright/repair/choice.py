"""Which cures to do together: least expected cost, what comes apart together paid once.

With x a cure that is done, y an access event that is opened and z an item that is left,

    min  Σ x (rate t + parts + p c) + Σ y rate t + Σ z p c
    Σ x over the cures of an item + z >= 1      x <= y for what a cure opens      limits

t are hours, p the chance of a comeback, c what one costs. Solved exactly by branch and cut (HiGHS:
Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119); the tests hold it against trying everything.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import attrs
import numpy as np

from loomwright.loom.errors import OutOfRange

_GAP = 1e-9
_WHOLE = 0.5


@attrs.frozen(kw_only=True)
class Item:
    """Something that could be put right.

    Attributes
    ----------
    item : its identifier in the job's tables
    comeback : chance that it fails within the horizon when it is left as it is
    must : whether it may not be left
    """

    item: str
    comeback: float
    must: bool = False


@attrs.frozen(kw_only=True)
class Cure:
    """One way to put one or more items right.

    Attributes
    ----------
    cure : its name
    items : what it puts right; a new branch puts all its wires right
    minutes : work beyond opening [min]
    parts : cost of parts
    opens : access events that it needs
    comeback : chance of a comeback within the horizon once it is done
    """

    cure: str
    items: tuple[str, ...]
    minutes: float
    parts: float = 0.0
    opens: tuple[str, ...] = ()
    comeback: float = 0.0


@attrs.frozen(kw_only=True)
class Terms:
    """What time and a comeback cost, and what the customer allows.

    Attributes
    ----------
    rate : price of an hour's work
    comeback_cost : what one comeback costs, work and goodwill
    most_minutes, most_money : limits of work [min], and of work and parts together
    """

    rate: float
    comeback_cost: float
    most_minutes: float = np.inf
    most_money: float = np.inf


@attrs.frozen(kw_only=True)
class Choice:
    """What is done and what it costs.

    Attributes
    ----------
    cures : names of the cures to do
    opened : access events they need
    left : items that are left as they are
    minutes, money : work [min], and its price with the parts
    comebacks : expected number of comebacks within the horizon
    expected_cost : money and expected comebacks together
    """

    cures: tuple[str, ...]
    opened: tuple[str, ...]
    left: tuple[str, ...]
    minutes: float
    money: float
    comebacks: float
    expected_cost: float


def choose(
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    *,
    terms: Terms,
) -> Choice:
    """The cures of least expected cost under the limits; a proven optimum.

    Parameters
    ----------
    items : everything that could be done
    cures : the ways to do it
    access : minutes to open each access event, paid once [min]
    terms : prices and limits

    Raises
    ------
    OutOfRange
        when an item that must be done has no cure, or the limits do not allow all of them.
    """
    _check(items, cures, access)
    events = sorted({event for cure in cures for event in cure.opens})
    found = _solved(items, cures, [access[event] for event in events], events, terms)
    if found is None:
        raise _too_tight(items, cures, access, terms)
    return _told(items, cures, access, terms, done=found)


def cost_of(
    chosen: Collection[str],
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    *,
    terms: Terms,
) -> float:
    """Expected cost of the cures of those names, optimal or not; arguments as for `choose`."""
    done = [cure.cure in chosen for cure in cures]
    return _told(items, cures, access, terms, done=done).expected_cost


def _solved(
    items: Sequence[Item],
    cures: Sequence[Cure],
    minutes: Sequence[float],
    events: Sequence[str],
    terms: Terms,
) -> list[bool] | None:
    """Which cures are done, None where no choice keeps the limits."""
    # late: a second of loading for a few milliseconds of work
    from scipy.optimize import Bounds, LinearConstraint, milp

    n, m, k = len(cures), len(events), len(items)
    if not n:
        return None if any(item.must for item in items) else []
    per_minute = terms.rate / 60.0
    work = np.array([*(cure.minutes for cure in cures), *minutes, *([0.0] * k)])
    parts = np.array([*(cure.parts for cure in cures), *([0.0] * (m + k))])
    again = np.array(
        [*(cure.comeback for cure in cures), *([0.0] * m), *(item.comeback for item in items)]
    )
    rows, low = [], []
    number = {item.item: n + m + place for place, item in enumerate(items)}
    for item in items:
        row = np.zeros(n + m + k)
        row[[i for i, cure in enumerate(cures) if item.item in cure.items]] = 1.0
        row[number[item.item]] = 1.0
        rows.append(row)
        low.append(1.0)
    for i, cure in enumerate(cures):
        for event in cure.opens:
            row = np.zeros(n + m + k)
            row[n + events.index(event)], row[i] = 1.0, -1.0
            rows.append(row)
            low.append(0.0)
    constraints = [LinearConstraint(np.array(rows), np.array(low), np.inf)]
    for amount, most in (
        (work, terms.most_minutes),
        (work * per_minute + parts, terms.most_money),
    ):
        if np.isfinite(most):
            constraints.append(LinearConstraint(amount[None, :], -np.inf, most + _GAP))
    upper = np.ones(n + m + k)
    upper[[number[item.item] for item in items if item.must]] = 0.0
    done = milp(
        work * per_minute + parts + again * terms.comeback_cost,
        constraints=constraints,
        integrality=np.ones(n + m + k),
        bounds=Bounds(0.0, upper),
        options={"mip_rel_gap": 0.0},
    )
    return None if done.x is None else [bool(value > _WHOLE) for value in done.x[:n]]


def _told(
    items: Sequence[Item],
    cures: Sequence[Cure],
    access: Mapping[str, float],
    terms: Terms,
    *,
    done: Sequence[bool],
) -> Choice:
    chosen = [cure for cure, is_done in zip(cures, done, strict=True) if is_done]
    opened = tuple(sorted({event for cure in chosen for event in cure.opens}))
    right = {item for cure in chosen for item in cure.items}
    left = [item for item in items if item.item not in right]
    minutes = sum(cure.minutes for cure in chosen) + sum(access[event] for event in opened)
    money = minutes * terms.rate / 60.0 + sum(cure.parts for cure in chosen)
    comebacks = sum(cure.comeback for cure in chosen) + sum(item.comeback for item in left)
    return Choice(
        cures=tuple(cure.cure for cure in chosen),
        opened=opened,
        left=tuple(item.item for item in left),
        minutes=minutes,
        money=money,
        comebacks=comebacks,
        expected_cost=money + comebacks * terms.comeback_cost,
    )


def _check(items: Sequence[Item], cures: Sequence[Cure], access: Mapping[str, float]) -> None:
    for cure in cures:
        for event in cure.opens:
            if event not in access:
                raise OutOfRange(
                    f'nothing says how long "{event}" takes to open',
                    where=f"cure {cure.cure}",
                    expected="give its minutes",
                )
    curable = {item for cure in cures for item in cure.items}
    for item in items:
        if item.must and item.item not in curable:
            raise OutOfRange(
                f'"{item.item}" must be done and no cure puts it right',
                where=f"item {item.item}",
                expected="add a cure for it, or let it be left",
            )


def _too_tight(
    items: Sequence[Item], cures: Sequence[Cure], access: Mapping[str, float], terms: Terms
) -> OutOfRange:
    """What the items that must be done need at least, against the limits."""
    must = [item for item in items if item.must]
    free = attrs.evolve(terms, most_minutes=np.inf, most_money=np.inf)
    quickest = choose(must, [attrs.evolve(c, parts=0.0, comeback=0.0) for c in cures], access,
                      terms=attrs.evolve(free, rate=60.0, comeback_cost=0.0))  # fmt: skip
    cheapest = choose(
        must, [attrs.evolve(c, comeback=0.0) for c in cures], access,
        terms=attrs.evolve(free, comeback_cost=0.0),
    )  # fmt: skip
    limits = [
        text
        for most, text in (
            (terms.most_minutes, f"more than {terms.most_minutes:.0f} min"),
            (terms.most_money, f"more than {terms.most_money:.0f} in money"),
        )
        if np.isfinite(most)
    ]
    return OutOfRange(
        f"what must be done takes at least {quickest.minutes:.0f} min and costs at least "
        f"{cheapest.money:.0f}",
        where="limits",
        expected=f"allow {' and '.join(limits)}, or let something be left",
    )

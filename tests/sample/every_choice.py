"""The cheapest choice of cures found by trying every set of them: slow, and independent."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from loomwright.repair.choice import Cure, Item, Terms


def tried(
    items: Sequence[Item], cures: Sequence[Cure], access: Mapping[str, float], terms: Terms
) -> float | None:
    """Least expected cost over all sets of cures, None where no set is allowed."""
    best: float | None = None
    for size in range(len(cures) + 1):
        for some in itertools.combinations(cures, size):
            right = {item for cure in some for item in cure.items}
            if any(item.must and item.item not in right for item in items):
                continue
            opened = {event for cure in some for event in cure.opens}
            minutes = sum(cure.minutes for cure in some) + sum(access[event] for event in opened)
            money = minutes * terms.rate / 60 + sum(cure.parts for cure in some)
            if minutes > terms.most_minutes or money > terms.most_money:
                continue
            again = sum(cure.comeback for cure in some)
            again += sum(item.comeback for item in items if item.item not in right)
            total = money + again * terms.comeback_cost
            best = total if best is None else min(best, total)
    return best

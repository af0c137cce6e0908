"""What the make-believe owner says is true of the faults, and seldom nothing to do with them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cache

import numpy as np
import pytest

from loomwright.loom.schema.bench_tables import SYMPTOMS as WORDS
from reference.complaint import SYMPTOMS, Notices, Owner
from reference.draws import Drawer, Mix
from reference.faults import Drift, Fault, Series, Shunt
from reference.looms import make_job


@cache
def owner() -> Owner:
    return Owner(make_job(45, seed=1))


def edge(stem: str, kind: str) -> int:
    """The first element of a kind in a device whose name begins so."""
    edges = enumerate(owner().network.edges)
    return next(
        n
        for n, each in edges
        if each.element and each.element.kind == kind and each.element.device.startswith(stem)
    )


def test_the_words_are_those_of_the_sheet() -> None:
    assert SYMPTOMS == WORDS


def test_a_sound_car_gives_no_cause_for_complaint() -> None:
    assert list(owner().feels(())) == []


@pytest.mark.parametrize(
    ("stem", "kind", "make", "felt"),
    [
        ("INJ", "winding", lambda e: Series(e), "one_cylinder"),
        ("PACK", "resistor", lambda e: Series(e, 3.0), "one_cylinder"),
        ("INJ", "winding", lambda e: Drift(e, 2.5), "runs_lean"),
        ("RELAY1", "winding", lambda e: Series(e), "no_start"),
        ("THROTTLE", "contact", lambda e: Series(e), "idle_hunts"),
    ],
)
def test_faults_are_felt_as_the_trade_says(
    stem: str, kind: str, make: type[Series], felt: str
) -> None:
    fault: Fault = make(edge(stem, kind))
    assert felt in list(owner().feels([fault]))


def test_a_dead_short_of_the_battery_stops_the_car() -> None:
    network = owner().network
    assert network.supply is not None
    assert "no_start" in list(owner().feels([Shunt(network.supply, network.earth, 0.05)]))


def test_the_same_draw_says_the_same_and_at_most_two_things() -> None:
    drawer = Drawer(owner().job)
    for seed in range(6):
        faults = drawer.draw(np.random.default_rng(seed), Mix()).faults
        one, other = (owner().says(faults, np.random.default_rng(seed)) for _ in range(2))
        assert one == other
        assert len(one) <= 2
        assert set(one) <= set(SYMPTOMS)


class Feeling(Owner):
    """An owner who feels one thing whatever is wrong."""

    def feels(self, faults: Iterable[Fault]) -> Iterator[str]:
        yield "hesitates"


def test_one_in_ten_says_nothing_and_one_in_ten_anything() -> None:
    rng = np.random.default_rng(8)
    one = Feeling(owner().job)
    said = [one.says((), rng) for _ in range(2000)]
    close = 3 * math.sqrt(0.09 / 2000)
    assert abs(said.count(()) / 2000 - 0.1) < close
    # Among ten things said at random one is what is felt.
    assert abs(sum(words not in ((), ("hesitates",)) for words in said) / 2000 - 0.09) < close
    sure = Owner(owner().job, Notices(silent=1.0))
    assert sure.says([Series(edge("INJ", "winding"))], rng) == ()

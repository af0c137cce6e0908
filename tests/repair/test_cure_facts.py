"""What a cure rests on, and what it leaves behind."""

from __future__ import annotations

import attrs
import pytest

from loomwright.diagnosis.priors import own_values
from loomwright.loom import SurveyRow
from loomwright.repair.candidates import candidates
from loomwright.repair.condition import conditions
from loomwright.repair.cure_facts import CureFacts, cure_facts
from sample.drawn import loom

LOOM = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2",
    {"CU": "UNIT: 1 . 2", "T": "S: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100",
)


def facts(*rows: tuple[str, str, int], spare_mm: float | None) -> dict[str, CureFacts]:
    job = attrs.evolve(
        LOOM,
        plugs=tuple(
            attrs.evolve(plug, lock="tongue", spare_mm=spare_mm, place="box") for plug in LOOM.plugs
        ),
        survey=tuple(SurveyRow(item=item, aspect=a, grade=grade) for item, a, grade in rows),
    )
    found = cure_facts(candidates(job, conditions(job), (), value=own_values(job)))
    return {each.cure: each for each in found}


def test_a_cure_tells_what_it_rests_on() -> None:
    new = facts(("T", "terminal", 3), ("T", "boot", 2), spare_mm=60.0)["re_terminate T"]
    assert set(new.because) == {
        "terminal of grade 3", "boot of grade 2", "the lock, a tongue, can be released",
        "60 mm of spare wire allow a new terminal",
    }  # fmt: skip
    assert set(new.items) == {"T terminal", "T boot"}
    assert new.parts == 0.0
    assert (new.minutes, new.uses_mm, new.comeback, new.opens) == (20.0, 20.0, 0.01, ("box",))


def test_the_shortest_life_counts() -> None:
    """New terminals 7 a by fretting, a splice 10 a."""
    both = facts(("T", "terminal", 4), spare_mm=15.0)["extend + re_terminate T"]
    assert (both.life_years, both.life_standing) == (7.0, "common practice")
    assert len(both.weak_points) == 2
    assert both.comeback == pytest.approx(0.05)


def test_what_is_not_known_stays_unknown() -> None:
    clean = facts(("T", "terminal", 1), spare_mm=60.0)["clean_contact T"]
    assert (clean.life_years, clean.life_standing) == (None, "")

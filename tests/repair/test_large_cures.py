"""New branch and new loom: when they are weighed, what they put right, and when they pay."""

from __future__ import annotations

import doctest

import attrs
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Branch, Job, SurveyRow
from loomwright.loom.errors import OutOfRange
from loomwright.repair import large_cures
from loomwright.repair.candidates import Candidates, Found, candidates
from loomwright.repair.choice import Choice, Cure, Terms, choose
from loomwright.repair.condition import conditions
from loomwright.repair.offers import three_offers
from loomwright.repair.order import Task, work_order
from sample.drawn import loom
from sample.every_choice import tried

TERMS = Terms(rate=60.0, comeback_cost=240.0)
"""One an minute, and a comeback at four hours."""
FIVE = ("P1", "P2", "P3", "P4", "P5")


def placed(job: Job, places: dict[str, str], runs: dict[str, str]) -> Job:
    """The job with plugs and joints at places, and wires over branches."""
    return attrs.evolve(
        job,
        plugs=tuple(attrs.evolve(plug, place=places[plug.plug]) for plug in job.plugs),
        joints=tuple(attrs.evolve(each, place=places[each.joint]) for each in job.joints),
        wires=tuple(
            attrs.evolve(wire, branches=tuple(runs[wire.wire].split())) for wire in job.wires
        ),
    )


def five_plugs() -> Job:
    """Control unit in the box; five two-way plugs on the engine, ten wires over one branch."""
    wires = [f"W{n} CU.{n} P{(n + 1) // 2}.{2 - n % 2}" for n in range(1, 11)]
    shells = {"CU": "UNIT: " + " . ".join(str(n) for n in range(1, 11))}
    shells |= {name: f"D{name}: 1 . 2" for name in FIVE}
    parts = [f"R{name} D{name}.1 D{name}.2 resistor ohm=16" for name in FIVE]
    parts.append("IN UNIT.1 UNIT.2 input ohm=1e5")
    job = placed(
        loom("\n".join(wires), shells, "\n".join(parts)),
        {"CU": "box", **dict.fromkeys(FIVE, "engine")},
        {f"W{n}": "B1" for n in range(1, 11)},
    )
    return attrs.evolve(job, branches=(Branch(branch="B1", from_place="box", to_place="engine"),))


#   CU.1 --W1-- T.1 [S] T.2 --W2-- CU.2     CU.3 --W3-- V.1 [D] V.2 --W4-- SP --W5-- CU.4
#   box -B1- fork (T, SP) -B2- head (V)
TWO = attrs.evolve(
    placed(
        loom(
            "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 SP\nW5 SP CU.4",
            {"CU": "UNIT: 1 . 2 . 3 . 4", "T": "S: 1 . 2", "V": "D: 1 . 2"},
            "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100\nQ D.1 D.2 resistor ohm=47",
            {"SP": "splice"},
        ),
        {"CU": "box", "T": "fork", "V": "head", "SP": "fork"},
        {"W1": "B1", "W2": "B1", "W3": "B1 B2", "W4": "B2", "W5": "B1"},
    ),
    branches=(
        Branch(branch="B1", from_place="box", to_place="fork"),
        Branch(branch="B2", from_place="fork", to_place="head"),
    ),
)


def could(
    job: Job, *rows: tuple[str, str, int], found: tuple[Found, ...] = (), **figures: float
) -> Candidates:
    seen = attrs.evolve(job, survey=tuple(SurveyRow(item=i, aspect=a, grade=g) for i, a, g in rows))
    return candidates(seen, conditions(seen), found, value={**own_values(seen), **figures})


def pays(some: Candidates, terms: Terms = TERMS) -> Choice:
    return choose(some.items, some.cures, some.access, terms=terms)


def large(some: Candidates) -> dict[str, Cure]:
    return {cure.cure: cure for cure in some.cures
            if some.kinds[cure.cure][0] in ("new_branch", "new_loom")}  # fmt: skip


def test_five_hard_boots_and_cracks_everywhere_are_a_new_branch() -> None:
    """One by one 5 x 7 + 10 x 45 min; the branch of ten wires 60 + 8 x 15 min."""
    rows = [(name, "boot", 3) for name in FIVE]
    rows += [(f"W{n}", "insulation", 3) for n in range(1, 11)]
    some = could(five_plugs(), *rows)
    found = pays(some)
    assert found.cures == ("new_branch B1",)
    assert found.left == ()
    assert found.minutes == pytest.approx(180 + some.access["box"] + some.access["engine"])
    assert some.because["new_branch B1"] == ("the branch rule asks for it: 10 bad of 10 wires",)


def test_one_hard_boot_is_a_new_boot() -> None:
    some = could(five_plugs(), ("P3", "boot", 3))
    assert large(some) == {}
    assert pays(some).cures == ("boot_only P3",)


@pytest.mark.parametrize(("cracked", "wanted"), [(3, "new_wire"), (4, "new_branch")])
def test_a_new_branch_pays_from_so_many_wires(cracked: int, wanted: str) -> None:
    """45 min and 1 % of 240 each, 47.4 a wire, against 180 min and 2 %: 184.8 a branch."""
    rows = [(f"W{n}", "insulation", 3) for n in range(1, cracked + 1)]
    some = could(five_plugs(), *rows)
    assert "new_branch B1" in large(some)
    assert {name.split()[0] for name in pays(some).cures} == {wanted}


def test_a_branch_with_little_worn_is_not_weighed() -> None:
    rows = [("W1", "insulation", 2), ("P1", "boot", 1)]
    assert large(could(five_plugs(), *rows)) == {}
    assert "new_branch B1" in large(could(five_plugs(), *rows, new_branch_items=1.0))
    assert "new_branch B1" in large(could(five_plugs(), *rows, new_branch_grade=1.0))
    some = could(five_plugs(), *rows, ("P1", "boot", 2))
    assert some.because["new_branch B1"] == ("2 items on it are worn or worse",)


@pytest.mark.parametrize(("wires", "minutes"), [(2, 60), (4, 90), (6, 120)])
def test_minutes_of_trade_practice(wires: int, minutes: float) -> None:
    """One to two hours for two to six wires: common practice, no published source."""
    assert large_cures.branch_minutes(wires, through=0, value=own_values(TWO)) == pytest.approx(
        minutes
    )


def test_the_examples_of_the_docstrings_hold() -> None:
    found = doctest.testmod(large_cures)
    assert found.attempted > 0
    assert found.failed == 0


@given(st.integers(1, 40), st.integers(0, 20))
def test_more_wires_and_more_splices_never_take_less(wires: int, through: int) -> None:
    value = own_values(TWO)
    here = large_cures.branch_minutes(wires, through=through, value=value)
    assert here <= large_cures.branch_minutes(wires + 1, through=through, value=value)
    assert here < large_cures.branch_minutes(wires, through=through + 1, value=value)


def test_a_branch_renews_what_hangs_on_it_alone_at_its_ends() -> None:
    """V hangs on B2 by both wires; SP also has a wire of B1; CU and T are not at its ends."""
    rows = [(plug, aspect, 3) for plug in ("CU", "T", "V") for aspect in ("boot", "terminal")]
    rows += [("V", "shell", 2), ("SP", "insulation", 3)]
    rows += [(f"W{n}", aspect, 3) for n in range(1, 6) for aspect in ("insulation", "strands")]
    cures = large(could(TWO, *rows))
    assert set(cures["new_branch B2"].items) == {
        "V boot", "V terminal", "W3 insulation", "W3 strands", "W4 insulation", "W4 strands",
    }  # fmt: skip
    assert cures["new_branch B2"].opens == ("fork", "head")
    assert {"T boot", "CU terminal"} <= set(cures["new_branch B1"].items)


def test_a_plug_further_on_stays_as_it_is() -> None:
    """Both wires of V come over B1, too, but V sits at the end of B2."""
    further = attrs.evolve(
        TWO,
        wires=tuple(
            attrs.evolve(wire, branches=("B2", "B1")) if wire.wire == "W4" else wire
            for wire in TWO.wires
        ),
    )
    rows = [("V", "boot", 3), ("T", "boot", 3), ("T", "terminal", 3), ("W3", "insulation", 3)]
    cures = large(could(further, *rows))
    assert set(cures["new_branch B1"].items) == {"T boot", "T terminal", "W3 insulation"}
    assert set(cures["new_branch B2"].items) == {"V boot", "W3 insulation"}


def test_a_splice_at_its_end_that_hangs_on_it_alone_is_made_anew() -> None:
    """With W5 over B2 as well, SP has no wire of B1 alone any more."""
    alone = attrs.evolve(
        TWO,
        wires=tuple(
            attrs.evolve(wire, branches=("B2", "B1")) if wire.wire == "W5" else wire
            for wire in TWO.wires
        ),
    )
    rows = [("SP", "insulation", 3), ("V", "boot", 3)]
    assert "SP insulation" in large(could(alone, *rows))["new_branch B2"].items
    assert large(could(TWO, *rows)) == {}


def test_a_wire_that_runs_on_at_both_ends_is_joined_twice_and_keeps_its_ends() -> None:
    """A splice more: 32 min and 4 %; strands break behind a crimp, which stays as it was."""
    middle = attrs.evolve(
        TWO,
        branches=(*TWO.branches, Branch(branch="B0", from_place="fork", to_place="fork")),
        wires=tuple(
            attrs.evolve(wire, branches=("B1", "B0", "B2")) if wire.wire == "W3" else wire
            for wire in TWO.wires
        ),
    )
    rows = [("W3", "insulation", 3), ("W3", "strands", 3), ("V", "boot", 3)]
    cure = large(could(middle, *rows))["new_branch B0"]
    assert cure.items == ("W3 insulation",)
    assert (cure.minutes, cure.comeback) == (pytest.approx(92.0), pytest.approx(0.06))


def test_where_along_a_wire_is_taken_and_said() -> None:
    some = could(TWO, ("W3", "insulation", 3), ("V", "boot", 3))
    assert "what was seen on W3 is taken to lie in B2" in some.because["new_branch B2"]
    (note,) = [note for note in some.notes if note.startswith("a survey does not say where")]
    assert "W3" in note


def test_a_moulded_plug_is_renewed_with_its_branch() -> None:
    moulded = attrs.evolve(
        TWO,
        plugs=tuple(
            attrs.evolve(plug, lock="moulded") if plug.plug == "V" else plug for plug in TWO.plugs
        ),
    )
    rows = [("V", "shell", 3), ("V", "boot", 3)]
    assert "V shell" in large(could(moulded, *rows))["new_branch B2"].items
    assert "V shell" not in large(could(TWO, *rows, ("V", "terminal", 3)))["new_branch B2"].items


def worn_out() -> tuple[tuple[str, str, int], ...]:
    rows = [(plug, aspect, 3) for plug in ("CU", "T", "V") for aspect in ("boot", "terminal")]
    return (*rows, *((f"W{n}", "insulation", 3) for n in range(1, 6)))


def test_two_branches_to_replace_put_the_whole_loom_beside_them() -> None:
    """It opens every place and leaves nothing but devices."""
    some = could(TWO, *worn_out(), ("S", "shell", 3), ("V", "shell", 1))
    new = large(some)["new_loom loom"]
    assert set(new.items) == {item.item for item in some.items} - {"S shell"}
    assert set(new.opens) == {"box", "fork", "head"}
    assert new.minutes == 1800
    assert some.because[new.cure] == ("the loom rule asks for it: 2 branches to replace",)
    assert some.at[new.cure] == "loom"


def test_a_loom_worn_all_over_is_weighed_without_bad_wires() -> None:
    rows = [(plug, aspect, 2) for plug in ("CU", "T", "V") for aspect in ("boot", "terminal")]
    assert "new_loom loom" not in large(could(TWO, *rows))
    some = could(TWO, *rows, new_loom_items=6.0)
    assert some.because["new_loom loom"] == ("6 items are worn or worse",)


def test_everything_is_not_a_new_loom_where_less_does() -> None:
    some = could(TWO, *worn_out())
    assert "new_loom loom" in large(some)
    offers = three_offers(
        some.items, some.cures, some.access, failed=some.failed, terms=TERMS, worth=0.1
    )
    assert offers[2].choice is not None
    assert "new_loom loom" not in offers[2].choice.cures
    assert {name for name in offers[2].choice.cures if name.startswith("new_branch")}


def test_a_new_loom_pays_where_comebacks_are_dear() -> None:
    """One by one 3 x 5 % for boots, 3 x 20 % for springs and 5 x 1 % for wires; a loom 5 %."""
    some = could(TWO, *worn_out())
    only = [cure for cure in some.cures if cure.cure == "new_loom loom" or len(cure.items) == 1]
    for cost, wanted in ((1000.0, False), (10000.0, True)):
        found = choose(some.items, only, some.access,
                       terms=attrs.evolve(TERMS, comeback_cost=cost))  # fmt: skip
        assert (found.cures == ("new_loom loom",)) is wanted


def test_asking_for_one_stiff_boot_is_not_asking_for_a_loom() -> None:
    some = could(TWO, *worn_out()[2:], ("CU", "boot", 1))
    assert "CU boot" in large(some)["new_loom loom"].items
    asked = [attrs.evolve(item, must=True) for item in some.items if item.item == "CU boot"]
    assert choose(asked, some.cures, some.access, terms=TERMS).cures == ("boot_only CU",)
    assert some.because["boot_only CU"][0] == "boot by itself"


def test_the_order_of_work_of_a_new_branch() -> None:
    """Boots before terminals; rung out on the bench and through the splice; all hold points."""
    steps = work_order([Task(item="B2", cure="new_branch", opens=("fork", "head"))],
                       {"fork": "reach fork", "head": "reach head"})  # fmt: skip
    own = [step for step in steps if step.item == "B2"]
    names = [step.name for step in own]
    wanted = ["record", "open", "boot", "crimp", "pin", "ring", "lay", "join", "ring again"]
    assert [name for name in names if name in wanted] == wanted
    holds = {step.name for step in own if step.hold}
    assert {"trial", "boot", "crimp", "pin", "ring", "join", "ring again"} <= holds
    first = next(n for n, step in enumerate(steps) if step.item == "B2")
    assert {"open fork", "open head"} <= {step.name for step in steps[:first]}


ASPECTS = [
    *((plug, aspect) for plug in ("T", "V") for aspect in ("boot", "terminal", "shell")),
    *((wire, aspect) for wire in ("W1", "W3", "W4") for aspect in ("insulation", "strands")),
    ("SP", "insulation"),
]


@st.composite
def worn_looms(draw: st.DrawFn) -> tuple[Candidates, Terms]:
    rows = draw(st.lists(st.sampled_from(ASPECTS), min_size=2, max_size=6, unique=True))
    locks = st.sampled_from([None, "tongue", "staked", "moulded"])
    job = attrs.evolve(
        TWO,
        plugs=tuple(
            attrs.evolve(plug, lock=draw(locks), spare_mm=draw(st.sampled_from([None, 15.0, 60.0])))
            for plug in TWO.plugs
        ),
    )
    fault = Found(
        items=("V.1",), kind="high_resistance", probability=0.5, claimed=draw(st.booleans())
    )
    some = could(
        job,
        *((item, aspect, draw(st.integers(1, 4))) for item, aspect in rows),
        found=(fault,) if draw(st.booleans()) else (),
        new_branch_items=float(draw(st.integers(1, 2))),
        new_loom_items=float(draw(st.integers(1, 4))),
    )
    # A loom as small as this one is made sooner than those of the table.
    quick = draw(st.sampled_from([60.0, 300.0, 1800.0]))
    some = attrs.evolve(
        some,
        cures=tuple(
            attrs.evolve(cure, minutes=quick) if cure.cure == "new_loom loom" else cure
            for cure in some.cures
        ),
    )
    terms = Terms(
        rate=draw(st.sampled_from([1.0, 60.0])),
        comeback_cost=draw(st.sampled_from([50.0, 240.0, 4000.0])),
        most_minutes=draw(st.sampled_from([np.inf, 40.0, 150.0])),
    )
    return some, terms


@settings(max_examples=60, deadline=None)
@given(worn_looms())
def test_no_set_of_cures_is_cheaper(made: tuple[Candidates, Terms]) -> None:
    some, terms = made
    assume(large(some) and len(some.cures) <= 12)
    wanted = tried(some.items, some.cures, some.access, terms)
    if wanted is None:
        with pytest.raises(OutOfRange):
            pays(some, terms)
        return
    assert pays(some, terms).expected_cost == pytest.approx(wanted, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(worn_looms())
def test_a_large_cure_only_adds_a_choice(made: tuple[Candidates, Terms]) -> None:
    """Whatever it puts right can be had without it, so it can only make the work cheaper."""
    some, terms = made
    big = large(some)
    small = [cure for cure in some.cures if cure.cure not in big]
    curable = {item for cure in small for item in cure.items}
    assert {item for cure in big.values() for item in cure.items} <= curable
    free = attrs.evolve(terms, most_minutes=np.inf)
    without = choose(some.items, small, some.access, terms=free)
    assert pays(some, free).expected_cost <= without.expected_cost + 1e-6
    assert set(some.because) == set(some.kinds) == set(some.at) == {c.cure for c in some.cures}

"""What a person may ask for: things, single parts of them, branches; and what is refused."""

from __future__ import annotations

import attrs
import pytest

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Branch, Job, NotFound, SurveyRow
from loomwright.repair.candidates import Candidates, candidates
from loomwright.repair.condition import conditions
from loomwright.services.musts import with_must
from sample.drawn import loom

#   CU.1 --W1-- T.1 [S] T.2 --W2-- CU.2     CU.3 --W3-- V.1 [D] V.2 --W4-- CU.4
#   box -B1- fork (T) -B2- head (V), -B3- tail
PLACES = {"CU": "box", "T": "fork", "V": "head"}
RUNS = {"W1": ("B1",), "W2": ("B1",), "W3": ("B1", "B2"), "W4": ("B1", "B2")}
DRAWN = loom(
    "W1 CU.1 T.1\nW2 CU.2 T.2\nW3 CU.3 V.1\nW4 V.2 CU.4",
    {"CU": "UNIT: 1 . 2 . 3 . 4", "T": "S: 1 . 2", "V": "D: 1 . 2"},
    "IN UNIT.1 UNIT.2 input ohm=1e5\nR S.1 S.2 resistor ohm=100\nQ D.1 D.2 resistor ohm=47",
)
BRANCHES = (
    Branch(branch="B1", from_place="box", to_place="fork"),
    Branch(branch="B2", from_place="fork", to_place="head"),
    Branch(branch="B3", from_place="fork", to_place="tail"),
)
SEEN = (("T", "boot", 3), ("V", "boot", 2), ("W4", "insulation", 3), ("V", "terminal", 0))


def surveyed(*rows: tuple[str, str, int]) -> Job:
    return attrs.evolve(
        DRAWN,
        plugs=tuple(
            attrs.evolve(plug, place=PLACES[plug.plug], lock="tongue") for plug in DRAWN.plugs
        ),
        wires=tuple(attrs.evolve(wire, branches=RUNS[wire.wire]) for wire in DRAWN.wires),
        branches=BRANCHES,
        survey=tuple(SurveyRow(item=item, aspect=a, grade=grade) for item, a, grade in rows),
    )


def asked(*must: str, job: Job | None = None) -> Candidates:
    job = job or surveyed(*SEEN)
    value = own_values(job)
    return with_must(
        candidates(job, conditions(job), (), value=value), must, job=job, value=value
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "items"),
    [
        ("T", {"T boot"}),
        ("V boot", {"V boot"}),
        ("W4", {"W4 insulation"}),
        ("B2", {"V boot", "W4 insulation"}),
        ("B1", {"T boot", "W4 insulation"}),
    ],
)
def test_a_name_stands_for_what_could_be_done_there(name: str, items: set[str]) -> None:
    """B2 carries W3 and W4 and ends at V; T has a wire of B1 alone."""
    assert asked().failed == frozenset()
    could = asked(name)
    assert could.failed == items
    assert {item.item for item in could.items if item.must} == could.failed


def test_musts_add_up() -> None:
    assert asked("T", "B2").failed == asked("T").failed | asked("B2").failed


def test_a_plug_of_the_same_name_comes_before_a_branch() -> None:
    job = surveyed(*SEEN)
    named = attrs.evolve(
        job, branches=(*BRANCHES[:2], attrs.evolve(BRANCHES[2], branch="T"))
    )  # fmt: skip
    assert asked("T", job=named).failed == asked("T").failed


@pytest.mark.parametrize("name", ["loom", "Loom"])
def test_the_whole_loom_is_refused_with_what_can_be_given(name: str) -> None:
    with pytest.raises(NotFound) as caught:
        asked(name)
    assert caught.value.where == "must"
    assert caught.value.what.startswith(f'"{name}" is all of it')
    assert caught.value.expected == "name a branch (B1, B2) or an item (T, V, W4)"


def test_a_branch_where_nothing_could_be_done_is_not_mistaken_for_another() -> None:
    with pytest.raises(NotFound, match='nothing could be done at "B3"') as caught:
        asked("B3")
    assert caught.value.expected == "name a branch (B1, B2) or an item (T, V, W4)"


def test_a_name_mistyped_is_told_with_the_nearest_and_long_lists_are_counted() -> None:
    with pytest.raises(NotFound) as near:
        asked("B22")
    assert near.value.expected == 'did you mean "B2"?'
    many = surveyed(*SEEN, ("W1", "insulation", 3), ("W2", "insulation", 3))
    with pytest.raises(NotFound) as far:
        asked("loom", job=many)
    assert far.value.expected.endswith("or an item (T, V, W1, W2 and 1 more)")


def test_a_job_on_which_nothing_could_be_done_says_so() -> None:
    with pytest.raises(NotFound) as caught:
        asked("T", job=surveyed())
    assert caught.value.expected == "leave it out: nothing on this job could be done"

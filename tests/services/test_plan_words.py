"""What a plan says of its cures, in words."""

from __future__ import annotations

import attrs
import pytest

from loomwright.repair.choice import Choice
from loomwright.repair.cure_facts import CureFacts
from loomwright.services.labels import Labels
from loomwright.services.plan import Offered
from loomwright.services.plan_words import (
    cure_words,
    does,
    life_words,
    line_words,
    lives_rest_on,
    rests_on,
    weak_points,
)
from loomwright.standards.cures import cure_kind
from sample import jobs


def fact(cure: str, *because: str) -> CureFacts:
    kinds = [cure_kind(name) for name in cure.rpartition(" ")[0].split(" + ")]
    return CureFacts(
        cure=cure, because=because, items=(), minutes=0.0, parts=0.0, opens=(), uses_mm=0.0,
        comeback=0.0, weak_points=tuple(kind.weak_point for kind in kinds),
        life_years=kinds[0].life_years, life_standing=kinds[0].life_standing,
    )  # fmt: skip


def offer(*cures: str) -> Offered:
    choice = Choice(
        cures=cures, opened=(), left=(), minutes=0.0, money=0.0, comebacks=0.0, expected_cost=0.0
    )
    return Offered(name="everything", choice=choice, quote=None, why_not="")


@pytest.mark.parametrize(
    ("cures", "said"),
    [
        (("new_loom loom",), "new loom."),
        (("boot_only TT", "new_loom loom"), "new boot at TT; new loom."),
        (("new_branch B8", "new_branch B9"), "new branch at B8 and B9."),
        (("extend + re_terminate I6",), "splice and new terminals at I6."),
        (("boot_only loom",), "new boot at loom."),
        ((), "nothing is done."),
    ],
)
def test_a_new_loom_is_told_without_a_place(cures: tuple[str, ...], said: str) -> None:
    assert does(offer(*cures)) == said


def test_a_line_of_a_quote_for_branch_and_loom() -> None:
    labels = Labels(jobs.job())
    assert line_words("new_loom loom", labels) == "The whole loom: new loom"
    assert line_words("new_branch B1", labels) == "Branch B1 (bulkhead to engine): new branch"


def test_what_cures_rest_on_is_told_once_where_it_is_alike() -> None:
    facts = [
        fact("boot_only I1", "boot of grade 2"), fact("boot_only I2", "boot of grade 2"),
        fact("boot_only CV", "boot of grade 3"), fact("new_loom loom", "31 items are worn"),
    ]  # fmt: skip
    assert list(rests_on(facts)) == [
        "new boot at I1 and I2: boot of grade 2.",
        "new boot at CV: boot of grade 3.",
        "new loom: 31 items are worn.",
    ]
    assert [cure_words(each) for each in facts[2:]] == ["new boot at CV", "new loom"]


def test_weak_points_once_a_kind_of_work() -> None:
    said = list(weak_points([fact("extend + re_terminate I6"), fact("re_terminate TE")]))
    assert said == [
        f"splice, weak point: {cure_kind('extend').weak_point}.",
        f"new terminals, weak point: {cure_kind('re_terminate').weak_point}.",
    ]


def test_likely_lives_with_their_standing() -> None:
    boot, clean = fact("boot_only I1"), fact("clean_contact GE")
    assert (life_words(boot), life_words(clean)) == ("4 years", "–")
    assert lives_rest_on([boot, clean]) == "Standing of the likely lives: common practice."
    assert lives_rest_on([clean]) == ""
    own = attrs.evolve(fact("new_wire W1"), life_standing="assumed")
    assert lives_rest_on([boot, own]) == (
        "Standing of the likely lives: common practice for new boot; assumed for new wire."
    )

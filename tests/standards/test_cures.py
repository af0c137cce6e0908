"""Cures and their steps: in the order the trade keeps."""

from __future__ import annotations

import pytest

from loomwright.loom.errors import NotFound
from loomwright.standards.cures import (
    cure_kind,
    cure_kinds,
    cure_rules,
    cure_steps,
    never_released,
)
from loomwright.standards.provenance import STANDINGS


def test_minutes_lie_between_their_ends_and_nothing_is_certain() -> None:
    for kind in cure_kinds().values():
        assert 0 <= kind.minutes_low <= kind.minutes <= kind.minutes_high, kind.cure
        assert 0 <= kind.comeback < 0.5, kind.cure
        assert kind.words, kind.cure
        assert kind.weak_point, kind.cure


@pytest.mark.parametrize(
    ("cure", "low", "high"),
    # Minutes per end on the car; common practice, no published source.
    [("boot_only", 5, 10), ("re_terminate", 15, 25), ("extend", 25, 40), ("new_branch", 60, 120)],
)
def test_minutes_of_trade_practice(cure: str, low: float, high: float) -> None:
    kind = cure_kind(cure)
    assert (kind.minutes_low, kind.minutes_high) == (low, high)


def test_every_cure_is_recorded_first_and_only_leaving_needs_no_step() -> None:
    for name in cure_kinds():
        steps = cure_steps(name)
        assert bool(steps) == (name != "leave"), name
        if steps:
            assert steps[0].step == "record", name
            assert len({step.step for step in steps}) == len(steps), name


@pytest.mark.parametrize("cure", ["re_terminate", "new_plug", "new_branch", "new_loom"])
def test_the_boot_is_on_the_wire_before_the_terminal(cure: str) -> None:
    names = [step.step for step in cure_steps(cure)]
    assert names.index("boot") < names.index("crimp") < names.index("pin")


def test_the_pull_test_comes_before_the_cut() -> None:
    steps = {step.step: n for n, step in enumerate(cure_steps("re_terminate"))}
    assert steps["trial"] < steps["cut"]
    assert all(step.hold for step in cure_steps("re_terminate") if step.step in ("trial", "pin"))


def test_an_unknown_cure_is_named_with_the_nearest() -> None:
    with pytest.raises(NotFound) as caught:
        cure_kind("reterminate")
    assert "re_terminate" in caught.value.expected


def test_every_rule_names_a_cure_that_puts_its_own_aspect_right() -> None:
    for rule in cure_rules():
        assert rule.cure in cure_kinds(), rule
        assert rule.aspect in rule.covers or rule.cure == "new_wire", rule
        assert 1 <= rule.grade_from <= rule.grade_to <= 4, rule


def test_every_bad_grade_has_a_cure() -> None:
    for kind, aspect in (
        ("plug", "boot"),
        ("plug", "terminal"),
        ("plug", "shell"),
        ("wire", "insulation"),
        ("wire", "strands"),
        ("joint", "terminal"),
    ):
        for grade in (3, 4):
            assert any(
                (rule.kind, rule.aspect) == (kind, aspect)
                and rule.grade_from <= grade <= rule.grade_to
                for rule in cure_rules()
            ), (kind, aspect, grade)  # fmt: skip


@pytest.mark.parametrize(
    ("cure", "low", "high"),
    # Plain rubber boots 3 to 6 years, tinned contacts 5 to 10, vinyl on the engine 10 to 15:
    # common practice, no published source.
    [("boot_only", 3, 6), ("re_terminate", 5, 10), ("new_plug", 5, 10), ("new_wire", 10, 15),
     ("new_branch", 10, 15), ("new_loom", 10, 15)],
)  # fmt: skip
def test_likely_lives_of_trade_practice(cure: str, low: float, high: float) -> None:
    years = cure_kind(cure).life_years
    assert years is not None
    assert low <= years <= high


def test_a_life_has_a_standing_and_nothing_else_has() -> None:
    for kind in cure_kinds().values():
        if kind.life_years is None:
            assert kind.life_standing == "", kind.cure
        else:
            assert kind.life_years > 0, kind.cure
            assert kind.life_standing in STANDINGS, kind.cure


def test_a_lock_bars_a_cure_only_with_another_in_its_place() -> None:
    assert never_released() == {"staked", "moulded"}
    for rule in cure_rules():
        assert bool(rule.not_at_lock) == bool(rule.instead), rule
        if rule.instead:
            others = [each for each in cure_rules() if each.cure == rule.instead]
            assert others, rule
            assert all(rule.aspect in each.covers for each in others), rule
            assert not any(each.not_at_lock for each in others), rule


@pytest.mark.parametrize("cure", ["new_branch", "new_loom"])
def test_a_large_cure_is_rung_out_before_it_is_laid(cure: str) -> None:
    steps = {step.step: step for step in cure_steps(cure)}
    names = list(steps)
    assert names.index("pin") < names.index("ring") < names.index("lay")
    assert steps["ring"].hold
    assert steps["boot"].hold

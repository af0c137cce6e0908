"""Rows of what heat does: nothing is lost where what reads alike stands in one row."""

from __future__ import annotations

from collections import Counter
from datetime import date

import attrs

from loomwright.services.heat import heat
from loomwright.services.heat_rows import (
    URGENT,
    current_rows,
    guard_rows,
    later_rows,
    life_rows,
    plug_rows,
)
from loomwright.services.heat_words import glance
from sample.demo import demo_job, demo_known
from sample.jobs import job as small_job

DAY = date(2026, 3, 19)


def names(text: str) -> list[str]:
    return text.replace(" and ", ", ").split(", ")


def test_every_wire_and_boot_stands_in_one_row() -> None:
    report = demo_known().heat(DAY)
    found = Counter((row.kind, name) for row in life_rows(report) for name in names(row.items))
    assert found == Counter((each.life.kind, each.life.item) for each in report.life.lines)


def test_what_is_not_urgent_is_in_the_short_list_and_nothing_else() -> None:
    report = demo_known().heat(DAY)
    found = Counter(
        name for words, _ in later_rows(report)
        for name in names(words.removeprefix("wires ").removeprefix("wire ")
                          .removeprefix("boot of plugs ").removeprefix("boot of plug "))
    )  # fmt: skip
    later = (each for each in report.life.lines if each.level not in URGENT)
    assert found == Counter(each.life.item for each in later)


def test_every_plug_wire_and_guard_stands_in_one_row() -> None:
    report = demo_known().heat(DAY)
    for zone in report.plugs.zones:
        found = [name for row in plug_rows(zone) for name in names(row.plugs)]
        assert sorted(found) == sorted(each.plug for each in zone.plugs)
    assert [row.wire for row in current_rows(report)] == [
        each.heat.wire for each in report.currents.lines
    ]
    guarded = {name for row in guard_rows(report) for name in names(row.wires)}
    assert guarded == {each.wire for each in report.currents.guards}


def test_urgent_rows_stand_before_the_others() -> None:
    levels = [row.level in URGENT for row in life_rows(demo_known().heat(DAY))]
    assert levels == sorted(levels, reverse=True)


def test_a_plug_without_a_boot_says_so_and_is_judged_bare() -> None:
    job = demo_job()
    bare = attrs.evolve(job, plugs=tuple(attrs.evolve(each, boot="none") for each in job.plugs))
    for zone in heat(bare, DAY).plugs.zones:
        assert {row.boot for row in plug_rows(zone)} == {"no boot"}


def test_the_glance_answers_all_four_even_where_nothing_is_known() -> None:
    job = small_job()
    empty = attrs.evolve(
        job, zones=(), warmings=(), survey=(), elements=(), wires=(),
        branches=tuple(attrs.evolve(each, zone=None) for each in job.branches),
        devices=tuple(attrs.evolve(each, zone=None) for each in job.devices),
    )  # fmt: skip
    told = dict(glance(heat(empty, DAY)))
    assert list(told) == ["Ages fastest", "Hottest", "Current", "Fuses"]
    for word in ("Ages fastest", "Hottest", "Current"):
        assert told[word][0].startswith("Not known")
    assert told["Fuses"] == (
        "The job tells of no fuse: give fuse_a, and fuse_type where it is a blade fuse, to the "
        "element that is one.",
    )

"""An offer in a few words."""

from __future__ import annotations

import attrs

from loomwright.repair.choice import Choice
from loomwright.services.offer_glance import hours_span, in_short, price_span
from loomwright.services.plan import Offered
from loomwright.services.workup import WorkUp
from sample.jobs import job as small_job


def offer(*cures: str) -> Offered:
    choice = Choice(
        cures=cures, opened=(), left=(), minutes=0.0, money=0.0, comebacks=0.0, expected_cost=0.0
    )
    return Offered(name="everything", choice=choice, quote=None, why_not="")


def test_few_places_are_named_and_many_are_counted() -> None:
    few = offer("re_terminate TE", "boot_only T1", "boot_only T2")
    assert in_short(few) == "new terminals at TE; new boot at T1 and T2"
    many = offer(*(f"boot_only T{n}" for n in range(5)))
    assert in_short(many) == "new boot at 5 places"


def test_kinds_of_work_beyond_a_few_are_counted() -> None:
    kinds = ("boot_only", "re_terminate", "clean_contact", "new_plug", "extend")
    assert in_short(offer(*(f"{kind} TE" for kind in kinds))).endswith("; 1 kind of work more")


def test_nothing_done_and_not_possible_are_said() -> None:
    assert in_short(offer()) == "nothing is done"
    barred = Offered(name="everything", choice=None, quote=None, why_not="too dear; raise it")
    assert in_short(barred) == "not possible: too dear; raise it"
    assert (price_span(barred, "EUR"), hours_span(barred)) == ("", "")


def test_price_and_hours_are_spans_that_close_up_where_both_ends_read_the_same() -> None:
    made = WorkUp(small_job()).plan.offers[2]
    assert made.quote is not None
    wide = attrs.evolve(
        made, quote=attrs.evolve(made.quote, low=999.6, high=12345.0, minutes=(30.0, 60.0, 90.0))
    )
    assert price_span(wide, "EUR") == "1\u00a0000 to 12\u00a0345 EUR"
    assert hours_span(wide) == "0.5 to 1.5 h"
    flat = attrs.evolve(
        made, quote=attrs.evolve(made.quote, low=40.1, high=40.4, minutes=(30.0, 31.0, 32.0))
    )
    assert price_span(flat, "") == "40"
    assert hours_span(flat) == "0.5 h"

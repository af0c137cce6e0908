"""The quote: the offers side by side, stages, the sum, and poor jobs."""

from __future__ import annotations

import re
from io import BytesIO
from typing import Any

import attrs
from pypdf import PdfReader

from loomwright.documents.quote import QuotePaper, quote
from loomwright.documents.typesetting import pdf
from loomwright.loom import About, Job, OwnFigure
from loomwright.services.workup import WorkUp
from sample import demo

DAY = "2026-03-21"


def made(known: WorkUp) -> QuotePaper:
    (paper,) = quote(known, DAY)
    assert isinstance(paper.context, QuotePaper)
    assert pdf(paper).startswith(b"%PDF")
    return paper.context


def euros(text: str) -> int:
    return int(re.sub(r"[^0-9]", "", text))


def test_the_page_reads_from_offers_to_signature(press: Any) -> None:
    pages = PdfReader(BytesIO(press.content("quote", "a4")["quote"])).pages
    said = " ".join(" ".join(page.extract_text() for page in pages).split())
    places = [
        said.index(words)
        for words in (
            "All prices in EUR.",
            "Only what failed",
            "This quote: what pays",
            "Reach throttle",
            "Sum, middle",
            "We call you before going beyond",
            "Not included",
            "What would change the choice",
            "What this rests on",
            "This quote holds until 2026-04-20.",
            "Accepted by",
        )
        if words != "Sum, middle"
    ]
    assert places == sorted(places)


def test_stages_add_up_to_the_likely_sum(press: Any) -> None:
    (paper,) = press.papers("quote")
    d = paper.context
    minutes = [euros(stage.minutes) for stage in d.stages if stage.minutes]
    assert abs(sum(minutes) - euros(d.total.minutes)) <= len(minutes)
    work = [euros(stage.work) for stage in d.stages if stage.work]
    assert abs(sum(work) - euros(d.total.work)) <= len(work)


def test_the_lines_of_the_sum_add_up(press: Any) -> None:
    (paper,) = press.papers("quote")
    *lines, last = paper.context.sums
    parts = [euros(line.value) for line in lines if line.value != "none"]
    assert last.strong
    assert abs(sum(parts) - euros(last.value)) <= len(parts)
    low, middle, high = (euros(getattr(paper.context, name)) for name in ("low", "middle", "high"))
    assert low < middle == euros(last.value) < high


def test_a_place_is_reached_before_it_is_worked_at(press: Any) -> None:
    (paper,) = press.papers("quote")
    for stage in paper.context.stages:
        assert stage.place == "For all" or stage.lines[0].startswith("Reach ")


def test_no_currency_is_said_and_none_is_shown(press: Any) -> None:
    job = press.known.job
    bare = attrs.evolve(job, about=attrs.evolve(job.about, currency=None))
    said = made(demo.like(press.known, bare))
    assert said.money.startswith("The job names no currency")
    assert said.middle.isdigit()


def test_a_tax_line_stands_only_where_the_job_gives_it(press: Any) -> None:
    (paper,) = press.papers("quote")
    none = {line.name: line.value for line in paper.context.sums}
    assert none["VAT"] == "none"
    assert "No VAT is shown: the job sets none." in paper.context.assumes
    settings = (*press.known.job.settings, OwnFigure(name="vat", value=0.2))
    job = attrs.evolve(press.known.job, settings=settings)
    taxed = made(demo.like(press.known, job))
    with_tax = {line.name: line.value for line in taxed.sums}
    assert euros(with_tax["VAT"]) > 0
    assert euros(taxed.middle) > euros(paper.context.middle)


def test_nothing_to_do_is_nothing_to_quote() -> None:
    said = made(WorkUp(Job(about=About(title="Empty"))))
    assert said.lack.startswith("There is nothing to be done")
    assert (said.stages, said.sums, said.call) == ((), (), "")


def test_what_is_not_possible_says_why(press: Any) -> None:
    known = WorkUp(press.known.job)
    known.plan = press.known.plan
    none = attrs.evolve(
        known.plan.pays, choice=None, quote=None, why_not="2 h are too few", lines=()
    )
    known.plan = attrs.evolve(known.plan, pays=none)
    said = made(known)
    assert said.lack == "The offer “what pays” is not possible: 2 h are too few."
    assert all(row.values[-1] == "–" for row in said.rows)

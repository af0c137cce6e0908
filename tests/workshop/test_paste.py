"""Pasting rows: first what would happen, then all of them or none."""

from __future__ import annotations

import re

import attrs
from django.http import HttpResponse
from django.test import Client

from loomwright.services.entering import enter
from loomwright.workshop.bench import BENCH

ADDRESS = "/jobs/tarn-2300/paste/wires/"
HEADS = "wire\tfrom\tto\tcolour\n"
TEXT = HEADS + "W01\tBATP\tSP30\tBK\nW02\tSP30\tMR.30\tRD\nN1\tCU.12\tGE\tBN\n"


def post(here: Client, text: str, **more: str) -> HttpResponse:
    answer: HttpResponse = here.post(ADDRESS, {"text": text, **more})
    return answer


def mark(answer: HttpResponse) -> str:
    found = re.search(r'name="mark" value="(\w+)"', answer.content.decode())
    assert found
    return found[1]


def names() -> list[str]:
    return [row.cells["wire"] for row in BENCH.rows.rows("tarn-2300", "wires")]


def test_the_empty_page_tells_the_columns(demo: str, here: Client) -> None:
    text = here.get(ADDRESS).content.decode()
    assert "section_mm2" in text
    assert "What would happen" not in text


def test_what_would_happen_is_shown_and_nothing_is_kept(demo: str, here: Client) -> None:
    before = BENCH.jobs.read(demo)
    answer = post(here, TEXT)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "1 row is new, 1 row changes and 1 row is there already." in text
    assert "The first row names the columns" in text
    assert re.search(r"Colour: <del>RD</del>.*<ins>BK</ins>", text)
    assert "W02" in text  # still in the box
    assert BENCH.jobs.read(demo) == before


def test_what_was_shown_is_kept(demo: str, here: Client) -> None:
    shown = post(here, TEXT)
    answer = post(here, TEXT, keep="1", mark=mark(shown))
    assert answer.status_code == 303
    assert answer["Location"] == "/jobs/tarn-2300/tables/wires/"
    wires = BENCH.jobs.read(demo).wires
    assert (wires[0].colour, wires[0].strands) == ("BK", 50)
    assert wires[-1].wire == "N1"
    assert (
        "Kept: wires, 1 row added and 1 row changed."
        in here.get(answer["Location"]).content.decode()
    )


def test_all_problems_are_shown_with_rows_and_columns(demo: str, here: Client) -> None:
    answer = post(here, HEADS + "N1\t?\tGE\tBN\nN 2\tCU.1\t\tBN\n")
    text = answer.content.decode()
    assert answer.status_code == 400
    assert "pasted text, row 2, from:" in text
    assert "pasted text, row 3, wire:" in text
    assert "pasted text, row 3, to: the cell is blank." in text
    assert 'name="keep"' not in text
    assert "N 2" in text


def test_rows_with_problems_are_not_kept_even_when_asked(demo: str, here: Client) -> None:
    answer = post(here, HEADS + "N1\t?\tGE\tBN\nN2\tCU.1\tGE\tBN\n", keep="anyhow", mark="x")
    assert answer.status_code == 400
    assert len(names()) == 64


def test_text_that_is_no_table_is_refused_and_stays(demo: str, here: Client) -> None:
    answer = post(here, 'wire\tfrom\n"W1\tT1.1\n')
    assert answer.status_code == 400
    assert "quotes in this row do not match" in answer.content.decode()
    assert "&quot;W1" in answer.content.decode()
    assert post(here, "").status_code == 400


def test_what_would_not_hold_together_is_told_and_may_be_kept_all_the_same(
    demo: str, here: Client
) -> None:
    text = HEADS + "N1\tCU.12\tNOWHERE\tBN\n"
    shown = post(here, text)
    assert "would not hold together yet" in shown.content.decode()
    assert post(here, text, keep="1", mark=mark(shown)).status_code == 400
    assert len(names()) == 64
    assert post(here, text, keep="anyhow", mark=mark(shown)).status_code == 303
    assert names()[-1] == "N1"


def test_what_somebody_changed_meanwhile_is_shown_once_more(demo: str, here: Client) -> None:
    shown = post(here, TEXT)
    key = BENCH.rows.rows(demo, "wires")[0].key
    enter(BENCH, demo, "wires", {"colour": "YE"}, key=key)
    answer = post(here, TEXT, keep="1", mark=mark(shown))
    assert answer.status_code == 409
    assert "<del>YE</del>" in answer.content.decode()
    assert "N1" not in names()
    assert post(here, TEXT, keep="1", mark=mark(answer)).status_code == 303


def test_another_text_than_the_one_shown_is_not_kept(demo: str, here: Client) -> None:
    shown = post(here, TEXT)
    other = TEXT.replace("\tBK", "\tWH")
    assert post(here, other, keep="1", mark=mark(shown)).status_code == 409
    assert BENCH.jobs.read(demo).wires[0].colour == "RD"


def test_the_same_rows_again_have_nothing_to_keep(demo: str, here: Client) -> None:
    text = post(here, HEADS + "W02\tSP30\tMR.30\tRD\n").content.decode()
    assert "Nothing would change." in text
    assert 'name="keep"' not in text


def test_the_tables_own_download_pasted_back_changes_nothing(demo: str, here: Client) -> None:
    for table in ("wires", "readings", "survey", "curves", "plugs"):
        csv = here.get(f"/jobs/tarn-2300/tables/{table}/?as=csv").content.decode()
        answer = here.post(f"/jobs/tarn-2300/paste/{table}/", {"text": csv})
        assert "Nothing would change." in answer.content.decode(), table


def test_a_loom_can_be_pasted_from_nothing(here: Client, demo: str) -> None:
    whole = BENCH.jobs.read(demo)
    BENCH.jobs.write("fresh", attrs.evolve(whole, wires=()))
    csv = here.get("/jobs/tarn-2300/tables/wires/?as=csv").content.decode()
    address = "/jobs/fresh/paste/wires/"
    shown = here.post(address, {"text": csv})
    assert here.post(address, {"text": csv, "keep": "1", "mark": mark(shown)}).status_code == 303
    assert BENCH.jobs.read("fresh").wires == whole.wires

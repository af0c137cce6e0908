"""The pages of a new loom: what it is, laying step by step, boards, cutting, proving, files."""

from __future__ import annotations

import re
import zipfile
from contextlib import closing
from io import BytesIO

import attrs
import openpyxl
import pytest
from django.test import Client
from pypdf import PdfReader

from loomwright.loom import Job
from loomwright.workshop.bench import BENCH
from loomwright.workshop.database import DatabaseJobs

NEW = "/jobs/tarn-2300/new-loom/"
NOW = {"now": "1"}


def words(answer: object) -> str:
    """What stands on a page, its markup left out."""
    text = re.sub(r"<[^>]+>", " ", answer.content.decode())  # type: ignore[attr-defined]
    return " ".join(text.replace("&#x27;", "'").replace("&quot;", '"').split())


def changed(job: Job, **tables: object) -> None:
    DatabaseJobs().write("tarn-2300", attrs.evolve(job, **tables))  # type: ignore[arg-type]


def test_a_page_comes_at_once_and_the_loom_when_it_is_worked_out(
    db: None, demo_job: Job, here: Client
) -> None:
    changed(demo_job, about=attrs.evolve(demo_job.about, complaint="never asked after before"))
    assert "Measuring the wires along the branches" in words(here.get(NEW))
    assert "64 wires" in words(here.get(NEW, NOW))
    assert "64 wires" in words(here.get(NEW))


def test_it_says_what_the_new_loom_is_and_where_its_splices_go(demo: str, here: Client) -> None:
    said = words(here.get(NEW, NOW))
    report_at = said.index("64 wires")
    assert report_at < said.index("Caution") < said.index("Splices") < said.index("Bundles")
    for joint in BENCH.jobs.read(demo).joints:
        if joint.kind == "splice":
            assert f"{joint.joint} " in said
    assert "bends when the engine rocks" in said
    assert "where it may not go" in said


def test_it_leads_to_everything_that_belongs_to_it(demo: str, here: Client) -> None:
    page = here.get(NEW, NOW).content.decode()
    linked = set(re.findall(r'href="([^"]+)"', page))
    for address in (
        f"{NEW}laying/", f"{NEW}board/", f"{NEW}cut/", f"{NEW}verify/", f"{NEW}netlist/",
        f"{NEW}wire-list/", "/jobs/tarn-2300/tables/branches/", "/jobs/tarn-2300/tables/fixings/",
        "/bundle/",
    ):  # fmt: skip
        assert address in linked
        with closing(here.get(address, NOW)) as answer:
            assert answer.status_code == 200
    assert 'href="/jobs/tarn-2300/new-loom/" aria-current' in page


def test_without_branches_it_leads_to_them(db: None, demo_job: Job, here: Client) -> None:
    changed(demo_job, branches=(), fixings=(), wires=tuple(
        attrs.evolve(wire, branches=()) for wire in demo_job.wires
    ))  # fmt: skip
    for address in (NEW, f"{NEW}laying/", f"{NEW}board/"):
        answer = here.get(address, NOW)
        assert answer.status_code == 200
        assert "no loom yet" in words(answer)
        assert 'href="/jobs/tarn-2300/tables/branches/"' in answer.content.decode()
    assert "by the old wire" in words(here.get(f"{NEW}cut/", NOW))
    assert here.get(f"{NEW}verify/", NOW).status_code == 200
    with closing(here.get(f"{NEW}wire-list/")) as answer:
        assert answer.status_code == 200


def test_a_ring_of_branches_is_named_with_the_way_to_mend_it(
    db: None, demo_job: Job, here: Client
) -> None:
    first = demo_job.branches[0]
    ring = attrs.evolve(first, branch=type(first.branch)("B99"))
    changed(demo_job, branches=(*demo_job.branches, ring))
    page = here.get(NEW, NOW)
    assert "B99" in words(page)
    assert "/jobs/tarn-2300/rows/branches/" in page.content.decode()


def test_what_is_not_known_leads_to_where_it_is_filled_in(
    db: None, demo_job: Job, here: Client
) -> None:
    plugs = tuple(
        attrs.evolve(plug, place=None) if plug.plug == "TE" else plug for plug in demo_job.plugs
    )
    changed(demo_job, plugs=plugs, fixings=())
    page = here.get(NEW, NOW)
    assert "Not known yet" in words(page)
    assert 'href="/jobs/tarn-2300/items/W32/"' in page.content.decode()
    assert "splices keep clear of none" in words(page)


def test_laying_is_read_step_by_step_to_the_proof(demo: str, here: Client) -> None:
    first = here.get(f"{NEW}laying/")
    steps = int(re.search(r"step 1 of (\d+)", words(first))[1])  # type: ignore[index]
    assert 'href="?step=2"' in first.content.decode()
    assert "Battery minus off" in words(first)
    held = [n for n in range(1, steps + 1) if f'class="hold"><a class="go" href="?step={n}"'
            in first.content.decode()]  # fmt: skip
    assert held
    assert "must be right before you go on" in words(here.get(f"{NEW}laying/?step={held[0]}"))
    last = here.get(f"{NEW}laying/?step={steps}").content.decode()
    assert f'href="{NEW}verify/"' in last


@pytest.mark.parametrize("typed", ["0", "-3", "x", "99999999999", "9999", "²"])
def test_a_step_that_is_not_there_is_the_nearest(demo: str, here: Client, typed: str) -> None:
    answer = here.get(f"{NEW}laying/", {"step": typed})
    assert answer.status_code == 200
    assert re.search(r"step (1|\d+) of \d+", words(answer))


def test_each_board_is_shown_and_can_be_taken_away(demo: str, here: Client) -> None:
    page = here.get(f"{NEW}board/", NOW).content.decode()
    assert page.count("<img src=") == 2
    assert "drive them" in page  # the caution about nails
    picture = here.get(f"{NEW}board/1/picture/")
    assert picture["Content-Type"] == "image/svg+xml"
    assert "default-src 'none'" in picture["Content-Security-Policy"]
    assert picture["Content-Disposition"] == "inline"
    dxf = here.get(f"{NEW}board/1/dxf/")
    assert "attachment" in dxf["Content-Disposition"]
    assert dxf.content.decode("ascii").rstrip().endswith("EOF")
    assert here.get(f"{NEW}board/3/picture/").status_code == 404


def test_the_long_sheet_has_the_boards_size(demo: str, here: Client) -> None:
    (sheet,) = PdfReader(BytesIO(here.get(f"{NEW}board/2/long/").content)).pages
    svg = here.get(f"{NEW}board/2/picture/").content.decode()
    wide = float(re.search(r'width="([\d.]+)mm"', svg)[1])  # type: ignore[index]
    assert float(sheet.mediabox.width) == pytest.approx(wide / 25.4 * 72, abs=0.1)


def test_sheets_come_for_the_paper_and_the_bar_asked_for(demo: str, here: Client) -> None:
    answer = here.get(f"{NEW}board/2/sheets/", {"size": "a3", "bar": "199,2"})
    assert answer["Content-Disposition"] == 'attachment; filename="tarn-2300-board-2-a3.pdf"'
    pages = PdfReader(BytesIO(answer.content)).pages
    short, long = sorted(float(side) for side in pages[-1].mediabox[2:])
    assert (short, long) == pytest.approx((297 / 25.4 * 72, 420 / 25.4 * 72), abs=0.1)
    assert "199.2 mm" in " ".join(pages[0].extract_text().split())


def test_everything_wrong_with_the_sheets_is_told_beside_its_field(demo: str, here: Client) -> None:
    answer = here.get(f"{NEW}board/1/sheets/", {"size": "napkin", "bar": "210 cm", **NOW})
    assert answer.status_code == 400
    assert 'There is no sheet "napkin"' in words(answer)
    assert '"210 cm" is not a number' in words(answer)
    answer = here.get(f"{NEW}board/1/sheets/", {"size": "a4", "bar": "20"})
    assert answer.status_code == 400
    assert 'value="20"' in answer.content.decode()


def test_every_wire_to_cut_stands_with_its_length(demo: str, here: Client) -> None:
    said = words(here.get(f"{NEW}cut/", NOW))
    for wire in BENCH.jobs.read(demo).wires:
        assert re.search(rf"\b{wire.wire} \d+ mm Label:", said)
    assert "What to buy" in said
    assert "measure it twice" in said


def test_the_tests_of_the_finished_loom_stand_with_their_limits(demo: str, here: Client) -> None:
    said = words(here.get(f"{NEW}verify/", NOW))
    assert re.search(r"CU\.6 TE\.1 \d+ mΩ W32", said)
    order = ("Never an insulation tester", "Continuity", "By hand", "With a fixture", "lets pass")
    places = [said.index(each) for each in order]
    assert places == sorted(places)


@pytest.mark.parametrize("page", ["", "laying/", "board/", "cut/", "verify/"])
def test_a_loom_that_is_not_described_comes_first(
    db: None, here: Client, demo_job: Job, page: str
) -> None:
    changed(demo_job, wires=(), readings=(), proof=(), survey=(), tasks=(), photos=())
    assert "Describe the loom" in words(here.get(f"{NEW}{page}", NOW))


def test_the_netlist_is_what_the_command_gives(demo: str, here: Client) -> None:
    answer = here.get(f"{NEW}netlist/")
    assert answer["Content-Disposition"] == 'attachment; filename="tarn-2300.cir"'
    assert answer.content.decode().rstrip().endswith(".end")
    wrong = here.get(f"{NEW}netlist/", {"state": "key"})
    assert wrong.status_code == 400


def test_the_wire_list_has_the_new_lengths(demo: str, here: Client) -> None:
    with closing(here.get(f"{NEW}wire-list/")) as answer:
        content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    assert zipfile.is_zipfile(BytesIO(content))
    sheet = openpyxl.load_workbook(BytesIO(content))["wires"]
    heads = [cell.value for cell in sheet[1]]
    length = heads.index("cut length [mm]")
    made = {row[0].value: row[length].value for row in sheet.iter_rows(min_row=2)}
    said = words(here.get(f"{NEW}cut/", NOW))
    assert f"W32 {made['W32']:.0f} mm Label:" in said


@pytest.mark.parametrize("page", ["", "laying/", "board/", "cut/", "verify/", "netlist/"])
def test_no_such_job(demo: str, here: Client, page: str) -> None:
    assert here.get(f"/jobs/none/new-loom/{page}").status_code == 404


def test_papers_of_a_new_loom_are_ticked_when_they_are_asked_for(demo: str, here: Client) -> None:
    ticked = re.compile(r'value="(\w+)" checked|checked[^>]*value="(\w+)"')
    usual = {"".join(each) for each in ticked.findall(
        here.get("/jobs/tarn-2300/papers/").content.decode())}  # fmt: skip
    assert {"quote", "labels"} <= usual
    assert usual.isdisjoint({"build", "board", "cut", "verify"})
    asked = here.get("/jobs/tarn-2300/papers/?only=build&only=verify").content.decode()
    assert {"".join(each) for each in ticked.findall(asked)} >= {"build", "verify"}

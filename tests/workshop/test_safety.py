"""What must hold whoever sends what: keys, forms, names, words in pages, headers, failures."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import OperationalError
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, reverse

from loomwright.workshop import urls
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.data_folder import data_place
from loomwright.workshop.database import DatabaseRows
from loomwright.workshop.gate import OPEN_TO_ALL, key
from sample import jobs as sample

JOB = "tarn-2300"
_EXAMPLES = {
    "job": JOB, "table": "wires", "plug": "TE", "cavity": "1", "item": "TE", "name": "te.jpg",
    "reading": "R1", "paper": "report.pdf", "number": 1, "given": "guessed", "key": "1",
    "piece": 1,
}  # fmt: skip


def address(pattern: URLPattern) -> str:
    given = {name: _EXAMPLES[name] for name in pattern.pattern.converters}
    return reverse(str(pattern.name), kwargs=given)


ADDRESSES = sorted({address(each) for each in urls.urlpatterns})
SHUT = [each for each in ADDRESSES if not each.startswith(OPEN_TO_ALL)]


@pytest.fixture
def small(db: None) -> str:
    """A small job under the demo's name, for what does not rest on its results."""
    BENCH.jobs.write(JOB, sample.job())
    return JOB


@pytest.fixture
def strict(db: None) -> Client:
    """A browser on this machine that lost the forms' key."""
    return Client(REMOTE_ADDR="127.0.0.1", enforce_csrf_checks=True)


@pytest.fixture
def calm(db: None) -> Client:
    """A browser on this machine; what the program does wrong is answered as it is to people."""
    return Client(REMOTE_ADDR="127.0.0.1", raise_request_exception=False)


@pytest.mark.parametrize("page", ADDRESSES)
def test_no_form_is_taken_without_its_key(strict: Client, page: str) -> None:
    assert strict.post(page, {"anything": "1"}).status_code == 403


@pytest.mark.parametrize("method", ["get", "post", "put", "delete", "head", "options"])
def test_no_page_opens_to_a_device_without_the_key(far: Client, method: str) -> None:
    assert {page: getattr(far, method)(page).status_code for page in SHUT} == dict.fromkeys(
        SHUT, 403
    )


def test_what_a_device_says_of_its_own_address_counts_nothing(far: Client) -> None:
    lie = {"X-Forwarded-For": "127.0.0.1", "X-Real-IP": "127.0.0.1", "Forwarded": "for=127.0.0.1"}
    assert far.get("/", headers=lie).status_code == 403


def test_coming_in_begins_a_new_session(far: Client) -> None:
    far.get(f"/join/{key()}/")
    first = far.cookies["sessionid"].value
    far.get(f"/join/{key()}/")
    assert far.cookies["sessionid"].value != first
    second = far.cookies["sessionid"].value
    far.post("/person/", {"name": "Sam"})
    assert far.cookies["sessionid"].value != second


def test_the_sessions_cookie_is_out_of_reach_of_scripts_and_other_sites(far: Client) -> None:
    cookie = (far.get(f"/join/{key()}/"), far.cookies["sessionid"])[1]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


ELSEWHERE = ["https://evil.example/", "//evil.example", "/\\evil.example", "javascript:alert(1)"]


@pytest.mark.parametrize("back", ELSEWHERE)
def test_no_form_leads_to_another_site(small: str, here: Client, back: str) -> None:
    page = here.get(f"/jobs/{small}/rows/stock/", {"back": back}).content.decode()
    assert f'href="{back}"' not in page
    sent = here.post(
        f"/jobs/{small}/rows/plugs/", {"plug": "ZZ", "kind": "", "back": back, "anyhow": "1"}
    )
    assert not sent.headers.get("Location", "/").startswith(back)


HOSTILE = "\"'><x1 onload=alert(1)></svg></title></textarea><script src=//x1>{{7*7}}{% now %}"


class Tags(HTMLParser):
    """Collects what a browser would make elements and attributes of."""

    def __init__(self) -> None:
        super().__init__()
        self.bad: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs if name.startswith("on") or name == "style"]
        ours = dict(attrs).get("src", "/static/") or ""
        foreign = tag == "script" and not ours.startswith("/static/")
        leads = [text for name, text in attrs if name == "href" and "script:" in (text or "")]
        if tag == "x1" or names or foreign or leads:
            self.bad.append(self.get_starttag_text() or tag)


def hostile_rows(job: str) -> Iterator[tuple[str, str]]:
    """Put the words into every cell that is free text, one table after the other."""
    rows = DatabaseRows()
    for table in (
        "job", "plugs", "joints", "wires", "devices", "meters", "readings", "survey", "branches",
        "zones", "catalogue", "suppliers", "offers", "stock", "tasks", "photos", "proof", "crimps",
    ):  # fmt: skip
        for row in rows.rows(job, table):
            free = {name: HOSTILE for name in row.cells if name in FREE}
            rows.put(job, table, row.key, {**row.cells, **free, "own": HOSTILE})
            yield table, row.key


FREE = {
    "title", "vehicle", "complaint", "currency", "label", "note", "insulation", "cover", "plating",
    "kept", "by",
}  # fmt: skip
"""Columns in which a person may write what they like, and the job holds together still."""
PAGES = [
    "", "loom/", "plugs/TE/", "plugs/TE/cavity/1/", "readings/", "measure/?now=1",
    "suspects/?now=1", "steps/?now=1", "crimps/", "proof/", "parts/", "quote/", "papers/",
    "history/", "differences/", "tables/wires/", "tables/plugs/", "tables/readings/", "offers/",
    "glance/", "crimps/needed/", "readings/R01/", "readings/R01/meaning/", "rows/wires/",
]  # fmt: skip


def test_words_of_a_job_are_words_on_every_page(demo: str, here: Client) -> None:
    kept = list(hostile_rows(demo))
    assert len(kept) > 100
    pages = [f"/jobs/{demo}/{page}" for page in PAGES]
    pages += ["/", "/search/?q=x1", f"/jobs/start/?earlier={demo}"]
    pages += [f"/jobs/{demo}/rows/{table}/{key}/" for table, key in dict(kept).items()]
    for page in pages:
        answer = here.get(page, follow=True)
        assert answer.status_code == 200, page
        tags = Tags()
        tags.feed(answer.content.decode())
        assert not tags.bad, page
        assert "x1 onload" not in answer.content.decode().replace("&lt;x1 onload", ""), page


@pytest.mark.parametrize("words", ["q=%s", "q=%s&page=2"])
def test_words_of_an_address_are_words(here: Client, words: str) -> None:
    page = here.get("/search/?" + words % "%22%3E%3Cx1%20onload=1%3E").content.decode()
    tags = Tags()
    tags.feed(page)
    assert not tags.bad


CLIMBS = ["..", "%2e%2e", "..%2f..%2fkey.secret", "..%5c..%5ckey.secret", "%2fetc%2fpasswd", "C:"]


@pytest.mark.parametrize(
    "page",
    ["/jobs/{}/", "/jobs/tarn-2300/photos/{}", "/jobs/tarn-2300/papers/{}", "/static/{}",
     "/jobs/tarn-2300/tables/{}/", "/jobs/tarn-2300/rows/{}/", "/jobs/{}/papers/report.pdf",
     "/settings/figures/{}/", "/jobs/tarn-2300/paste/{}/"],
)  # fmt: skip
def test_no_address_leads_out_of_the_workshop(small: str, calm: Client, page: str) -> None:
    data_place().mkdir(parents=True, exist_ok=True)
    for climb in CLIMBS:
        answer = calm.get(page.format(climb))
        assert answer.status_code in (301, 302, 404), climb
        assert key() not in answer.content.decode(errors="replace"), climb


def test_a_zip_leads_nowhere_but_into_its_own_job(small: str, here: Client, tmp_path: Path) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("job.csv", "title\nOdd\n")
        archive.writestr("../../outside.csv", "title\nOdd\n")
        archive.writestr("photos/../../outside.jpg", b"x")
    file = SimpleUploadedFile("odd.zip", packed.getvalue())
    answer = here.post("/jobs/bring/", {"file": file, "name": "odd"})
    assert answer.status_code == 400
    assert "outside" in answer.content.decode()


@pytest.mark.parametrize("name", ["../up", "a/b", "a\\b", "..", "a b", "%2e%2e", "C:x"])
def test_a_job_cannot_be_called_by_a_place(here: Client, name: str) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("job.csv", "title\nOdd\n")
    file = SimpleUploadedFile("odd.zip", packed.getvalue())
    assert here.post("/jobs/bring/", {"file": file, "name": name}).status_code == 400


SEALS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "X-Workshop": "1",
}


@pytest.mark.parametrize(
    "page",
    ["/", "/nowhere/", "/static/workshop/icon.svg", "/jobs/tarn-2300/photos/te.svg", "/person/",
     "/jobs/tarn-2300/take-out/", "/alive/", "/jobs/none/", "/jobs/tarn-2300/papers/none.pdf"],
)  # fmt: skip
def test_every_answer_is_sealed(small: str, here: Client, page: str) -> None:
    PHOTOS.write(small, "te.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>")
    answer = here.get(page)
    answer.close()  # files that are sent bit by bit
    assert {name: answer.headers.get(name) for name in SEALS} == SEALS
    assert "script-src" not in answer.headers["Content-Security-Policy"]
    assert "default-src" in answer.headers["Content-Security-Policy"]


def test_a_stranger_and_a_foreign_name_get_sealed_answers_too(far: Client) -> None:
    for answer in (far.get("/"), far.get("/", HTTP_HOST="evil.example"), far.get("/static/x")):
        assert {name: answer.headers.get(name) for name in SEALS} == SEALS


def test_scripts_are_not_sent_under_a_foreign_name(here: Client) -> None:
    assert here.get("/static/workshop/icon.svg", HTTP_HOST="evil.example").status_code == 421


@pytest.mark.parametrize("host", ["", "a b", "[", "evil..example", "\x00", "127.0.0.1:x", "a_b@c"])
def test_a_host_that_is_no_name_is_refused_calmly(calm: Client, host: str) -> None:
    assert calm.get("/", HTTP_HOST=host).status_code in (400, 421)


def told_calmly(answer: HttpResponse, status: int) -> str:
    """The words of an answer that has the status and shows nothing of the program."""
    assert answer.status_code == status
    words = str(answer.content.decode())
    assert "<h1>" in words
    assert "Loomwright" in words
    assert "Traceback" not in words
    assert "Error" not in words
    return words


def test_a_form_larger_than_is_read_is_refused_in_words(calm: Client) -> None:
    answer = calm.post("/person/", {"name": "x" * 9_000_000})
    assert "too large" in told_calmly(answer, 413)


def test_photos_larger_together_than_is_taken_are_refused_in_words(calm: Client) -> None:
    answer = calm.generic("POST", "/person/", b"x", CONTENT_LENGTH="70000000")
    assert "one photo at a time" in told_calmly(answer, 413)


def test_a_form_of_too_many_fields_is_refused_in_words(calm: Client) -> None:
    answer = calm.post("/person/", {f"f{n}": "" for n in range(6000)})
    assert "too large" in told_calmly(answer, 413)


def test_a_form_of_too_many_files_is_refused_in_words(calm: Client) -> None:
    files = {f"f{n}": SimpleUploadedFile("a.jpg", b"x") for n in range(200)}
    assert "too large" in told_calmly(calm.post("/person/", files), 413)


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("multipart/form-data", b"x"),
        ("multipart/form-data; boundary=a", b"--a\r\nContent-Disposition: form-data\r\n\r\nx"),
        ("multipart/form-data; boundary=\xe4", b"x"),
        ("multipart/form-data; boundary=a", b""),
        ("application/x-www-form-urlencoded; charset=latin-1", b"name=Sam"),
        ("application/json", b"{"),
        ("", b"\xff\x00"),
    ],
)
def test_a_form_that_is_none_is_refused_in_words(calm: Client, kind: str, body: bytes) -> None:
    told_calmly(calm.generic("POST", "/person/", body, content_type=kind), 400)


def test_odd_bytes_in_a_form_do_no_harm(small: str, calm: Client) -> None:
    body = b"title=\xff\xfe&vehicle=\xed\xa0\x80&complaint=x&opened_on=2026-01-01"
    kind = "application/x-www-form-urlencoded"
    assert calm.generic("POST", "/jobs/start/", body, content_type=kind).status_code in (303, 400)
    assert calm.get("/").status_code == 200


@pytest.mark.parametrize(
    "page",
    ["/search/?q=%00", "/jobs/%00/", "/jobs/tarn-2300/tables/%00/", "/jobs/tarn-2300/photos/%00",
     "/jobs/tarn-2300/rows/wires/%00/", "/jobs/tarn-2300/readings/a%00/", "/join/%00/",
     "/jobs/tarn-2300/history/?find=%00", "/?page=%00", "/search/?%00=1", "/%00"],
)  # fmt: skip
def test_a_character_that_no_database_keeps_is_refused_in_an_address(
    small: str, calm: Client, page: str
) -> None:
    told_calmly(calm.get(page), 400)


def test_a_character_that_no_database_keeps_is_refused_in_a_form(small: str, calm: Client) -> None:
    sent = calm.post("/jobs/start/", {"title": "a\x00b", "opened_on": "2026-01-01"})
    assert "a character that cannot be kept" in told_calmly(sent, 400)
    assert "a character" in told_calmly(calm.post("/person/", {"na\x00me": "Sam"}), 400)


@pytest.mark.parametrize(
    "page",
    ["/?page=99999999999999999999", "/?page=-1", "/?page=x", "/search/?q=T1&page=9" + "9" * 400,
     "/jobs/tarn-2300/history/?page=99999999999999", "/jobs/tarn-2300/history/?page=%C2%B2",
     "/jobs/tarn-2300/readings/?page=1e9", "/jobs/tarn-2300/steps/?now=x",
     "/search/?q=" + "z" * 5000, "/jobs/%ff%fe/", "/search/?q=%ff%fe%ed%a0%80",
     "/jobs/tarn-2300/history/wires/99999999999999999999999999/undo/",
     "/jobs/tarn-2300/rows/wires/99999999999999999999999999/",
     "/jobs/tarn-2300/rows/wires/%C2%B2/", "/jobs/tarn-2300/measure/?plus=x&minus=y",
     "/jobs/tarn-2300/measure/?plus=&minus=&quantity=&again=%F0%9F%94%A7&hot=1",
     "/jobs/tarn-2300/plugs/%F0%9F%94%A7/", "/jobs/tarn-2300/differences/?other=..",
     "/jobs/" + "x" * 3000 + "/", "/jobs/start/?earlier=" + "x" * 3000],
)  # fmt: skip
def test_an_odd_address_never_shakes_the_program(small: str, calm: Client, page: str) -> None:
    assert calm.get(page).status_code < 500


@pytest.mark.parametrize(
    ("page", "fields"),
    [
        ("steps/tick/?item=x&step=y&nth=%C2%B2", {"state": "done", "minutes": "9" * 400}),
        ("steps/back/", {"key": "9" * 40}),
        ("steps/back/", {"key": "²"}),
        ("steps/wire/T1/", {"mm": "9" * 400, "was.spare_mm": "x"}),
        ("steps/wire/T1/", {"mm": "nan"}),
        ("steps/wire/T1/back/", {"task": "x" * 900}),
        ("crimps/", {"height_mm": "1e999", "pull_n": "-0", "trial": "x" * 9000}),
        ("measure/", {"value": "1e999", "quantity": "ohms", "plus": "T1.1", "minus": "E1"}),
        ("measure/own/", {"value": "∞"}),
        ("items/T1/", {"act": "grade", "grade": "9" * 500, "aspect": "x"}),
        ("items/T1/", {"act": "unpin", "photo": "../../key.secret"}),
        ("items/T1/", {"act": "pin"}),
        ("offer/", {"offer": "x" * 9000, "back": "//evil.example"}),
        ("close/", {"closed": "²"}),
        ("papers/", {"kind": "..", "sheet": "../..", "label_sheet": "9999999x9999999"}),
        ("history/wires/1/undo/", {"was.colour": "x"}),
        ("rows/stock/", {"count": "9" * 5000}),
        ("paste/wires/", {"text": "\t\n" * 4000}),
    ],
)
def test_an_odd_form_never_shakes_the_program(
    small: str, calm: Client, page: str, fields: dict[str, str]
) -> None:
    assert calm.post(f"/jobs/{small}/{page}", fields).status_code < 500


def failed(*args: object, **kwargs: object) -> object:
    raise OperationalError("database is locked")


def logged() -> str:
    log = data_place() / "failures.log"
    return log.read_text(encoding="utf-8") if log.exists() else ""


@pytest.mark.parametrize(
    ("broken", "page"),
    [
        ("loomwright.workshop.pages.today.kept_jobs", "/"),
        ("loomwright.workshop.pages.framing.KeptJob.objects.filter", f"/jobs/{JOB}/loom/"),
        ("django.contrib.sessions.backends.db.SessionStore.load", "/"),
        ("django.contrib.sessions.backends.db.SessionStore.load", f"/jobs/{JOB}/loom/"),
        ("django.contrib.sessions.backends.db.SessionStore.load", "/nowhere/"),
        ("loomwright.workshop.database.kept_job", f"/jobs/{JOB}/loom/"),
    ],
)
def test_a_database_that_is_away_is_said_in_words(
    small: str, calm: Client, monkeypatch: pytest.MonkeyPatch, broken: str, page: str
) -> None:
    calm.post("/person/", {"name": "Sam"})
    monkeypatch.setattr(broken, failed)
    assert "database did not answer" in told_calmly(calm.get(page), 503)


def test_a_device_is_told_so_too_when_its_session_cannot_be_read(
    far: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    far.get(f"/join/{key()}/")
    far.raise_request_exception = False
    monkeypatch.setattr("django.contrib.sessions.backends.db.SessionStore.load", failed)
    assert "database did not answer" in told_calmly(far.get("/"), 503)


def test_an_entry_that_finds_the_database_locked_is_not_taken(
    small: str, calm: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as locked:
        locked.setattr("loomwright.workshop.once.TakenEntry.objects.create", failed)
        sent = calm.post("/jobs/start/", {"title": "Odd", "entry": "a-token-of-one"})
        assert "still" in told_calmly(sent, 503)
    assert "Odd" not in calm.get("/").content.decode()


def test_a_mistake_of_the_program_is_a_reference_in_the_log_not_a_traceback(
    small: str, calm: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def mistaken(*args: object, **kwargs: object) -> None:
        raise ZeroDivisionError("a mistake of ours")

    monkeypatch.setattr("loomwright.workshop.pages.today.kept_jobs", mistaken)
    answer = calm.get("/")
    assert answer.status_code == 500
    page = answer.content.decode()
    assert "Traceback" not in page
    assert "a mistake of ours" not in page
    reference = re.search(r"reference ([0-9a-f]{8})", page)
    assert reference
    assert reference[1] in logged()
    assert "a mistake of ours" in logged()


def test_an_address_forges_no_line_of_the_log(
    small: str, calm: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("loomwright.workshop.database.kept_job", failed)
    assert calm.get("/jobs/a%0aforged/loom/").status_code == 503
    assert "\nforged" not in logged()
    assert "a%0Aforged" in logged()

"""The real site when much comes at once: devices that write, one that reads, a backup."""

from __future__ import annotations

import csv
import http.client
import re
import subprocess
import uuid
import zipfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from http.cookies import SimpleCookie
from pathlib import Path
from urllib.parse import urlencode

import attrs
import pytest

from sample.site import PROGRAM, Site, environment, open_site

JOB = "/jobs/tarn-2300/"
READING = {
    "quantity": "ohm", "plus": "CU.6", "minus": "CU.7", "unplugged": "CU", "state": "key=off",
}  # fmt: skip
MOST_S = 60


@attrs.frozen
class Answer:
    """What came back."""

    status: int
    leads_to: str
    text: str


@attrs.define
class Device:
    """A tablet without a browser: it keeps its cookies, and sends forms as they are."""

    port: int
    cookies: dict[str, str] = attrs.field(factory=dict)

    def get(self, path: str) -> Answer:
        return self._ask("GET", path, None)

    def send(self, path: str, form: dict[str, str]) -> Answer:
        return self._ask("POST", path, urlencode(form))

    def called(self, name: str) -> Device:
        """Says who works at it."""
        self.get("/person/")
        assert self.send("/person/", {"name": name}).status == 303
        return self

    def _ask(self, method: str, path: str, body: str | None) -> Answer:
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=MOST_S)
        headers = {
            "Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items()),
            "Content-Type": "application/x-www-form-urlencoded",
            "X-CSRFToken": self.cookies.get("csrftoken", ""),
        }
        try:
            line.request(method, path, body, headers)
            came = line.getresponse()
            text = came.read().decode()
            for each in came.headers.get_all("Set-Cookie", []):
                self.cookies |= {name: kept.value for name, kept in SimpleCookie(each).items()}
            return Answer(came.status, came.headers.get("Location", ""), text)
        finally:
            line.close()


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with open_site(tmp_path_factory.mktemp("workshop")) as opened:
        yield opened


def entry(value: str) -> dict[str, str]:
    """A reading as its form sends it, with a token of its own."""
    return {**READING, "value": value, "engine_c": "82", "entry": uuid.uuid4().hex}


def kept(device: Device) -> list[tuple[str, str]]:
    """Name and value of every reading."""
    text = device.get(f"{JOB}tables/readings/?as=csv").text.removeprefix("\ufeff")
    return [(row["reading"], row["value"]) for row in csv.DictReader(text.splitlines())]


def backup(data: Path, file: Path) -> subprocess.Popen[str]:
    """A backup by a program of its own, while the site runs."""
    return subprocess.Popen(
        [*PROGRAM, "backup", str(file), "--data", str(data)],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment(),
    )  # fmt: skip


def test_all_of_two_devices_is_kept_while_another_reads_and_a_backup_runs(
    site: Site, tmp_path: Path
) -> None:
    devices = [Device(site.port).called(name) for name in ("Ann", "Ben")]
    before = kept(devices[0])
    values = [str(1000 + number) for number in range(50)]
    copying = backup(site.data, tmp_path / "all.zip")
    with ThreadPoolExecutor(max_workers=51) as threads:
        sent = [
            threads.submit(devices[number % 2].send, f"{JOB}measure/", entry(value))
            for number, value in enumerate(values)
        ]
        seen = threads.submit(Device(site.port).get, f"{JOB}suspects/?now=1")
    said, _ = copying.communicate(timeout=MOST_S)

    answers = [each.result() for each in sent]
    assert {each.status for each in answers} == {303}
    assert len({each.leads_to for each in answers}) == 50
    now = kept(devices[0])
    assert now[: len(before)] == before
    assert sorted(value for _, value in now[len(before) :]) == values
    assert len({name for name, _ in now}) == len(now)
    for name in ("Ann", "Ben"):
        lines = devices[0].get(f"{JOB}history/?find={name}&table=readings").text
        assert len(re.findall(rf"<b>{name}</b> added reading", lines)) == 25
    assert seen.result().status == 200
    assert "What is wrong" in seen.result().text
    assert copying.returncode == 0, said
    with zipfile.ZipFile(tmp_path / "all.zip") as copied:
        assert copied.testzip() is None


def test_entries_sent_three_times_at_once_are_taken_once(site: Site) -> None:
    device = Device(site.port).called("Ann")
    before = kept(device)
    entries = [entry(str(2000 + number)) for number in range(10)]
    with ThreadPoolExecutor(max_workers=30) as threads:
        answers = list(threads.map(lambda each: device.send(f"{JOB}measure/", each), entries * 3))
    assert {each.status for each in answers} == {303}
    first, second, third = answers[:10], answers[10:20], answers[20:]
    assert [each.leads_to for each in first] == [each.leads_to for each in second]
    assert [each.leads_to for each in first] == [each.leads_to for each in third]
    fresh = [value for _, value in kept(device)[len(before) :]]
    assert sorted(fresh) == [each["value"] for each in entries]

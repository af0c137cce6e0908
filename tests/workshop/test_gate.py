"""Who may come in."""

from __future__ import annotations

import pytest
from django.test import Client

from loomwright.workshop.data_folder import secret
from loomwright.workshop.gate import key


def test_this_machine_comes_in_at_once(here: Client) -> None:
    answer = here.get("/")
    assert answer.status_code == 200
    assert answer["X-Workshop"] == "1"
    assert "default-src 'self'" in answer["Content-Security-Policy"]


def test_another_device_is_told_to_scan_the_code(far: Client) -> None:
    answer = far.get("/")
    assert answer.status_code == 403
    assert "scan the QR code" in answer.content.decode()


def test_the_link_in_the_code_lets_a_device_in_and_asks_who_is_there(far: Client) -> None:
    answer = far.get(f"/join/{key()}/")
    assert answer["Location"] == "/person/"
    assert far.get("/person/").status_code == 200
    assert far.get("/").status_code == 200


def test_another_link_does_not(far: Client) -> None:
    answer = far.get("/join/guessed/")
    assert answer.status_code == 403
    assert "scan the QR code on the laptop again" in answer.content.decode()
    assert far.get("/").status_code == 403


def test_a_renewed_key_shuts_everybody_out(far: Client) -> None:
    far.get(f"/join/{key()}/")
    secret("key", renew=True)
    assert far.get("/").status_code == 403


def test_a_person_says_who_they_are_and_stays_let_in(far: Client) -> None:
    far.get(f"/join/{key()}/")
    assert far.post("/person/", {"name": "Sam"}).status_code == 303
    assert "Sam" in far.get("/").content.decode()
    far.post("/person/forget/")
    page = far.get("/person/").content.decode()
    assert 'value="Sam"' in page  # offered to the next
    assert far.get("/").status_code == 200


def test_one_person_in_two_spellings_is_one(here: Client) -> None:
    here.post("/person/", {"name": "Sam"})
    here.post("/person/", {"name": "sam"})
    assert here.get("/person/").content.decode().count('name="name" value="') <= 3


@pytest.mark.parametrize("name", ["", "   ", "<b>", "x" * 41])
def test_a_name_that_cannot_be_one_is_asked_again(here: Client, name: str) -> None:
    answer = here.post("/person/", {"name": name})
    assert answer.status_code == 400
    assert "Give a name" in answer.content.decode()


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "evil.example:8800"])
def test_a_foreign_name_for_this_machine_is_refused(here: Client, host: str) -> None:
    assert here.get("/", HTTP_HOST=host).status_code == 421


@pytest.mark.parametrize("host", ["127.0.0.1:8800", "[::1]:8800", "192.0.2.4", "localhost"])
def test_plain_addresses_are_answered(here: Client, host: str) -> None:
    assert here.get("/", HTTP_HOST=host).status_code == 200

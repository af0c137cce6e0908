"""A browser without a screen, for `bench_site`: asks for pages, keeps cookies, sends forms."""

from __future__ import annotations

import html
import http.client
import re
import time
from collections.abc import Mapping
from http.cookies import SimpleCookie
from urllib.parse import urlencode, urlsplit

import attrs

PATIENCE_S = 300.0


@attrs.frozen
class Answer:
    """What the site answered.

    Attributes
    ----------
    seconds : from asking to the last byte
    status, url : of the page that was shown in the end
    body : the page
    """

    seconds: float
    status: int
    url: str
    body: str

    def fields(self) -> dict[str, str]:
        """Names and values of the inputs and chosen options of its forms."""
        found = {}
        for tag in re.findall(r"<input[^>]*>", self.body):
            told = {k: html.unescape(v) for k, v in re.findall(r'([\w-]+)="([^"]*)"', tag)}
            if "name" in told and told.get("type") not in ("checkbox", "radio", "file"):
                found[told["name"]] = told.get("value", "")
        return found


class Client:
    """One device; each time is of one request on an open connection, redirects included."""

    def __init__(self, address: str) -> None:
        where = urlsplit(address)
        self._line = http.client.HTTPConnection(str(where.hostname), where.port, timeout=PATIENCE_S)
        self._line.connect()
        self._host = where.netloc
        self._cookies: dict[str, str] = {}

    def get(self, path: str, *, part: bool = False) -> Answer:
        """A page, or with `part` what a script asks for.

        Raises
        ------
        SystemExit
            when the page is none that a benchmark could measure.
        """
        began = time.perf_counter()
        return self._ended(began, "GET", path, None, {"HX-Request": "true"} if part else {})

    def post(self, path: str, fields: Mapping[str, str]) -> Answer:
        """The page that a form leads to; raises as `get`."""
        began = time.perf_counter()
        kind = {"Content-Type": "application/x-www-form-urlencoded"}
        return self._ended(began, "POST", path, urlencode(fields), kind)

    def close(self) -> None:
        """Hang up."""
        self._line.close()

    def _ended(
        self, began: float, method: str, path: str, body: str | None, more: Mapping[str, str]
    ) -> Answer:
        status, headers, text = self._ask(method, path, body, more)
        while status in (302, 303):
            path = headers["Location"]
            status, headers, text = self._ask("GET", path, None, {})
        if status != 200:
            raise SystemExit(f"{method} {path} was answered with {status}:\n{text[:1000]}")
        return Answer(time.perf_counter() - began, status, path, text)

    def _ask(
        self, method: str, path: str, body: str | None, more: Mapping[str, str]
    ) -> tuple[int, Mapping[str, str], str]:
        cookies = "; ".join(f"{name}={value}" for name, value in self._cookies.items())
        self._line.request(method, path, body, {**more, "Cookie": cookies, "Host": self._host})
        answer = self._line.getresponse()
        text = answer.read().decode()
        for line in answer.headers.get_all("Set-Cookie", []):
            self._cookies |= {name: each.value for name, each in SimpleCookie(line).items()}
        return answer.status, dict(answer.headers.items()), text

"""A workshop with a bad connection: it answers as the site does, and can be switched off and on.

It keeps the site's contract with its scripts: the header `X-Workshop`, entries that are taken once
by their token, 303 after a change, 400 with problems and what was typed, a strict content policy.
"""

from __future__ import annotations

import html
import itertools
import socket
import threading
import time
from email import message_from_bytes
from email.message import Message
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import parse_qsl

import attrs
import django_htmx

import loomwright.workshop

SCRIPTS = Path(loomwright.workshop.__file__).parent / "static" / "workshop" / "js"
HTMX = Path(django_htmx.__file__).parent / "static" / "django_htmx" / "htmx-2.min.js"
POLICY = "default-src 'self'; img-src 'self' data: blob:; style-src 'self'; form-action 'self'"
PROBLEM = "is no number, such as 4.7k"

PAGE = """<!doctype html><html lang="en"><head><title>{title}</title>
<link rel="icon" href="data:,">
<meta name="htmx-config" content='{{"includeIndicatorStyles": false, "allowEval": false}}'>
<script src="/js/htmx.js" defer></script>
<script type="module" src="/js/keep.js"></script><script type="module" src="/js/pad.js"></script>
<script type="module" src="/js/timer.js"></script><script type="module" src="/js/photo.js"></script>
</head><body><p id="link" role="status">In touch.</p><main>{main}</main></body>
</html>"""

FORM = """<form method="post" {where} data-keep data-label="reading {value}">
<input type="hidden" name="csrfmiddlewaretoken" value="made with the page">
<input type="hidden" name="entry" value="{entry}" autocomplete="off">
{problem}<label>Value <input name="value" id="value" value="{value}"></label>
<label>Note <textarea name="note">{note}</textarea></label>
<label>At <select name="at"><option>bench<option>car</select></label>
<label>Cold <input type="checkbox" name="cold"></label>
<label>Key <input type="password" name="key"></label>
<label>Photo <input type="file" name="photo" accept="image/*"></label>
<button name="state" value="done">Done</button><button name="state" value="failed">Failed</button>
</form>"""

LATE = '<p id="part" hx-get="/part" hx-swap="outerHTML">Not here yet</p>'

PAD = '<div data-pad data-pad-for="value">{}</div>'.format(
    "".join(
        f'<button type="button" data-key="{key}">{key}</button>'
        for key in ("1", "4", "7", ".", "k", "M", "OL", "minus", "back")
    )
)


@attrs.define
class Taken:
    """What one request brought."""

    path: str
    fields: dict[str, str]
    files: dict[str, bytes]
    headers: Message


@attrs.define
class FlakyWorkshop:
    """The switch, and what was sent and taken.

    `before` stands in the form's value, `takes_s` is how long a change takes, in seconds.
    `mode` is `on`, `off` (nobody answers), `deaf` (takes, but the answer is lost), `captive`
    (another server answers) or a status with which every change is answered.
    """

    mode: str | int = "on"
    before: str = ""
    takes_s: float = 0.0
    sent: list[Taken] = attrs.Factory(list)
    taken: dict[str, Taken] = attrs.Factory(dict)
    redirected_with: list[str | None] = attrs.Factory(list)
    tokens: itertools.count[int] = attrs.Factory(itertools.count)

    def values(self) -> list[str]:
        """The values taken, in order."""
        return [each.fields["value"] for each in self.taken.values()]

    def form(self, path: str, *, value: str = "", note: str = "", problem: str = "") -> str:
        """The form as this path shows it."""
        return FORM.format(
            where="" if path == "/form" else 'action="/form"',
            entry=f"token-{next(self.tokens):04}",
            value=html.escape(value or self.before),
            note=html.escape(note),
            problem=f'<p role="alert">{html.escape(problem)}</p>' if problem else "",
        )


class Answer(BaseHTTPRequestHandler):
    """One request."""

    workshop: FlakyWorkshop

    def do_GET(self) -> None:
        """A page, or a script."""
        if self._away():
            return
        name = self.path.partition("?")[0]
        if name.startswith("/js/"):
            file = HTMX if name == "/js/htmx.js" else SCRIPTS / name.removeprefix("/js/")
            self._answer(200, file.read_text(), kind="text/javascript")
        elif name == "/part":
            self._answer(200, '<p id="part">Here it is</p>')
        elif name == "/late":
            self._page("Late", LATE)
        elif name == "/done":
            self.workshop.redirected_with.append(self.headers["X-Entry"])
            self._page("Done", "<h1>Taken</h1>")
        else:
            since = '<output data-since="2026-05-14T10:20:00Z"></output>'
            self._page("Form", self.workshop.form(name) + PAD + since)

    def do_POST(self) -> None:
        """An entry: taken once, or answered with what is wrong with it."""
        taken = self._read()
        self.workshop.sent.append(taken)
        time.sleep(self.workshop.takes_s)
        if self._away():
            return
        if isinstance(self.workshop.mode, int):
            # A key that is out of date: the site offers the form once more.
            again = self.workshop.form("/form") if self.workshop.mode == 403 else ""
            self._page("Trouble", "<h1>Trouble</h1>" + again, status=self.workshop.mode)
        elif not taken.fields["value"].strip("0123456789.kM"):
            self.workshop.taken.setdefault(taken.fields["entry"], taken)
            self._took(taken)
        else:
            value, note = taken.fields["value"], taken.fields["note"]
            form = self.workshop.form("/form", value=value, note=note, problem=f"{value} {PROBLEM}")
            self._page("Problems", form, status=400)

    def _took(self, taken: Taken) -> None:
        if self.workshop.mode == "deaf":
            self._cut()
        else:
            self.send_response(303)
            self.send_header("Location", "/done")
            self.send_header("X-Workshop", "1")
            self.end_headers()

    def _read(self) -> Taken:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        kind = self.headers["Content-Type"]
        if not kind.startswith("multipart/"):
            return Taken(self.path, dict(parse_qsl(body.decode())), {}, self.headers)
        parts = message_from_bytes(f"Content-Type: {kind}\r\n\r\n".encode() + body)
        fields, files = {}, {}
        for part in parts.walk():
            name = part.get_param("name", header="Content-Disposition")
            content = part.get_payload(decode=True)
            if not isinstance(name, str) or not isinstance(content, bytes):
                continue
            if part.get_filename():
                files[str(part.get_filename())] = content
            else:
                fields[name] = content.decode()
        return Taken(self.path, fields, files, self.headers)

    def _away(self) -> bool:
        if self.workshop.mode == "off":
            self._cut()
        elif self.workshop.mode == "captive":
            self._answer(200, "<h1>Buy access to the network</h1>", ours=False)
        return self.workshop.mode in ("off", "captive")

    def _cut(self) -> None:
        self.close_connection = True
        self.connection.shutdown(socket.SHUT_RDWR)

    def _page(self, title: str, main: str, *, status: int = 200) -> None:
        self._answer(status, PAGE.format(title=title, main=main))

    def _answer(
        self, status: int, text: str, *, kind: str = "text/html; charset=utf-8", ours: bool = True
    ) -> None:
        content = text.encode()
        self.send_response(status, HTTPStatus(status).phrase)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Content-Security-Policy", POLICY)
        self.send_header("Cache-Control", "no-store")
        self.send_header("Set-Cookie", "csrftoken=as-it-is-now; SameSite=Lax; Path=/")
        if ours:
            self.send_header("X-Workshop", "1")
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, format: str, *args: object) -> None:
        """Says nothing."""


class Serving:
    """A workshop at a port of this machine, for as long as the block lasts."""

    def __init__(self) -> None:
        self.workshop = FlakyWorkshop()
        answer = type("Answer", (Answer,), {"workshop": self.workshop})
        self._server = ThreadingHTTPServer(("127.0.0.1", 0), answer)
        self._server.daemon_threads = True
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.05,))
        # A name, since the browser trusts 127.0.0.1 more than a workshop's address.
        self.address = f"http://workshop.test:{self._server.server_port}"

    def __enter__(self) -> Serving:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()

"""Who may come in: this machine at once, another device after opening the link in the QR code."""

from __future__ import annotations

import hashlib
import ipaddress
import socket
from collections.abc import Callable

from django.conf import settings
from django.core.exceptions import DisallowedHost
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from loomwright.workshop.data_folder import secret

Answer = Callable[[HttpRequest], HttpResponse]

OPENED = "opened with"
"""Session field: by which key this device came in."""
OPEN_TO_ALL = ("/join/", "/static/", "/alive/")
POLICY = (
    "default-src 'self'; img-src 'self' data: blob:; style-src 'self'; object-src 'none'; "
    "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
SEALS = {
    "Content-Security-Policy": POLICY,
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "X-Workshop": "1",
}
"""Headers of every answer, styles and scripts included; a page may set its own instead."""


def sealed(get_answer: Answer) -> Answer:
    """Middleware: every answer carries the policy for scripts, and says that it comes from here."""

    def answer(request: HttpRequest) -> HttpResponse:
        if not _called_by_its_name(request):
            # A name that leads here by a foreign name server could read the site from outside.
            response: HttpResponse = HttpResponse(
                "Open the workshop by its address, as the QR code gives it.",
                status=421,
                content_type="text/plain",
            )
        else:
            response = get_answer(request)
        for name, value in SEALS.items():
            response.headers.setdefault(name, value)
        return response

    return answer


def gate(get_answer: Answer) -> Answer:
    """Middleware: devices on the network need the key that the QR code holds."""

    def answer(request: HttpRequest) -> HttpResponse:
        if request.path.startswith(OPEN_TO_ALL) or at_home(request) or _opened(request):
            return get_answer(request)
        return render(request, "workshop/closed.html", status=403)

    return answer


def at_home(request: HttpRequest) -> bool:
    """Whether the request comes from the machine that the site runs on."""
    try:
        return ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False


def key() -> str:
    """The key in the QR code."""
    return secret("key")


def key_mark() -> str:
    """What a session keeps of the key: enough to tell whether it is still the same."""
    return hashlib.sha256(key().encode()).hexdigest()


def _opened(request: HttpRequest) -> bool:
    return bool(request.session.get(OPENED) == key_mark())


def _called_by_its_name(request: HttpRequest) -> bool:
    try:
        return _of_this_machine(request.get_host())
    except DisallowedHost:
        return False


def _of_this_machine(host: str) -> bool:
    name = host.rpartition(":")[0] if host.rpartition(":")[2].isdigit() else host
    name = name.strip("[]").casefold()
    try:
        ipaddress.ip_address(name)
    except ValueError:
        own = socket.gethostname().casefold()
        ours = {"localhost", own, own.partition(".")[0], f"{own}.local", *settings.ALLOWED_HOSTS}
        return name in ours
    return True

"""Starts the site: database brought up to date, then waitress on one process with some threads."""

from __future__ import annotations

import ipaddress
import os
from collections.abc import Callable

import django
import waitress
from django.core.handlers.wsgi import WSGIHandler
from django.core.management import call_command

from loomwright.loom import InputProblems, Problem, StorageFailed, Where
from loomwright.workshop.data_folder import FOLDER_SETTING, data_folder, secret
from loomwright.workshop.gate import key
from loomwright.workshop.network import own_addresses, site_address
from loomwright.workshop.translating import translated

THREADS = 6
"""Requests answered at the same time; results of one job are worked out one at a time."""
MAX_BODY_BYTES = 60_000_000
"""The most that is taken in at once: the largest photo, with some room."""
_MOST_READ_BYTES = 300_000_000
"""The most that is read to the end, to be refused in words; beyond it the connection is cut."""


def made_ready(data: str = "") -> None:
    """Set Django up and bring the database up to date.

    Parameters
    ----------
    data : folder of the workshop; blank for the usual one

    Raises
    ------
    StorageFailed
        when the database cannot be reached.
    """
    if data:
        os.environ[FOLDER_SETTING] = data
    data_folder()
    os.environ["LOOMWRIGHT_SECRET"] = secret("sessions")
    os.environ["DJANGO_SETTINGS_MODULE"] = "loomwright.workshop.settings"
    django.setup()
    with translated():
        call_command("migrate", verbosity=0, interactive=False)


def serve(host: str, port: int, *, opened: Callable[[str, tuple[str, ...]], None]) -> None:
    """Serve the site until it is stopped; `made_ready` comes first.

    Parameters
    ----------
    host, port : where to listen
    opened : told, once it listens, the address on this machine and those for other devices, each
        with the key that lets them in

    Raises
    ------
    InputProblems
        when the host is no address of this machine.
    StorageFailed
        when the port is taken.
    """
    try:
        server = waitress.create_server(
            WSGIHandler(),
            host=host,
            port=port,
            threads=THREADS,
            max_request_body_size=_MOST_READ_BYTES,
            clear_untrusted_proxy_headers=True,
            ident="",
        )
    except (OSError, ValueError) as failure:
        raise _not_there(host, port, failure) from failure
    opened(*opening(host, int(getattr(server, "effective_port", port))))
    try:
        server.run()
    finally:
        server.close()


def opening(host: str, port: int) -> tuple[str, tuple[str, ...]]:
    """The address on this machine, and those for other devices with the key that lets them in."""
    try:
        address = ipaddress.ip_address("127.0.0.1" if host == "localhost" else host)
    except ValueError:
        return site_address(host, port), (f"{site_address(host, port)}/join/{key()}/",)
    if address.is_loopback:
        return site_address(host, port), ()
    hosts = own_addresses() if address.is_unspecified else (host,)
    return (
        site_address("127.0.0.1" if address.is_unspecified else host, port),
        tuple(f"{site_address(each, port)}/join/{key()}/" for each in hosts),
    )


def _not_there(host: str, port: int, failure: Exception) -> Exception:
    if isinstance(failure, OSError) and failure.errno in _TAKEN:
        return StorageFailed(
            f"port {port} cannot be used here",
            where=host,
            expected="stop what uses it, or choose another with --port, such as 8801",
        )
    what = f'"{host}" is no address of this machine'
    cure = "give 127.0.0.1 for this machine alone, or 0.0.0.0 for the workshop's network"
    return InputProblems([Problem(Where("--host"), what, cure)])


_TAKEN = (98, 48, 10048, 13, 10013)
"""Errors of a port that is taken or not allowed: Linux, macOS and Windows."""

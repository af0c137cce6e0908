"""How other devices come in: the addresses under which this machine answers, as QR codes."""

from __future__ import annotations

import socket

import attrs

from loomwright.drawings.qr_code import qr
from loomwright.workshop.gate import key
from loomwright.workshop.network import own_addresses, site_address

_PATIENCE_S = 0.3


@attrs.frozen
class WayIn:
    """An address that lets a device in, as text and as a QR code."""

    url: str
    svg: str


def ways_in(port: int) -> tuple[WayIn, ...]:
    """Every address on this machine's networks where the site answers; none where it listens to
    this machine alone.

    Parameters
    ----------
    port : where the site listens
    """
    urls = (f"{site_address(host, port)}/join/{key()}/" for host in own_addresses()
            if answers(host, port))  # fmt: skip
    return tuple(WayIn(url, qr(url)) for url in urls)


def answers(host: str, port: int) -> bool:
    """Whether anything listens there."""
    try:
        with socket.create_connection((host, port), _PATIENCE_S):
            return True
    except OSError:
        return False

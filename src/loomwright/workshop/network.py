"""Addresses under which other devices reach this machine."""

from __future__ import annotations

import ipaddress
import socket

# TEST-NET-1 of RFC 5737 and the documentation prefix of RFC 3849: nothing is sent there; asking
# for the way to it tells which of this machine's addresses would be used.
_FAR = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))


def own_addresses() -> tuple[str, ...]:
    """Addresses of this machine on its networks, the most likely first."""
    found: dict[str, None] = {}
    for family, far in _FAR:
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((far, 9))
                found[probe.getsockname()[0]] = None
        except OSError:
            continue
    try:
        for *_, address in socket.getaddrinfo(socket.gethostname(), None):
            found[str(address[0])] = None
    except OSError:
        pass
    return tuple(each for each in found if _reachable(each))


def site_address(host: str, port: int) -> str:
    """`http://host:port`, an IPv6 address in brackets."""
    return f"http://{f'[{host}]' if ':' in host else host}:{port}"


def _reachable(address: str) -> bool:
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return False
    return not (known.is_loopback or known.is_link_local or known.is_unspecified)

"""Where the workshop's site is found, with a code for the tablet to scan."""

from __future__ import annotations

import sys

from loomwright.cli.screen import console
from loomwright.drawings.qr_code import qr_text


def show_serve(here: str, elsewhere: tuple[str, ...]) -> None:
    """Print the addresses; the first of those for other devices as a QR code too."""
    screen = console()
    screen.print(f"The workshop is open at {here}", style="head")
    if elsewhere:
        screen.print("A tablet or phone on the same network opens it by this code:")
        if sys.stdout.isatty():
            sys.stdout.write(qr_text(elsewhere[0]))
        for address in elsewhere:
            screen.print(f"  {address}", soft_wrap=True)
        screen.print(
            "The link lets a device in; the network can be listened to, so use one that you trust."
        )
    else:
        screen.print("Only this machine can open it; for a tablet: loomwright serve --host 0.0.0.0")
    screen.print("Ctrl-C closes it.")
    sys.stdout.flush()

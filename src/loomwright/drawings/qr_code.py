"""QR codes (ISO/IEC 18004) as drawings and as text for a terminal."""

from __future__ import annotations

import io
from functools import lru_cache

import segno


@lru_cache(maxsize=4096)  # both ends of a wire carry the same
def qr(text: str) -> str:
    """A QR code of that text as SVG, black on nothing, with its quiet zone."""
    out = io.BytesIO()
    _made(text).save(
        out,
        kind="svg",
        border=4,
        xmldecl=False,
        svgns=True,
        svgclass=None,
        lineclass=None,
        omitsize=True,
    )
    return out.getvalue().decode()


def qr_text(text: str) -> str:
    """A QR code of that text as half blocks, dark on light where the terminal's ground is dark."""
    out = io.StringIO()
    _made(text).terminal(out, border=2, compact=True)
    return out.getvalue()


def _made(text: str) -> segno.QRCode:
    return segno.make_qr(text, error="m", encoding=None if text.isascii() else "utf-8")

"""A look through a drawing in SVG before it is taken in: it is text, and text can hold a program.

Source: SVG 2 (W3C), chapters 5 (document structure) and 15 (scripting).
"""

from __future__ import annotations

from xml.parsers import expat

_NAMESPACE = "http://www.w3.org/2000/svg"
_BEFORE_XML = b"\xef\xbb\xbf \t\r\n"
_ACTIVE = frozenset(("script", "foreignobject", "handler", "iframe", "embed", "object"))
_BETWEEN = " "


class ActiveDrawing(ValueError):
    """The drawing holds a program, or text that unfolds to more."""


def is_svg(content: bytes) -> bool:
    """Whether the content is XML whose outermost element is SVG's.

    Raises
    ------
    ActiveDrawing
        when it is, but may do more than be looked at.
    """
    if not content.lstrip(_BEFORE_XML).startswith(b"<"):
        return False
    scan = _Scan()
    parser = expat.ParserCreate(namespace_separator=_BETWEEN)
    parser.StartElementHandler = scan.enter
    parser.EntityDeclHandler = scan.refuse
    parser.ProcessingInstructionHandler = scan.refuse  # it can name a program that rewrites all
    try:
        parser.Parse(content, True)
    except (expat.ExpatError, ValueError, LookupError) as failure:
        if isinstance(failure, ActiveDrawing):
            raise
        return False
    return True


class _Scan:
    def __init__(self) -> None:
        self._entered = False

    def enter(self, tag: str, attributes: dict[str, str]) -> None:
        if not self._entered and tag != f"{_NAMESPACE}{_BETWEEN}svg":
            raise ValueError(f"{tag} is not the start of a drawing")
        self._entered = True
        local = tag.rpartition(_BETWEEN)[2].lower()
        if local in _ACTIVE or any(_acts(name, text) for name, text in attributes.items()):
            raise ActiveDrawing

    def refuse(self, *_: object) -> None:
        raise ActiveDrawing


def _acts(name: str, text: str) -> bool:
    squeezed = "".join(text.split()).lower()
    return name.lower().startswith("on") or "javascript:" in squeezed or "data:text/" in squeezed

"""The colour of a wire in words."""

from __future__ import annotations

from loomwright import standards
from loomwright.loom import NotFound
from loomwright.services.words import listed


def colour_words(letters: str) -> str:
    """A wire's colour as it is said; letters that are no colour's stay as they are.

    Parameters
    ----------
    letters : as written on the sheet, tracers after a stroke; may be empty

    Examples
    --------
    >>> colour_words("BN/WH"), colour_words("gn/rd/ye"), colour_words("RD"), colour_words("")
    ('brown with a white tracer', 'green with red and yellow tracers', 'red', 'colour not said')
    """
    if not letters.strip():
        return "colour not said"
    try:
        base, *tracers = (each.name for each in standards.wire_colour(letters))
    except NotFound:
        return letters.strip()
    if not tracers:
        return base
    if len(tracers) > 1:
        return f"{base} with {listed(tracers)} tracers"
    article = "an" if tracers[0][0] in "aeiou" else "a"
    return f"{base} with {article} {tracers[0]} tracer"

"""What insulation and boots are made of: class temperature, life at it, and what the name tells.

A wire's insulation is told in the trade's words: `PVC`, `PVC 105`, `XLPE`, `silicone`, or a class
letter A to H of ISO 6722-1. `insulation` reads them and says what it does not know.
"""

from __future__ import annotations

import re
from functools import cache

import attrs

from loomwright.standards.codes import temperature_classes
from loomwright.standards.csv_table import rows
from loomwright.standards.provenance import Sourced, sourced

ANY = "class"
"""The row that speaks for a class temperature whatever the material."""
_LIKELY_C = (50.0, 300.0)  # a number outside is not a temperature class
_NUMBER = re.compile(r"(?<![\d.,-])(\d{2,3})(?![\d.,]|\s*(?:mm|v\b|volt))")
_LETTER = re.compile(r"(?:class)?\s*([a-h])\Z")


@attrs.frozen(kw_only=True)
class Insulation(Sourced):
    """A material and how it ages.

    Attributes
    ----------
    name : the material, or `class` where only a temperature is known
    words : how it is called
    class_c : temperature it is made for [°C]; None where the text has to tell it
    hours : life at that temperature [h]
    halving_low_k, halving_k, halving_high_k : rise that halves the life: least, usual, most [K]
    boots : whether boots are made of it
    short_c : what it bears for the few seconds of a short circuit [°C]; None where not known
    thermal_resistivity : [K·m/W]; None where not known
    ages : years to stiffness by age alone, least and most [a]; None where not known
    ages_hot : the same on the engine [a]
    boot_ages : years until a cheap boot of it cracks [a]
    """

    name: str
    words: tuple[str, ...]
    class_c: float | None
    hours: float
    halving_low_k: float
    halving_k: float
    halving_high_k: float
    boots: bool
    short_c: float | None
    thermal_resistivity: float | None
    ages: tuple[float, float] | None
    ages_hot: tuple[float, float] | None
    boot_ages: tuple[float, float] | None


@attrs.frozen(kw_only=True)
class Told:
    """What a text says of an insulation.

    Attributes
    ----------
    text : as written; blank where nothing was
    material : the row of its material or of a class alone; None where nothing was understood
    class_c : class temperature [°C]; None where it is not known
    unknown : what it does not tell, and what to write; blank where nothing is missing
    """

    text: str
    material: Insulation | None
    class_c: float | None
    unknown: str

    @property
    def name(self) -> str:
        """The material with its class temperature, as a person says it."""
        if self.material is None or self.class_c is None:
            return self.text or "not told"
        kind = "insulation" if self.material.name == ANY else self.material.name
        return f"{kind} of {self.class_c:g} °C"


@cache
def insulations() -> tuple[Insulation, ...]:
    """All materials, in file order."""
    return tuple(
        Insulation(
            name=row.text("name"),
            words=row.words("words"),
            class_c=row.number_or_none("class_c"),
            hours=row.number("hours"),
            halving_low_k=row.number("halving_low_k"),
            halving_k=row.number("halving_k"),
            halving_high_k=row.number("halving_high_k"),
            boots=row.text("boots") == "yes",
            short_c=row.number_or_none("short_c"),
            thermal_resistivity=row.number_or_none("thermal_resistivity_k_m_per_w"),
            ages=_span(row.number_or_none("ages_low_a"), row.number_or_none("ages_high_a")),
            ages_hot=_span(
                row.number_or_none("ages_hot_low_a"), row.number_or_none("ages_hot_high_a")
            ),
            boot_ages=_span(row.number_or_none("boot_low_a"), row.number_or_none("boot_high_a")),
            **sourced(row),
        )
        for row in rows("insulations")
    )


def insulation(text: str | None) -> Told:
    """What a wire's insulation is, by its own words.

    Parameters
    ----------
    text : `PVC 105`, `XLPE`, `C`, `class D`, `rubber`; None or blank is not known

    Returns
    -------
    the material and its class temperature; a temperature in the text comes before the material's
    own. What is not understood is said in `unknown`, never guessed.
    """
    said = (text or "").strip()
    folded = said.casefold()
    if not folded:
        return Told(text="", material=None, class_c=None, unknown=f"not told; {_how_to()}")
    letter = _LETTER.match(folded)
    if letter:
        row = temperature_classes()[letter[1].upper()]
        return Told(text=said, material=_any(), class_c=row.highest_c, unknown="")
    number = next((float(n) for n in _NUMBER.findall(folded) if _possible(float(n))), None)
    material = _material(folded)
    if material is None and number is None:
        unknown = f'"{said}" is not known; {_how_to()}'
        return Told(text=said, material=None, class_c=None, unknown=unknown)
    found = material or _any()
    return Told(
        text=said, material=found, class_c=found.class_c if number is None else number, unknown=""
    )


def _material(folded: str) -> Insulation | None:
    """The material named in a text, its longest word first: `silicone rubber` is silicone."""
    found = [
        (len(word), row)
        for row in insulations()
        for word in row.words
        if re.search(rf"(?<![a-z]){re.escape(word)}(?![a-z])", folded)
    ]
    return max(found, key=lambda pair: pair[0])[1] if found else None


def _any() -> Insulation:
    return next(row for row in insulations() if row.name == ANY)


def _possible(celsius: float) -> bool:
    return _LIKELY_C[0] <= celsius <= _LIKELY_C[1]


def _how_to() -> str:
    names = ", ".join(row.name for row in insulations() if row.name != ANY)
    return f"write a material ({names}), with its temperature, such as PVC 105, or a class A to H"


def _span(low: float | None, high: float | None) -> tuple[float, float] | None:
    return None if low is None or high is None else (low, high)

"""What goes round a bundle: tape, tubes, sleeves and heat-shrink, and the bores it passes through.

Every answer is a `Check` as in `repair.fit`: it fits, does not, or is not known, and why.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import attrs

from loomwright import standards
from loomwright.loom import Fixing, Part
from loomwright.physics.wrapping import tape_length
from loomwright.repair.fit import FITS, MISFIT, UNKNOWN, Check, bore_fit
from loomwright.repair.needs import Boring, Span
from loomwright.repair.tubes import TubeChoice, tube_for
from loomwright.standards import Sleeve

_EXACT = 1e-9
_BORED = ("boot", "sleeve")
"""Kinds of the catalogue whose bore a bundle goes through."""


@attrs.frozen(kw_only=True)
class SleeveChoice:
    """The size of one kind of sleeve.

    Attributes
    ----------
    kind : `vinyl tube` and so on
    sleeve : the size to take, None where none can be told
    missing : why none can be told, in words
    """

    kind: str
    sleeve: Sleeve | None
    missing: str = ""


@attrs.frozen(kw_only=True)
class Coverings:
    """What covers a bundle.

    Attributes
    ----------
    taped_mm : over tape wound half over itself
    tape_m_per_m : tape for a metre of bundle, at its thickest [m/m]
    sleeves : each kind with its size
    tube : heat-shrink
    """

    taped_mm: Span
    tape_m_per_m: float
    sleeves: tuple[SleeveChoice, ...]
    tube: TubeChoice


def coverings(across_mm: Span, *, value: Mapping[str, float]) -> Coverings:
    """Tape, sleeves and heat-shrink for a bundle.

    Parameters
    ----------
    across_mm : the bundle without cover, as it is met [mm]
    value : defaults by name: `tape_wall`, `tape_width`, `tape_overlap`, `sleeve_slip`,
        `sleeve_loose`, `tube_slip`, `tube_hold`
    """
    return Coverings(
        taped_mm=taped(across_mm, wall_mm=value["tape_wall"]),
        tape_m_per_m=tape_metres(across_mm.high, 1000.0, value=value),
        sleeves=tuple(
            sleeve_for(across_mm, kind, standards.sleeves(kind), value=value)
            for kind in standards.sleeve_kinds()
        ),
        tube=_tube(across_mm, value),
    )


def _tube(across_mm: Span, value: Mapping[str, float]) -> TubeChoice:
    found = tube_for(across_mm, standards.shrink_tubes(), value=value)
    return attrs.evolve(found, missing=found.missing.replace("the wire", "the bundle"))


def taped(across_mm: Span, *, wall_mm: float) -> Span:
    """A bundle with tape on it: a wall more on each side [mm]."""
    return attrs.evolve(
        across_mm, low=across_mm.low + 2 * wall_mm, high=across_mm.high + 2 * wall_mm
    )


def tape_metres(across_mm: float, length_mm: float, *, value: Mapping[str, float]) -> float:
    """Tape that a stretch of bundle takes [m].

    Parameters
    ----------
    across_mm, length_mm : of the bundle [mm]
    value : defaults by name: `tape_width`, `tape_wall` (of two layers) [mm], `tape_overlap`
    """
    return float(
        tape_length(
            across_mm / 1e3,
            length_mm / 1e3,
            tape_m=value["tape_width"] / 1e3,
            overlap=value["tape_overlap"],
            thickness_m=value["tape_wall"] / 2e3,
        )
    )


def sleeve_for(
    across_mm: Span, kind: str, sizes: Sequence[Sleeve], *, value: Mapping[str, float]
) -> SleeveChoice:
    """The smallest size that goes over a bundle: one that widens about it, or a tube not too loose.

    Parameters
    ----------
    across_mm : the bundle [mm]
    kind : of sleeve
    sizes : of that kind, the smallest first
    value : defaults by name: `sleeve_slip`, `sleeve_loose`

    Source: common practice, no published source. A bundle of 6.6 mm takes the tube of 8 mm:
    8 ≥ 1.1 · 6.6 = 7.3, and 8 ≤ 1.6 · 6.6.
    """
    both = _sleeve(across_mm, sizes, value)
    if both is not None:
        return SleeveChoice(kind=kind, sleeve=both)
    ends = [_sleeve(Span.of(end), sizes, value) for end in (across_mm.low, across_mm.high)]
    told = list(dict.fromkeys(f"{each.bore_mm:g}" for each in ends if each is not None))
    if len(told) == 2:
        missing = f"measure the bundle: bore {' or '.join(told)} mm"
    else:
        missing = f"no size listed fits {across_mm.words('mm')}"
    return SleeveChoice(kind=kind, sleeve=None, missing=missing)


def _sleeve(across_mm: Span, sizes: Sequence[Sleeve], value: Mapping[str, float]) -> Sleeve | None:
    for each in sizes:
        if each.bore_max_mm is None:
            least = each.bore_mm / value["sleeve_loose"]
            most = each.bore_mm / value["sleeve_slip"]
        else:
            least, most = each.bore_mm, each.bore_max_mm
        if least - _EXACT <= across_mm.low and across_mm.high <= most + _EXACT:
            return each
    return None


def fixing_fit(fixing: Fixing, outside_mm: Span | None, *, value: Mapping[str, float]) -> Check:
    """A clip's or grommet's bore against the bundle with its cover.

    Parameters
    ----------
    fixing : the clip or grommet
    outside_mm : the bundle with its cover [mm], None where not known
    value : defaults by name: `grommet_loose`, `grommet_stretch`, `clip_loose`, `clip_squeeze`
    """
    what, bore = fixing.kind, fixing.bore_mm
    if bore is None:
        reason = f"the bore of {what} {fixing.fixing} is not known: measure it"
        return Check(what=what, outcome=UNKNOWN, reason=reason)
    if outside_mm is None:
        reason = "how thick the bundle is, is not known: measure it"
        return Check(what=what, outcome=UNKNOWN, reason=reason)
    tightest = value["grommet_stretch" if what == "grommet" else "clip_squeeze"] * bore
    loosest = value["grommet_loose" if what == "grommet" else "clip_loose"] * bore
    said = f"the bundle is {outside_mm.words('mm')} in a bore of {bore:g} mm"
    thick, thin = {
        "grommet": ("it does not go through", "it does not fill it: water gets in, build it up"),
        "clip": ("the clip squeezes it or stays open", "it moves and chafes: build it up"),
    }[what]
    if outside_mm.low > tightest + _EXACT:
        return Check(what=what, outcome=MISFIT, reason=f"{said}: {thick}")
    if outside_mm.high < loosest - _EXACT:
        return Check(what=what, outcome=MISFIT, reason=f"{said}: {thin}")
    if outside_mm.high > tightest + _EXACT or outside_mm.low < loosest - _EXACT:
        return Check(what=what, outcome=UNKNOWN, reason=f"{said}: measure it")
    return Check(what=what, outcome=FITS, reason=said)


def part_checks(
    parts: Sequence[Part], across_mm: Span, words: str, *, value: Mapping[str, float]
) -> dict[str, Check]:
    """Boots and sleeves of the catalogue, by name, against what must pass through them.

    Parameters
    ----------
    parts : of the catalogue, of any kind
    across_mm : what must pass, without tape [mm]
    words : what that is, `seven wires`
    value : defaults by name: `tape_wall` [mm]
    """
    boring = Boring(across_mm=across_mm, words=words)
    return {
        str(part.part): bore_fit(part, boring, tape_wall_mm=value["tape_wall"])
        for part in parts
        if part.kind in _BORED
    }

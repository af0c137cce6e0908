"""What is to be known of one cure before it is chosen: what it needs, takes, and leaves behind."""

from __future__ import annotations

import attrs

from loomwright.repair.candidates import Candidates
from loomwright.standards.cures import cure_kind


@attrs.frozen(kw_only=True)
class CureFacts:
    """One cure of the candidates.

    Attributes
    ----------
    cure : its name
    because : what it rests on: grade, lock, spare wire, branch rule
    items : what it puts right
    minutes : work beyond opening [min]
    parts : price of its parts as the candidates carry it; 0 where none is priced
    opens : places that must be reached
    uses_mm : wire that its first try uses up at each end [mm]
    comeback : chance that it fails within the horizon once it is done
    weak_points : what is likely to go wrong with it
    life_years : how long it is likely to last, the shortest of its parts [a]; None where nothing
        is known
    life_standing : standing of that figure, blank where there is none
    """

    cure: str
    because: tuple[str, ...]
    items: tuple[str, ...]
    minutes: float
    parts: float
    opens: tuple[str, ...]
    uses_mm: float
    comeback: float
    weak_points: tuple[str, ...]
    life_years: float | None
    life_standing: str


def cure_facts(could: Candidates) -> tuple[CureFacts, ...]:
    """The facts of every cure, in the order of the candidates."""
    found = []
    for cure in could.cures:
        kinds = [cure_kind(kind) for kind in could.kinds[cure.cure]]
        lives = [(kind.life_years, kind.life_standing) for kind in kinds]
        known = [(years, standing) for years, standing in lives if years is not None]
        # A part of unknown life may be the first to go.
        years, standing = min(known) if len(known) == len(lives) else (None, "")
        found.append(
            CureFacts(
                cure=cure.cure,
                because=could.because[cure.cure],
                items=cure.items,
                minutes=cure.minutes,
                parts=cure.parts,
                opens=cure.opens,
                uses_mm=max(kind.uses_mm for kind in kinds),
                comeback=cure.comeback,
                weak_points=tuple(kind.weak_point for kind in kinds),
                life_years=years,
                life_standing=standing,
            )
        )
    return tuple(found)

"""Which heat-shrink tube slips over a wire and still grips it when shrunk."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import attrs

from loomwright.repair.needs import Span
from loomwright.standards import ShrinkTube


@attrs.frozen(kw_only=True)
class TubeChoice:
    """The tube for one wire.

    Attributes
    ----------
    tube : the one to take, None where none can be told
    missing : why none can be told, in words
    """

    tube: ShrinkTube | None
    missing: str = ""


def tube_for(
    outside_mm: Span | None, tubes: Sequence[ShrinkTube], *, value: Mapping[str, float]
) -> TubeChoice:
    """The smallest tube that goes on and holds: `supplied ≥ slip · high`, `recovered < hold · low`.

    Parameters
    ----------
    outside_mm : the wire's outside diameter [mm], None where not known
    tubes : those there are, the smallest first
    value : defaults by name: `tube_slip`, `tube_hold`

    Source: `tube_hold` 0.8, common practice, no published source. A wire of 1.9 mm takes the tube
    of 2.4 mm: 2.4 ≥ 1.05 · 1.9 = 2.0, and 1.2 < 0.8 · 1.9 = 1.52.
    """
    if outside_mm is None:
        return TubeChoice(tube=None, missing="measure the wire: outside diameter not known")
    both = _fitting(outside_mm, tubes, value)
    if both is not None:
        return TubeChoice(tube=both)
    ends = (_fitting(Span.of(end), tubes, value) for end in (outside_mm.low, outside_mm.high))
    sizes = dict.fromkeys(f"{tube.supplied_mm:g}" for tube in ends if tube is not None)
    wire = outside_mm.words("mm")
    if len(sizes) == 2:
        return TubeChoice(tube=None, missing=f"measure the wire: {' or '.join(sizes)} mm tube")
    return TubeChoice(tube=None, missing=f"no tube listed fits {wire}")


def _fitting(
    outside_mm: Span, tubes: Sequence[ShrinkTube], value: Mapping[str, float]
) -> ShrinkTube | None:
    for tube in tubes:
        goes_on = tube.supplied_mm >= value["tube_slip"] * outside_mm.high
        if goes_on and tube.recovered_mm < value["tube_hold"] * outside_mm.low:
            return tube
    return None

"""How thick the bundle of a branch is: its wires packed as tightly as they go, and as usually met.

A measured wire has one outside diameter; any other has a span, by the catalogue or from the thin to
the thick wall of the standard, and so has its bundle.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import lru_cache

import attrs

from loomwright.build.tree import LoomTree
from loomwright.loom import InputProblems, Job, Wire
from loomwright.physics.packing import Packing, pack
from loomwright.repair.needs import Needs, Span, bundle_mm

SKETCH = 0.1
"""Effort of a packing among many: within one or two percent of the best, in a tenth of a second."""


@attrs.frozen(kw_only=True)
class Bundle:
    """The wires of a branch together.

    Attributes
    ----------
    branch : its name
    wires : names of its wires
    unknown : those whose outside diameter nothing tells; without them all else is None
    tight_mm : diameter, packed as tightly as was found
    met_mm : the same as a bundle is usually met, with wires that cross and do not lie in place
    packing : where each wire lies at the upper end of its span [mm]
    """

    branch: str
    wires: tuple[str, ...]
    unknown: tuple[str, ...] = ()
    tight_mm: Span | None = None
    met_mm: Span | None = None
    packing: Packing | None = None


def bundles(job: Job, value: Mapping[str, float]) -> dict[str, Bundle]:
    """The bundle of every branch that has wires, by its name.

    Parameters
    ----------
    job : the loom with its branches
    value : defaults by name: `bundle_least`, `bundle_most`
    """
    needs = Needs(job, value)
    return {name: bundle(name, wires, needs) for name, wires in wires_of_branches(job).items()}


def wires_of_branches(job: Job) -> dict[str, tuple[Wire, ...]]:
    """The wires in each branch: those that name it, and those whose ends it lies between.

    Where the branches make no tree of known lengths, only those that name it.
    """
    found: dict[str, list[Wire]] = defaultdict(list)
    for wire in job.wires:
        for own in wire.branches:
            found[str(own)].append(wire)
    if any(not wire.branches for wire in job.wires):
        try:
            through = LoomTree(job).wires_through
        except InputProblems:
            through = {}
        for name, wires in through.items():
            found[name] += [wire for wire in wires if not wire.branches]
    order = [str(branch.branch) for branch in job.branches]
    return {name: tuple(found[name]) for name in order if found[name]}


def bundle(branch: str, wires: Sequence[Wire], needs: Needs, *, effort: float = SKETCH) -> Bundle:
    """The bundle of some wires.

    Parameters
    ----------
    branch : its name
    wires : in it
    needs : for the outside diameters, and the default `bundle_most`
    effort : of the packing, 1 for the usual
    """
    spans = {str(wire.wire): needs.outside(wire) for wire in wires}
    known = [span for span in spans.values() if span is not None]
    unknown = tuple(name for name, span in spans.items() if span is None)
    if unknown or not known:
        return Bundle(branch=branch, wires=tuple(spans), unknown=unknown)
    low = packed(tuple(span.low for span in known), effort=effort)
    high = packed(tuple(span.high for span in known), effort=effort)
    most = needs.value["bundle_most"]
    origin = ", ".join(dict.fromkeys(span.origin for span in known if span.origin))
    return Bundle(
        branch=branch,
        wires=tuple(spans),
        tight_mm=Span(low=low.diameter, high=max(low.diameter, high.diameter), origin=origin),
        met_mm=Span(
            low=met_mm(low, most=most),
            high=max(met_mm(low, most=most), met_mm(high, most=most)),
            origin=origin,
        ),
        packing=high,
    )


def met_mm(packing: Packing, *, most: float) -> float:
    """Diameter of a bundle as it is usually met [mm]; never below the packed one.

    Parameters
    ----------
    packing : its wires [mm]
    most : default `bundle_most`: times the root of the sum of squared diameters

    Source: common practice, no published source. Seven wires of 2 mm: 1.25 · √28 = 6.6 mm against
    6.0 packed.
    """
    return max(packing.diameter, bundle_mm(packing.diameters, factor=most))


@lru_cache(maxsize=256)
def packed(outside_mm: tuple[float, ...], *, effort: float) -> Packing:
    """Wires packed, kept, for branches often hold the same ones.

    Raises
    ------
    OutOfRange : as for `pack`
    """
    return pack(outside_mm, effort=effort)

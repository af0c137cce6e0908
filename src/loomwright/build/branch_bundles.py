"""The bundle of every branch of a new loom, splices at their spots, and what goes round it.

Widths are those of a bundle as it is usually met, without packing circle by circle: that is for one
bundle at a time (`bundle`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import attrs

from loomwright.build.covering_sizes import Coverings, coverings, fixing_fit
from loomwright.build.lengths import WireLength
from loomwright.build.tree import LoomTree
from loomwright.loom import Branch, Wire
from loomwright.repair.fit import Check
from loomwright.repair.needs import Needs, Span, bundle_mm


@attrs.frozen(kw_only=True)
class BranchBundle:
    """A branch with all wires that run through any of it.

    Attributes
    ----------
    branch : its name
    cover : what covers it now, as written in the job; may be empty
    length_mm : of the branch
    wires : through it
    unknown : those whose outside diameter nothing tells; without them all else is not known
    across_mm : width without cover, all wires side by side; None where not known
    covers : tape, sleeves and heat-shrink for it
    fixings : clips and grommets on it against the taped bundle, by name
    """

    branch: str
    cover: str
    length_mm: float
    wires: tuple[str, ...]
    unknown: tuple[str, ...] = ()
    across_mm: Span | None = None
    covers: Coverings | None = None
    fixings: tuple[tuple[str, Check], ...] = ()


def branch_bundles(
    tree: LoomTree, wires: Sequence[WireLength], *, value: Mapping[str, float]
) -> tuple[BranchBundle, ...]:
    """The bundles of a loom.

    Parameters
    ----------
    tree : its branches
    wires : with their ways, as `lengths.wire_lengths` gives them
    value : defaults by name: `bundle_most`, and those of `coverings` and `fixing_fit`

    Returns
    -------
    a bundle for each branch, in the order of the sheet
    """
    needs = Needs(tree.job, value)
    rows = {str(wire.wire): wire for wire in tree.job.wires}
    inside: dict[str, list[Wire]] = {name: [] for name in tree.branches}
    for each in wires:
        for name in dict.fromkeys(str(stretch.branch.branch) for stretch in each.way):
            inside[name].append(rows[each.wire])
    return tuple(
        _bundle(branch, inside[name], tree, needs) for name, branch in tree.branches.items()
    )


def _bundle(branch: Branch, wires: Sequence[Wire], tree: LoomTree, needs: Needs) -> BranchBundle:
    spans = {str(wire.wire): needs.outside(wire) for wire in wires}
    known = [span for span in spans.values() if span is not None]
    made = BranchBundle(
        branch=str(branch.branch),
        cover=branch.cover or "",
        length_mm=branch.length_mm or 0.0,
        wires=tuple(spans),
        unknown=tuple(name for name, span in spans.items() if span is None),
    )
    across = None
    if known and not made.unknown:
        most = needs.value["bundle_most"]
        across = Span(
            low=bundle_mm((span.low for span in known), factor=most),
            high=bundle_mm((span.high for span in known), factor=most),
            origin=", ".join(dict.fromkeys(span.origin for span in known if span.origin)),
        )
    covers = coverings(across, value=needs.value) if across is not None else None
    checks = tuple(_fixings(branch, tree, covers, needs.value)) if wires else ()
    return attrs.evolve(made, across_mm=across, covers=covers, fixings=checks)


def _fixings(
    branch: Branch, tree: LoomTree, covers: Coverings | None, value: Mapping[str, float]
) -> Iterator[tuple[str, Check]]:
    taped = None if covers is None else covers.taped_mm
    for fixing in tree.job.fixings:
        if fixing.branch == branch.branch:
            yield str(fixing.fixing), fixing_fit(fixing, taped, value=value)

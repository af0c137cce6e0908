"""A new loom in words: where a splice goes and why not elsewhere, why a wire is that long."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from loomwright.services.build import (
    BranchBundle,
    BuildReport,
    LayStep,
    Refusal,
    Splice,
    Spot,
    WireLength,
)
from loomwright.services.counting import counted
from loomwright.services.words import listed, sentence

__all__ = [
    "CAUTIONS",
    "NOT_RECKONED",
    "RULES",
    "across",
    "as_built",
    "cover",
    "gap",
    "glance",
    "placed",
    "refused_by_branch",
    "spot_words",
    "steps_told",
    "support",
    "to_mind",
    "unfit_fixings",
    "unlike_words",
    "why_long",
    "why_not_free",
]

RULES: dict[str, str] = {
    "plug": "keep away from plugs",
    "fork": "keep away from forks and from where wires leave",
    "neighbour": "keep splices apart",
    "heat": "keep out of hot zones",
    "movement": "no splice where the loom bends with the engine",
    "fixing": "keep away from clips and grommets",
}
"""What each rule for splices asks."""

CAUTIONS = (
    "Battery minus off before the old loom comes out, and before the new one goes in.",
    "Crimp tool: fingers out of the jaws; eye protection when ends are cut.",
    "Hot-air gun: never near fuel, its hoses or a wet rag of it; the sleeve stays hot.",
    "The control unit's plug goes on last, key off, when every wire is measured.",
)
"""What can hurt a person or a part while a loom is made; common practice, no published source."""

NOT_RECKONED = (
    "Bends are not in the lengths: a wire on the outside of a bend needs more than one inside.",
    "Every wire is reckoned as if it lay outermost in its bundle all along.",
    "Whether a splice's spot is straight is not in the tables: look at the branch.",
)
"""What the figures leave out."""


def glance(report: BuildReport) -> str:
    """What the new loom is: wires, metres, splices, the heaviest bundle."""
    said = f"{counted(len(report.wires), 'wire')}, {report.total_mm / 1000:.1f} m as cut, "
    said += counted(len(report.plan.splices), "splice")
    if len(report.pieces) > 1:
        said += f", in {len(report.pieces)} pieces"
    widest = report.widest
    if widest is not None:
        said += (
            f". The heaviest bundle is {widest.branch}: {counted(len(widest.wires), 'wire')}, "
            f"{across(widest)} mm without its cover"
        )
    return said + "."


def across(bundle: BranchBundle) -> str:
    """Width of a bundle from the least to the most: `13 to 17`, one figure where it is known."""
    if bundle.across_mm is None:
        return "–"
    ends = dict.fromkeys((f"{bundle.across_mm.low:.3g}", f"{bundle.across_mm.high:.3g}"))
    return " to ".join(ends)


def cover(bundle: BranchBundle) -> str:
    """What covers it in the job, in the size or the length it needs now: `vinyl tube 14 mm`."""
    if bundle.covers is None or not bundle.wires:
        return bundle.cover
    told = bundle.cover.casefold()
    for each in bundle.covers.sleeves:
        if each.kind.split()[0].split("-")[0] in told and "tape" not in told:
            size = (
                f"{each.sleeve.bore_mm:g} mm" if each.sleeve else f"size not known: {each.missing}"
            )
            return f"{each.kind}, {size}"
    if "tape" in told:
        return f"{bundle.cover}, {bundle.covers.tape_m_per_m * bundle.length_mm / 1000:.1f} m"
    return bundle.cover


def unfit_fixings(report: BuildReport) -> Iterator[tuple[str, str]]:
    """Clips and grommets that do not fit the taped bundle, or of which it is not known."""
    for bundle in report.bundles:
        for name, check in bundle.fixings:
            if check.outcome != "fits":
                yield name, check.reason


def spot_words(report: BuildReport, spot: Spot) -> str:
    """`B9, 50 mm from bulkhead`, from the nearer end; `at bulkhead` where it is a place."""
    branch = next(each for each in report.branches if each.branch == spot.branch)
    left = (branch.length_mm or 0.0) - spot.at_mm
    place, far = min((branch.from_place, spot.at_mm), (branch.to_place, left), key=lambda p: p[1])
    return f"{spot.branch}, {far:.0f} mm from {place}" if far > 0 else f"at {place}"


def placed(report: BuildReport, splice: Splice) -> str:
    """Where it goes and what that costs, or which rule would have to give."""
    if splice.spot is not None:
        extra = round(splice.extra_mm)
        cost = f", {extra} mm more wire than without rules" if extra > 0 else ""
        return spot_words(report, splice.spot) + cost
    if splice.free is None:
        return "not placed: where its wires end is not known"
    if not splice.must_give or splice.nearest is None:
        return "not placed: no spot keeps the rules"
    rules = listed([f'"{RULES[rule]}"' for rule in splice.must_give])
    return f"no spot keeps every rule; if {rules} gave way: {spot_words(report, splice.nearest)}"


def gap(report: BuildReport) -> str:
    """How much better the spots could be at most, where they are not proven best."""
    plan = report.plan
    share = 100 * (1 - plan.bound_mm3 / plan.copper_mm3) if plan.copper_mm3 else 0.0
    return (
        "Too many splices want one stretch to try every choice; the best one would save "
        f"{share:.1g} % of the copper at most."
    )


def why_not_free(report: BuildReport, splice: Splice) -> str:
    """Why it is not where the least copper would be; empty where it is."""
    if splice.free is None or splice.free == splice.spot:
        return ""
    reasons = list(dict.fromkeys(each.words for each in _at(splice, splice.free, report)))
    if not reasons:
        return ""
    return f"Least copper would be {_where(spot_words(report, splice.free))}: {listed(reasons)}."


def as_built(report: BuildReport, splice: Splice) -> str:
    """Whether its place in the job keeps the rules; empty where that is not known."""
    if not splice.place or splice.free is None:
        return ""
    if spot_words(report, splice.free) == f"at {splice.place}" and splice.free != splice.spot:
        return "That is its place in the job."
    if not splice.as_built:
        return f"Its place in the job, {splice.place}, keeps the rules."
    told = listed([each.words for each in splice.as_built])
    return f"Its place in the job, {splice.place}, does not keep the rules: {told}."


def refused_by_branch(splice: Splice) -> Iterator[tuple[str, str]]:
    """Each branch with what is refused on it, `0 to 50 mm: nearer than …`."""
    found: dict[str, list[str]] = {}
    order = sorted(splice.refused, key=_stretch)
    for stretch, same in groupby(order, key=_stretch):
        words = listed(list(dict.fromkeys(each.words for each in same)))
        told = f"{stretch[0]:.0f} to {stretch[1]:.0f} mm: {words}"
        found.setdefault(stretch[2], []).append(told)
    for branch in sorted(found, key=_by_number):
        yield branch, "; ".join(found[branch])


def to_mind(splice: Splice) -> Iterator[str]:
    """What else is to be known of a splice."""
    if not splice.barrel.parts:
        yield sentence(f"{splice.barrel.words}.")
    if splice.sensors:
        named = listed(list(splice.sensors))
        yield (
            f"{named} {'is' if len(splice.sensors) == 1 else 'are'} of a sensor: better no splice "
            "in it; where it must be, in both wires, one behind the other."
        )
    if splice.left_out:
        yield f"{listed(list(splice.left_out))} had no say: no place is known for the other end."
    if len(splice.wires) < 2:
        yield f"{counted(len(splice.wires), 'wire')} in it: that is no splice."


def support(report: BuildReport, spot: Spot) -> str:
    """How a splice is held, with the clips that are there."""
    near = [
        f"{each.kind} {each.fixing} is {abs(each.at_mm - spot.at_mm):.0f} mm away"
        for each in report.fixings
        if each.branch == spot.branch and each.at_mm is not None
        and abs(each.at_mm - spot.at_mm) <= report.support_mm
    ]  # fmt: skip
    have = f" ({listed(near)})" if near else ""
    return f"hold it with a clip within {report.support_mm:.0f} mm on each side{have}"


def why_long(wire: WireLength) -> str:
    """`1270 run + 60 lay + 30 ends + 10 loop + 40 hand`, what is nothing left out."""
    run = {"measured": "as the old one", "default": "taken for granted"}.get(wire.local, "run")
    parts = (
        (wire.run_mm, run), (wire.lay_mm, "lay"), (wire.ends_mm, "ends"), (wire.loop_mm, "loop"),
        (wire.rock_mm, "rock"), (wire.hand_mm, "hand"),
    )  # fmt: skip
    return " + ".join(f"{mm:.0f} {word}" for mm, word in parts if round(mm))


def steps_told(report: BuildReport) -> Iterator[tuple[LayStep, str]]:
    """Each step with its reason where that is told for the first time, else with nothing."""
    said: set[str] = set()
    for step in report.steps:
        yield step, "" if step.why in said else step.why
        said.add(step.why)


def unlike_words(report: BuildReport) -> str:
    """Wires unlike the old loom's; empty where there are none."""
    if not report.unlike:
        return ""
    told = [f"{each.wire} ({_change(each)})" for each in report.unlike]
    return (
        f"{counted(len(told), 'wire')} would be more than {report.old_tolerance_mm:.0f} mm unlike "
        f"the old loom's, which shrinks and is out of shape: {listed(told)}. "
        "Measure those branches on the car once more."
    )


def _change(wire: WireLength) -> str:
    return f"{wire.made_mm - (wire.old_mm or 0.0):+.0f} mm".replace("-", "−")


def _where(words: str) -> str:
    return words if words.startswith("at ") else f"on {words}"


def _at(splice: Splice, spot: Spot, report: BuildReport) -> Iterable[Refusal]:
    """Refusals that hold at a spot, its own branch's."""
    length = next(each.length_mm or 0.0 for each in report.branches if each.branch == spot.branch)
    for each in splice.refused:
        if each.branch != spot.branch:
            continue
        inside = each.from_mm < spot.at_mm < each.to_mm
        first, last = spot.at_mm <= 0 >= each.from_mm, each.to_mm >= length <= spot.at_mm
        if inside or first or last:
            yield each


def _stretch(each: Refusal) -> tuple[float, float, str]:
    return each.from_mm, each.to_mm, each.branch


def _by_number(name: str) -> tuple[str, int, str]:
    """`B2` before `B10`."""
    head = name.rstrip("0123456789")
    return head, int(name[len(head) :] or 0), name

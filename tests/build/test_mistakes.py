"""What the list shows of every single mistake: the same as brute force, and what is let pass."""

from __future__ import annotations

from collections import Counter

import attrs
import pytest

from loomwright.build.continuity import FinishedLoom
from loomwright.build.mistake_kinds import KINDS, verdicts
from loomwright.build.mistakes import Maker, Verdict
from reference import mistakes as brute
from reference.looms import make_job
from sample.finished import STAR, finished, loom

MEASURED = [kind for kind in KINDS if kind not in ("colour", "boot", "unlocked")]
MIXED = loom(
    "A.1-B.1 A.2-B.2 A.3-SP A.4-SP SP-B.3 B.4-E A.5-E C.1-E C.2-A.6 S1-B.6 S1-C.4 S1-A.7",
    joints="SP=splice S1=splice E=earth",
    A="1 2 3 4 / 5 6 7 8", B="1 2 / 3 4 / 5 6", C="1 2 3 / . 4 .",
)  # fmt: skip
RING = loom("A.1-SP A.1-SP SP-B.1 A.2-B.2", joints="SP=splice", A="1 2", B="1 2")
LOOMS: dict[str, FinishedLoom] = {
    "star": finished(STAR),
    "mixed": finished(MIXED),
    "two wires in parallel": finished(RING),
    "random, 12 wires": finished(make_job(12, 4)),
    "random, 24 wires": finished(make_job(24, 6)),
}


def found(sound: FinishedLoom, kind: str) -> list[Verdict]:
    return list(verdicts(Maker(sound), kind))


def passing(sound: FinishedLoom, kind: str) -> list[tuple[str, ...]]:
    return [each.mistake.items for each in found(sound, kind) if not each.shown]


@pytest.mark.parametrize("name", LOOMS)
@pytest.mark.parametrize("kind", MEASURED)
def test_every_mistake_is_judged_as_by_brute_force(kind: str, name: str) -> None:
    sound = LOOMS[name]
    ours = Counter((each.mistake.items, bool(each.shown)) for each in found(sound, kind))
    theirs = Counter((each.items, brute.shown(sound, each)) for each in brute.mistakes(sound, kind))
    assert ours == theirs


def test_a_sound_loom_passes_every_test_of_its_list() -> None:
    for sound in LOOMS.values():
        assert not brute.shown(sound, brute.Wrong((), sound.job.wires))


@pytest.mark.parametrize("kind", ["missing", "splice", "next_door", "joined", "crimp_10"])
def test_the_list_lets_none_of_these_pass_where_nothing_runs_in_parallel(kind: str) -> None:
    for name in ("star", "mixed", "random, 24 wires"):
        assert passing(LOOMS[name], kind) == []


def test_of_two_wires_in_parallel_one_may_be_missing_only_if_the_limit_allows_it() -> None:
    """Halving 2 m of 0.75 mm² changes 25 mΩ, which shows; of 0.2 m 2.5 mΩ, which does not."""
    assert passing(LOOMS["two wires in parallel"], "missing") == []
    short = attrs.evolve(
        RING, wires=tuple(attrs.evolve(wire, length_mm=200.0) for wire in RING.wires)
    )
    assert passing(finished(short), "missing") == [("W1",), ("W2",)]


def test_two_wires_of_one_net_may_be_swapped_unseen() -> None:
    assert passing(LOOMS["star"], "swapped") == [("A.1", "A.2")]


def test_what_no_meter_sees_always_passes_and_says_what_finds_it() -> None:
    job = attrs.evolve(
        STAR, plugs=tuple(attrs.evolve(p, boot="straight") for p in STAR.plugs[:1]) + STAR.plugs[1:]
    )
    sound = finished(job)
    assert len(passing(sound, "colour")) == len(job.wires)
    assert passing(sound, "boot") == [("A",)]
    assert len(passing(sound, "unlocked")) == 7
    assert all(kind.instead for kind in KINDS.values())


def test_two_leads_find_opens_and_bridges_but_no_bad_crimp() -> None:
    """A meter of a tenth of an ohm against 49 mΩ."""
    star = LOOMS["star"]
    assert all(each.shown_by_two == "open" for each in found(star, "missing"))
    assert all(each.shown_by_two == "joined" for each in found(star, "joined"))
    assert {(each.shown, each.shown_by_two) for each in found(star, "crimp_10")} == {("limit", "")}


@pytest.mark.parametrize(("kind", "ohm"), [("crimp_edge", 0.005), ("crimp_10", 0.05)])
def test_a_bad_crimp_takes_the_place_of_a_good_one(kind: str, ohm: float) -> None:
    """Crimp and contact may have 5 mΩ together; the crimp that was good had 1 mΩ of it."""
    sound = finished(loom("A.1-B.1", A="1", B="1"))
    ((right,),) = sound.links
    for each in found(sound, kind):
        (wrong,) = each.mistake.links or ()
        assert wrong.ohm - right.ohm == pytest.approx(ohm - 0.001, abs=1e-9)


def test_the_thinnest_wire_has_no_thinner_one() -> None:
    """0.22 mm² is the first row of the vehicle cables."""
    assert found(finished(loom("A.1-B.1", A="1", B="1", mm2=0.22)), "thin") == []


def test_a_loom_without_wires_has_nothing_to_get_wrong() -> None:
    empty = finished(attrs.evolve(STAR, wires=()))
    assert [kind for kind in KINDS if found(empty, kind)] == []

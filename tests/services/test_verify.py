"""The list that proves a finished loom, as a report."""

from __future__ import annotations

import json

import attrs
import pytest

from loomwright.loom import About, InputProblems, Job, OwnFigure
from loomwright.loom.errors import Stopped
from loomwright.services import verify_words as words
from loomwright.services.verify import CAUTIONS, VerifyReport, new_lengths, verify
from reference.looms import make_job
from sample.demo import demo_job, demo_known
from sample.finished import STAR


@pytest.fixture(scope="module")
def report() -> VerifyReport:
    return demo_known().verified


def test_the_demo_needs_one_line_for_each_end_but_one_of_each_net(report: VerifyReport) -> None:
    """By hand from the sheets: 64 wires join 92 cavities, 5 eyelets and clamps into 40 nets."""
    wires = demo_job().wires
    ends = {p for w in wires for p in (w.from_point, w.to_point)}
    splices = {joint.joint for joint in demo_job().joints if joint.kind == "splice"}
    touched = [point for point in ends if point.owner not in splices]
    assert len(touched) == 97
    assert len(report.lines) == len(touched) - len(report.nets)
    assert [line.number for line in report.lines] == list(range(1, len(report.lines) + 1))


def test_the_json_holds_every_line_and_is_plain(report: VerifyReport) -> None:
    data = json.loads(json.dumps(report.json()))
    assert set(data) == {
        "job", "cautions", "meter", "nets", "continuity", "isolation", "mistakes", "surely_ohm",
        "figures",
    }  # fmt: skip
    assert len(data["continuity"]) == len(report.lines)
    assert set(data["isolation"]) == {"fixture", "by_hand"}
    assert data["meter"] == "DMM"
    assert all(figure["standing"] for figure in data["figures"].values())


def test_a_figure_of_the_jobs_own_counts_and_says_so() -> None:
    own = OwnFigure(name="contact_resistance", value=8.0)
    other = verify(attrs.evolve(STAR, settings=(own,)))
    more = [a.limit_ohm - b.limit_ohm for a, b in zip(other.lines, verify(STAR).lines, strict=True)]
    assert more == pytest.approx([2 * 0.003] * len(more), abs=1e-9)
    assert other.figures["contact_resistance"].note == "of this job"
    assert any("8 mΩ" in line for line in words.rests_on(other))


def test_cut_lengths_that_are_known_better_are_taken() -> None:
    longer = verify(STAR, lengths={"W4": 4000.0})
    changed = [
        line.wires
        for line, before in zip(longer.lines, verify(STAR).lines, strict=True)
        if line.limit_ohm > before.limit_ohm
    ]
    assert changed == [("W4",)]


def test_it_can_be_stopped_at_every_step() -> None:
    asked: list[str] = []

    def after(count: int) -> VerifyReport:
        asked.clear()

        def progress(step: str, share: float) -> bool:
            assert 0 <= share <= 1
            asked.append(step)
            return len(asked) <= count

        return verify(STAR, progress)

    after(1000)
    every = len(asked)
    assert every > 10
    for count in range(every):
        with pytest.raises(Stopped):
            after(count)


def test_a_job_without_wires_has_an_empty_list() -> None:
    empty = verify(Job(about=About(title="Title only")))
    assert (empty.nets, empty.lines, empty.fixture, empty.unseen) == ((), (), (), ())
    assert words.how_many(empty).startswith("No wire joins")
    json.dumps(empty.json())


def test_one_net_has_nothing_to_be_apart_from() -> None:
    alone = verify(attrs.evolve(STAR, wires=STAR.wires[:3]))
    assert (len(alone.nets), alone.fixture, alone.by_hand) == (1, (), ())


def test_the_words_tell_what_two_leads_can_do(report: VerifyReport) -> None:
    told = words.leads(report)
    assert told.startswith("57 lines cannot be judged with two leads: the meter DMM")
    assert "1 A from a limited supply" in told
    fine = attrs.evolve(
        report, lines=tuple(attrs.evolve(each, two_leads_tell=True) for each in report.lines)
    )
    assert words.leads(fine).startswith("Two leads, the meter zeroed")


def test_every_kind_of_mistake_is_told_on_one_side_or_the_other(report: VerifyReport) -> None:
    shown = words.all_seen(report)
    for tried in report.mistakes:
        passes = any(each.kind == tried.kind for each in report.unseen)
        assert passes != (tried.words in shown)
        if passes:
            assert tried.instead
            assert f"{len(tried.passing)} of {tried.made}" in words.unseen_words(tried)


def test_places_are_named_up_to_a_few(report: VerifyReport) -> None:
    (thin,) = (each for each in report.unseen if each.kind == "thin")
    assert words.places(thin) == "W05, W06, W07, W01, W02, W03 and 24 more"


def test_the_insulation_test_comes_with_its_caution(report: VerifyReport) -> None:
    told = " ".join(words.isolation_limits(report))
    assert "500 V d.c. for 1 min (published)" in told
    assert "at least 100 MΩ (published)" in told
    assert words.AT_HIGH_VOLTAGE in told
    assert any("kills a control unit" in caution for caution in CAUTIONS)


def test_a_large_random_loom_is_whole() -> None:
    large = verify(make_job(120, 1))
    missing = {each.kind: len(each.passing) for each in large.mistakes}
    assert (missing["missing"], missing["joined"], missing["next_door"]) == (0, 0, 0)


def test_a_new_loom_is_as_long_as_its_branches_have_it() -> None:
    job = demo_job()
    lengths = new_lengths(job)
    old = {str(wire.wire): wire.length_mm for wire in job.wires}
    assert lengths.keys() == old.keys()
    other = verify(job, lengths=lengths)
    assert len(other.lines) == len(verify(job).lines)
    # W32 runs B1 B2 B4 B5 B6, 2420 mm by the table of branches, and some more at its ends.
    assert 2420 < lengths["W32"] < 2420 * 1.15


def test_without_branches_no_length_of_a_new_loom_is_told() -> None:
    with pytest.raises(InputProblems):
        new_lengths(STAR)

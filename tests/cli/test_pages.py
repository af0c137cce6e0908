"""What the pages say: the glance, the marks, cautions at their steps, the tree."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from typing import Any

import attrs
import pytest

from loomwright.circuit.paths import Piece
from loomwright.cli import show_suspects, show_trace
from loomwright.diagnosis.harm import RULES
from loomwright.loom import Job, Point
from loomwright.services import finding_words, reading_words, separation_words, suspect_words
from loomwright.services.labels import Labels
from loomwright.services.suspects import NextReading, SuspectsReport, suspects
from loomwright.services.trace import Trace, trace
from loomwright.services.words import SAFETY
from sample.demo import FOLDER, demo_job, demo_known

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"


@pytest.fixture(scope="module")
def job() -> Job:
    return demo_job()


@pytest.fixture(scope="module")
def report() -> SuspectsReport:
    return demo_known().suspects


@pytest.fixture(scope="module")
def unread(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The folder of the demo without its readings, for what is refused whatever they say."""
    place = tmp_path_factory.mktemp("jobs") / "unread"
    shutil.copytree(FOLDER, place)
    for table in ("readings", "proof"):
        (place / f"{table}.csv").unlink()
    return str(place)


def flat(text: str) -> str:
    return " ".join(text.replace("│", " ").split())


def test_one_glance_says_what_how_sure_and_what_next(seen: Run) -> None:
    page = seen("suspects", DEMO).out
    top = flat(page[: page.index("╯")])
    wrong = r"Wrong ● plug TE \(Engine temperature sensor plug\), cavity \d or \d: high resistance"
    assert re.search(wrong, top)
    assert "How sure ● more than 99 %: sure enough to act on." in top
    assert "Next At plug TE: look for a green or loose terminal" in top
    assert "Ω" in top


def test_the_page_has_everything_below_the_glance(seen: Run) -> None:
    page = flat(seen("suspects", DEMO).out)
    for piece in (
        "R11 reads 431 Ω; without it:",
        "no reading can tell TE.1, TE.2 apart",
        "plug TH (Throttle switch plug), between cavities 1 and 3",
        "leak (damp)",
        "What to measure next",
        "Hot against cold",
        "in series",
        "R06 alone would have passed",
        "of the faults that are modelled",
        SAFETY,
    ):
        assert piece in page


def told(report: SuspectsReport, job: Job, what: Callable[..., Any]) -> str:
    arguments = (report,) if what is finding_words.how_sure else (report, Labels(job))
    return " ".join(what(*arguments))


def test_nothing_is_claimed_that_may_not_be(report: SuspectsReport, job: Job) -> None:
    unclaimed = attrs.evolve(report, claimed=None)
    said = told(unclaimed, job, finding_words.how_sure)
    assert said.startswith("○ more than 99 %, but one reading alone carries it: confirm it before")
    assert "%: not sure enough to act on, and it rests on R09 alone." in said
    assert told(unclaimed, job, finding_words.wrong).startswith("○ perhaps")
    assert told(unclaimed, job, finding_words.to_do).startswith("Measure ohms, red ")


def test_one_thing_is_acted_on_at_a_time(report: SuspectsReport, job: Job) -> None:
    likely = attrs.evolve(report.suspects[1], probability=0.98)
    two = attrs.evolve(report, suspects=(report.suspects[0], likely))
    assert "○ 98 %: put the other right first" in told(two, job, finding_words.how_sure)


def test_no_reading_is_offered_when_it_is_time_to_stop(report: SuspectsReport, job: Job) -> None:
    assert "easure" not in told(attrs.evolve(report, stop=True), job, finding_words.to_do)
    idle = attrs.evolve(report, claimed=None, next_readings=())
    assert told(idle, job, finding_words.to_do).startswith("No reading within reach tells more.")


def test_a_sound_loom_is_told_with_what_was_looked_at(report: SuspectsReport, job: Job) -> None:
    sound = attrs.evolve(report, claimed=None, sound=0.9, suspects=(), coverage=0.35)
    assert told(sound, job, finding_words.wrong) == "Nothing shows in these readings."
    assert "could have shown 35 %" in told(sound, job, finding_words.how_sure)


def test_what_is_not_modelled_is_told(report: SuspectsReport, job: Job) -> None:
    strange = attrs.evolve(report, claimed=None, unmodelled=0.9, suspects=())
    assert told(strange, job, finding_words.wrong) == "The readings fit no fault that is modelled."


def test_without_readings_nothing_is_known(report: SuspectsReport, job: Job) -> None:
    fresh = attrs.evolve(report, readings_used=0, claimed=None)
    assert told(fresh, job, finding_words.wrong).startswith("Not known")
    assert told(fresh, job, finding_words.how_sure).startswith("Not at all")


def test_a_suspect_that_one_reading_carries_is_doubted(report: SuspectsReport) -> None:
    first, second = report.suspects[:2]
    assert finding_words.doubt(first) == ""
    assert finding_words.doubt(second) == "R09 alone"


def test_ends_of_one_leak_are_not_two_candidates(report: SuspectsReport) -> None:
    contact, leak = report.suspects[:2]
    assert not suspect_words.between_two(contact)
    assert suspect_words.between_two(leak)


def test_each_caution_stands_before_the_step_it_protects(report: SuspectsReport) -> None:
    live = next(each for each in report.next_readings if len(each.words) > 3)
    lines = reading_words.numbered(live.words, live.cautions)
    numbers = [mark for mark, _ in lines if mark != "!"]
    assert numbers == [f"{n + 1}" for n in range(len(numbers))]
    assert sum(mark == "!" for mark, _ in lines) == len(live.cautions)
    texts = [text for _, text in lines]
    for caution in live.cautions:
        at = next(
            n for n, text in enumerate(texts) if text.lower().startswith(caution.reason.lower())
        )
        step = next(text for mark, text in lines[at:] if mark != "!")
        wanted = reading_words.STEP_OF.get(caution.rule)
        assert wanted is None or step.startswith(wanted)


def test_steps_of_cautions_belong_to_rules_that_there_are() -> None:
    names = {rule.__name__ for rule in RULES} | {"plug_with_key_off"}
    assert set(reading_words.STEP_OF) <= names


def reading(*bands: tuple[int, float, float], of: NextReading) -> list[tuple[str, str]]:
    return list(reading_words.expected(attrs.evolve(of, expect=bands)))


def test_expected_values_are_joined_and_silence_is_told(report: SuspectsReport) -> None:
    ohms = next(
        each for each in report.next_readings
        if each.suggestion.candidate.probe.quantity == "ohm"
    )  # fmt: skip
    inf = float("inf")
    said = reading((-1, inf, inf), (0, 4700.0, inf), (1, 4700.0, 5000.0), (2, inf, inf), of=ohms)
    assert said == [
        ("if sound", "OL"),
        ("if suspect 3", "OL"),
        ("if suspect 2", "4.7 kΩ to 5 kΩ"),
        ("if suspect 1", "either: it says nothing of this one"),
    ]


def test_a_reading_that_parts_no_suspects_says_so(report: SuspectsReport) -> None:
    said = reading((-1, 5.4, 6.4), (0, 5.4, 6.4), (1, 5.4, 6.4), of=report.next_readings[0])
    assert len(said) == 1
    assert said[0][0] == "all of these"
    assert said[0][1].endswith("another value points elsewhere")


@pytest.fixture(scope="module")
def contradicted(job: Job) -> SuspectsReport:
    """R12 read on a kΩ range and written as Ω; R05 taken with the control unit plugged in."""
    changes: dict[str, dict[str, Any]] = {"R12": {"value": 0.431}, "R05": {"unplugged": ()}}
    rows = [attrs.evolve(row, **changes.get(str(row.reading), {})) for row in job.readings]
    return suspects(attrs.evolve(job, readings=tuple(rows)))


def test_what_does_not_fit_is_told_at_once_and_with_its_slip(
    contradicted: SuspectsReport, job: Job, capsys: pytest.CaptureFixture[str]
) -> None:
    show_suspects.show_suspects(contradicted, job)
    page = capsys.readouterr().out
    top, rest = flat(page[: page.index("╯")]), flat(page[page.index("╯") :])
    assert "Mind R12: 0.431 Ω does not fit the other readings." in top
    assert "read on a kΩ range and written as Ω" in top
    assert "! R05 is set aside: the control unit is still on plug CU" in rest
    assert "13 readings taken into account" in top


def test_few_readings_claim_nothing(job: Job, capsys: pytest.CaptureFixture[str]) -> None:
    early = attrs.evolve(job, readings=job.readings[:5])
    show_suspects.show_suspects(suspects(early), early)
    top = flat(capsys.readouterr().out.partition("╯")[0])
    assert "sure enough to act on." not in top.replace("not sure enough to act on", "")
    assert "Next Measure " in top


def test_a_trace_is_a_tree_with_ohms(seen: Run) -> None:
    page = seen("trace", DEMO, "CU.6").out
    assert "├─ wire W32, CU.6 to TE.1" in page
    assert "│ └─ wire W36, SPS to TA.2" in page
    assert "control unit" in page
    assert "mΩ" in page


def test_every_piece_of_a_trace_is_drawn_once(job: Job) -> None:
    for point in ("CU.6", "CU.20", "BATP", "GE"):
        found = trace(job, point)
        drawn = list(show_trace._drawn(show_trace.stretches(found), ""))
        assert [number for _, number in drawn] == list(range(len(found.pieces)))


def piece(start: str, end: str, depth: int, ends: str = "") -> Piece:
    return Piece(depth, "wire", (start,), Point(start), Point(end), 1.0, 1.0, ends)


def test_branches_hang_below_the_stretch_they_leave() -> None:
    pieces = (
        piece("A", "B", 0),
        piece("B", "C", 1, "earth point"),
        piece("B", "D", 1),
        piece("D", "E", 1, "nothing beyond"),
    )
    roots = show_trace.stretches(Trace("A", "", pieces))
    assert [root.pieces for root in roots] == [[0]]
    assert [branch.pieces for branch in roots[0].onward] == [[1], [2, 3]]


def test_expect_has_a_word_beside_every_mark(seen: Run) -> None:
    page = seen("expect", DEMO).out
    rows = [row for row in page.splitlines() if row.startswith("R") and " – " in row]
    assert len(rows) == 14
    assert sum("✓ as expected" in row for row in rows) == 11
    assert any(row.startswith("R09") and "✗ not open" in row for row in rows)
    assert any(row.startswith("R11") and "▲ too high" in row for row in rows)
    assert "R10 also sees RES (33 % of the current)" in flat(page)
    assert "unplug RB to remove RES" in flat(page)
    assert "engine 82 °C" in page


def test_expect_all_adds_what_nobody_has_taken(seen: Run) -> None:
    page = seen("expect", DEMO, "--all").out
    assert "· not taken" in page
    assert "Before ohms: key off" in page


def test_sees_says_by_how_much_and_what_follows(seen: Run) -> None:
    page = seen("sees", DEMO).out
    now = next(row for row in page.splitlines() if row.strip().startswith("now 82 °C"))
    assert "▼ too cold" in now
    assert " K " in now
    assert now.count("°C") == 2
    assert "%" in now
    assert "✓ within ±" in page
    assert "INJ1" in page


@attrs.frozen
class Fit:
    causes: tuple[str, ...]
    series_ohm: float = 0.0
    series_sd: float = 0.0
    leak_ohm: float = float("inf")
    shift_k: float = 0.0
    shift_sd: float = 0.0
    p_value: float | None = None


@pytest.mark.parametrize(
    ("fit", "said"),
    [
        (Fit(()), "a sound circuit"),
        (Fit(("series",), series_ohm=124.5, series_sd=9.35), "124 Ω ± 19 Ω in series"),
        (
            Fit(("leak", "shift"), leak_ohm=6458.0, shift_k=-13.86, shift_sd=1.26),
            "a leak of about 6.46 kΩ and a sensor off by −13.9 K ± 2.5 K",
        ),
        (
            Fit(("series",), series_ohm=3.0, series_sd=float("inf")),
            "an unknown resistance (at best 3 Ω) in series",
        ),
    ],
    ids=str,
)
def test_an_explanation_in_words(fit: Fit, said: str) -> None:
    assert separation_words.in_words(fit) == said


def test_a_thing_is_called_by_its_label(job: Job) -> None:
    labels = Labels(job)
    assert labels.item("TE.1") == "plug TE (Engine temperature sensor plug), cavity 1"
    assert labels.item("W32") == "wire W32 (CU.6 to TE.1)"
    assert labels.item("ETS.1") == "device ETS (Engine temperature sensor), pin 1"
    assert labels.place(("TE.1", "TE.2"), "high_resistance").endswith("cavity 1 or 2")
    assert labels.place(("W32", "W33", "W34", "W35", "W36"), "open").endswith(" or 2 more")


def test_prove_says_what_helped_and_what_is_still_to_be_read(seen: Run) -> None:
    page = flat(seen("prove", DEMO).out)
    for piece in (
        "R11 CU.6 – CU.7 431 Ω 341 Ω 300 Ω to 371 Ω ✓ better",
        "off by +125 Ω before (82 °C) and by +7.14 Ω after (79 °C)",
        "= same",
        "! R09: not in order before the work and not read again.",
        "2 better and 1 same. Not all is proved yet.",
        SAFETY,
    ):
        assert piece in page, piece


def test_prove_without_a_reading_after_the_work(seen: Run, tmp_path: Any) -> None:
    seen("new", str(tmp_path / "car"))
    (tmp_path / "car" / "proof.csv").unlink()
    assert "No reading after the work yet" in flat(seen("prove", str(tmp_path / "car")).out)


def test_plan_sets_offers_side_by_side_and_marks_hold_points(seen: Run) -> None:
    out = seen("plan", DEMO).out
    page = flat(out)
    for piece in (
        "Must be done, by the readings or as you asked: TE terminal.",
        "Only what failed: new terminals at TE.",
        "What would change the choice",
        "■ is a hold point: go on only when it passes.",
        "a control unit on a wrong wire can be killed at once",
        "Parts stand at the least price of a piece",
        SAFETY,
    ):
        assert piece in page, piece
    assert "■ ☐  3  key off; battery minus off first" in out
    assert "\nbranch B8 (thermostat to air valve)\n" in out


def test_plan_tells_what_each_cure_takes_and_rests_on(seen: Run) -> None:
    out = seen("plan", DEMO, "--offer", "everything").out
    page = flat(out)
    for piece in (
        'The cures of "everything"',
        "min parts EUR wire mm comes back likely life",
        "new boot at TT 7 2.70 0 5 % 4 years",
        "contacts cleaned at GE 6 – 0 15 % –",
        "splice and new terminals at I6 52 4.65 20 5 % 7 years",
        "boot of grade 2; the lock, a tongue, can be released.",
        "! new boot, weak point: an old tongue may break",
        "Standing of the likely lives: common practice.",
    ):
        assert piece in page, piece
    assert max(map(len, out.splitlines())) <= 80


def test_plan_takes_a_branch_and_refuses_the_whole_loom(seen: Run, unread: str) -> None:
    assert "AV boot, AV terminal, TE terminal and W23 insulation" in flat(
        seen("plan", DEMO, "--must", "B8").out
    )
    ran = seen("plan", unread, "--must", "loom")
    assert (ran.code, ran.out) == (2, "")
    assert "Name a branch (B1, B2, B3, B4 and 6 more) or an item (AV," in flat(ran.err)


def test_plan_under_a_limit_says_what_is_not_possible(seen: Run) -> None:
    page = flat(seen("plan", DEMO, "--hours", "1", "--offer", "only what failed").out)
    assert "Everything: not possible: what must be done takes at least" in page
    assert "allow more than 60 min, or let something be left." in page
    assert 'The order of work, for "only what failed"' in page


def test_plan_with_an_unknown_must_names_the_nearest(seen: Run, unread: str) -> None:
    ran = seen("plan", unread, "--must", "AVV")
    assert ran.code == 2
    assert 'did you mean "AV"?' in flat(ran.err).replace("Did", "did")

"""Each command on the example job and on broken ones: words, exit codes, JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from loomwright.services.crimps import crimps
from loomwright.services.expect import expect
from loomwright.services.judge import judge
from loomwright.services.prove import prove
from loomwright.services.trace import trace
from sample.demo import demo_job, demo_known

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"
COMPUTING = ("check", "expect", "trace", "sees", "suspects", "prove", "judge", "plan", "crimps")
EVERY = ("new", *COMPUTING)
LINES = {
    "check": ("check", DEMO),
    "expect": ("expect", DEMO),
    "all": ("expect", DEMO, "--all"),
    "trace": ("trace", DEMO, "CU.6"),
    "sees": ("sees", DEMO),
    "suspects": ("suspects", DEMO),
    "prove": ("prove", DEMO),
    "judge": ("judge", DEMO),
    "plan": ("plan", DEMO),
    "crimps": ("crimps", DEMO),
    "broken": ("check", "examples/broken"),
}


@pytest.mark.parametrize("line", LINES.values(), ids=LINES)
def test_everything_fits_eighty_columns(seen: Run, line: tuple[str, ...]) -> None:
    ran = seen(*line)
    assert ran.out
    assert max(len(row.rstrip()) for row in ran.out.splitlines()) <= 80


@pytest.mark.parametrize("line", LINES.values(), ids=LINES)
def test_results_go_to_standard_output_only(seen: Run, line: tuple[str, ...]) -> None:
    ran = seen(*line)
    assert ran.err == ""
    assert ran.code == (2 if "broken" in line[1] else 0)


def test_new_makes_a_job_that_check_passes(run: Run, tmp_path: Any) -> None:
    place = tmp_path / "my car"
    ran = run("new", str(place))
    assert (ran.code, ran.err) == (0, "")
    assert (place / "wires.csv").is_file()
    assert f'loomwright check "{place}"' in ran.out
    assert run("check", str(place)).code == 0


def test_new_makes_a_workbook_and_gives_it_its_ending(run: Run, tmp_path: Any) -> None:
    assert run("new", str(tmp_path / "my-car"), "--workbook").code == 0
    assert (tmp_path / "my-car.xlsx").is_file()
    assert run("check", str(tmp_path / "my-car.xlsx")).code == 0


def test_new_leaves_a_job_alone_that_is_there(run: Run, tmp_path: Any) -> None:
    assert run("new", str(tmp_path / "car")).code == 0
    again = run("new", str(tmp_path / "car"))
    assert again.code == 2
    assert "choose another name" in again.err.lower()


@pytest.fixture(scope="module")
def unread(run: Run, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The folder of a new job that has no readings."""
    place = tmp_path_factory.mktemp("jobs") / "car"
    run("new", str(place))
    (place / "readings.csv").unlink()
    return str(place)


@pytest.mark.parametrize("command", [line for line in LINES if line not in ("broken", "all")])
def test_a_job_without_readings_is_no_trouble(run: Run, unread: str, command: str) -> None:
    point = ("T1.1",) if command == "trace" else ()
    ran = run(command, unread, *point)
    assert (ran.code, ran.err) == (0, "")
    if command == "check":
        assert "Next: loomwright expect --all" in ran.out


@pytest.mark.parametrize("name", COMPUTING)
def test_json_is_what_the_service_gives(seen: Run, name: str) -> None:
    ran = seen(*LINES[name], "--json")
    told = json.loads(ran.out)
    job, known = demo_job(), demo_known()
    if name == "check":
        assert set(told) == {"job", "passed", "problems", "warnings", "rows"}
        return
    wanted: dict[str, Callable[[], Any]] = {
        "expect": lambda: [row.json() for row in expect(job)],
        "trace": lambda: trace(job, "CU.6").json(),
        "sees": lambda: known.sees.json() if known.sees else None,
        "suspects": lambda: known.suspects.json(),
        "prove": lambda: prove(job).json(),
        "judge": lambda: judge(job).json(),
        "plan": lambda: known.plan.json(),
        "crimps": lambda: crimps(job).json(),
    }
    assert told == json.loads(json.dumps(wanted[name]()))


def test_json_of_check_names_the_place_of_each_problem(seen: Run) -> None:
    ran = seen("check", "examples/broken", "--json")
    told = json.loads(ran.out)
    assert ran.code == 2
    assert told["job"] is None
    assert not told["passed"]
    assert len(told["problems"]) == 22
    first = told["problems"][0]
    assert first == {
        "table": "job.csv",
        "row": 2,
        "column": "opened_on",
        "what": '"19.3.2026" is not a date',
        "expected": "write year-month-day, such as 2026-05-14",
    }
    assert told["warnings"][0]["column"] == "colour"


@pytest.mark.parametrize("command", EVERY)
def test_help_has_an_example(run: Run, command: str) -> None:
    ran = run(command, "--help")
    assert ran.code == 0
    assert f"Example: loomwright {command} " in ran.out


@pytest.mark.parametrize("line", [("--help",), ("-h",), ()], ids=str)
def test_help_lists_every_command_in_a_whole_sentence(run: Run, line: tuple[str, ...]) -> None:
    ran = run(*line)
    assert (ran.code, ran.err) == (0, "")
    assert all(f"\n  {command} " in ran.out for command in EVERY)
    assert "..." not in ran.out.replace("[ARGS]...", "")

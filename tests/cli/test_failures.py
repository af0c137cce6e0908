"""Bad input gives sentences, the right exit code, and never a traceback."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from loomwright.cli import app, failures
from loomwright.loom.errors import (
    Conflict,
    InputProblems,
    LoomwrightError,
    NotFound,
    OutOfRange,
    Problem,
    Refused,
    Stopped,
    StorageFailed,
    Where,
)

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"
READING = ("check", "expect", "sees", "suspects")


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A state folder of the test's own."""
    monkeypatch.delenv("LOCALAPPDATA", raising=False)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path / "state" / "loomwright"


def assert_calm(ran: Any, code: int) -> None:
    assert ran.code == code
    assert "Traceback" not in ran.out + ran.err
    assert ran.err.strip()
    assert "!" not in ran.err


@pytest.mark.parametrize("command", READING)
def test_a_folder_that_is_not_there(run: Run, command: str) -> None:
    ran = run(command, "no-such-job")
    assert_calm(ran, 2)
    assert '"no-such-job"' in ran.err


@pytest.mark.parametrize("command", READING[1:])
def test_an_empty_folder(run: Run, tmp_path: Path, command: str) -> None:
    ran = run(command, str(tmp_path))
    assert_calm(ran, 2)
    assert ran.err.splitlines()[-1] == "1 problem to mend."


def test_an_empty_folder_is_a_finding_for_check(run: Run, tmp_path: Path) -> None:
    ran = run("check", str(tmp_path))
    assert ran.code == 2
    assert "1 problem to mend" in ran.out


@pytest.mark.parametrize("command", READING[1:])
def test_a_broken_job_is_told_line_by_line(run: Run, command: str) -> None:
    ran = run(command, "examples/broken")
    assert_calm(ran, 2)
    lines = ran.err.splitlines()
    assert len(lines) == 23
    assert lines[-1] == "22 problems to mend."
    assert lines[0].startswith('job.csv, row 2, opened_on: "19.3.2026" is not a date.')


def test_a_missing_column(run: Run) -> None:
    ran = run("check", "examples/broken-header")
    assert ran.code == 2
    assert 'there is no column "ohm"' in ran.out


@pytest.mark.parametrize(
    ("typed", "nearest"), [("CU.66", "CU.6"), ("te.1", "TE.1"), ("T E", ""), ("", "")]
)
def test_a_wrong_point_gets_the_nearest(run: Run, typed: str, nearest: str) -> None:
    ran = run("trace", DEMO, typed)
    assert_calm(ran, 2)
    assert f'"{typed}"' in ran.err
    assert nearest in ran.err


@pytest.mark.parametrize("name", ["job.pdf", "job.xlsx", "job.zip"])
def test_a_file_that_is_no_job(run: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(b"\x00\xff not a job \x1b[31m")
    ran = run("suspects", str(tmp_path / name))
    assert_calm(ran, 2)


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="everything is readable here")
def test_an_unreadable_file(run: Run, tmp_path: Path) -> None:
    run("new", str(tmp_path / "car"))
    (tmp_path / "car" / "wires.csv").chmod(0)
    assert_calm(run("suspects", str(tmp_path / "car")), 4)


def test_what_the_disk_says_is_exit_code_four(run: Run, tmp_path: Path) -> None:
    (tmp_path / "in-the-way").write_text("a file, not a folder")
    assert_calm(run("new", str(tmp_path / "in-the-way" / "car")), 4)


def test_text_in_a_job_cannot_steer_the_terminal(run: Run, tmp_path: Path) -> None:
    run("new", str(tmp_path / "car"))
    job = tmp_path / "car" / "job.csv"
    job.write_text("title,opened_on\n[bold]Hot\x1b[31m,not\x1b]0;a date\n", encoding="utf-8")
    for command in ("check", "suspects"):
        ran = run(command, str(tmp_path / "car"))
        assert "\x1b" not in ran.out + ran.err
        assert ran.code == 2


@pytest.mark.parametrize(
    "line", [("frob",), ("suspects",), ("suspects", DEMO, "--frob"), ("trace", DEMO)], ids=str
)
def test_a_mistyped_command_says_where_help_is(run: Run, line: tuple[str, ...]) -> None:
    ran = run(*line)
    assert_calm(ran, 2)
    assert "--help" in ran.err


PROBLEM = Problem(Where("wires.csv", 3, "to"), 'there is no plug "T44"', 'did you mean "T4"?')
EVERY: dict[LoomwrightError, int] = {
    InputProblems([PROBLEM]): 2,
    NotFound("there is no such thing"): 2,
    Conflict("somebody else changed colour meanwhile"): 2,
    OutOfRange("0 mm² is not possible"): 2,
    Refused("the control unit is still plugged in", instead="take it off"): 3,
    StorageFailed("the disk is full"): 4,
    Stopped("the work was stopped"): 130,
}


@pytest.mark.parametrize("failure", EVERY, ids=lambda failure: type(failure).__name__)
def test_every_error_has_its_words_and_code(
    failure: LoomwrightError, capsys: pytest.CaptureFixture[str]
) -> None:
    assert failures.told(failure) == EVERY[failure]
    said = capsys.readouterr().err
    assert all(line in said for line in failures.sentences(failure))


def test_the_family_is_whole() -> None:
    assert {type(failure) for failure in EVERY} == set(LoomwrightError.__subclasses__())


def broken(*_: object, **__: object) -> None:
    raise ZeroDivisionError("an inner matter")


def test_our_own_mistake_is_one_sentence_and_a_log(
    run: Run, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(app.bootstrap, "jobs", broken)
    ran = run("suspects", DEMO)
    assert_calm(ran, failures.OUR_MISTAKE)
    assert "an inner matter" not in ran.err
    log = (state / failures.LOG).read_text(encoding="utf-8")
    assert "ZeroDivisionError: an inner matter" in log
    number = log.split()[1]
    assert f"(reference {number})" in ran.err
    assert len(ran.err.splitlines()) == 1


def test_a_state_folder_that_cannot_be_written_is_passed_over(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    folders = [tmp_path / "file" / "deeper", tmp_path / "second"]
    monkeypatch.setattr(failures, "state_folders", lambda: iter(folders))
    monkeypatch.setattr(app.bootstrap, "jobs", broken)
    assert str(folders[1]) in run("suspects", DEMO).err
    monkeypatch.setattr(failures, "state_folders", lambda: iter(folders[:1]))
    assert "could not be written" in run("suspects", DEMO).err


def test_state_folders_end_in_the_temporary_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("LOCALAPPDATA", "XDG_STATE_HOME"):
        monkeypatch.delenv(name, raising=False)
    assert len(list(failures.state_folders())) >= 1
    assert all(folder.name == "loomwright" for folder in failures.state_folders())


def interrupted(*_: object, **__: object) -> None:
    raise KeyboardInterrupt


def test_stopping_is_one_sentence_and_130(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(app.bootstrap, "jobs", interrupted)
    ran = run("suspects", DEMO)
    assert ran.code == 130
    assert ran.err.startswith("Stopped.")
    assert len(ran.err.splitlines()) == 1

"""The installed command as a person runs it: another process, other code pages, Ctrl-C."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = [sys.executable, "-c", "import sys; from loomwright.cli import main; sys.exit(main())"]
DEMO = "examples/tarn-2300"


def run(*arguments: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    kept = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "FORCE_COLOR", "COLUMNS")}
    return subprocess.run(
        [*PROGRAM, *arguments],
        cwd=ROOT, env={**kept, **environment}, capture_output=True, timeout=120, check=False,
    )  # fmt: skip


def test_the_command_is_installed_under_its_name() -> None:
    found = Path(sys.executable).with_name("loomwright")
    done = subprocess.run([found, "check", DEMO], cwd=ROOT, capture_output=True, timeout=60)
    assert done.returncode == 0
    assert "✓ The job can be used" in done.stdout.decode("utf-8")


def test_the_whole_job_from_new_to_suspects(tmp_path: Path) -> None:
    place = str(tmp_path / "car")
    assert run("new", place).returncode == 0
    for line in (("check",), ("expect", "--all"), ("sees",), ("suspects",)):
        done = run(line[0], place, *line[1:])
        assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.parametrize("page", ["cp1252", "ascii", "utf-8"])
def test_any_code_page_gets_utf8(page: str) -> None:
    done = run("suspects", DEMO, "--json", PYTHONIOENCODING=page)
    assert done.returncode == 0
    told = json.loads(done.stdout.decode("utf-8"))
    assert "Ω" in told["suspects"][0]["because"][0]


def test_no_colour_in_a_pipe() -> None:
    assert b"\x1b" not in run("expect", DEMO, TERM="xterm-256color").stdout


def test_a_reader_that_goes_away_is_no_failure() -> None:
    with subprocess.Popen(
        [*PROGRAM, "expect", DEMO, "--all"],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert b"Traceback" not in process.stderr.read()


@pytest.mark.skipif(os.name == "nt", reason="signals are sent otherwise there")
def test_ctrl_c_ends_with_one_sentence(tmp_path: Path) -> None:
    waiting = (
        "import sys, time; from loomwright.cli import main, app;"
        "app.bootstrap.jobs = lambda: (print('ready', flush=True), time.sleep(60));"
        "sys.exit(main(['suspects', 'x']))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", waiting],
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        time.sleep(0.05)
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=30)
    assert process.returncode == 130
    assert said.decode("utf-8").strip().startswith("Stopped.")
    assert len(said.splitlines()) == 1


def test_the_demo_tells_the_whole_story() -> None:
    done = subprocess.run(
        [sys.executable, "examples/demo.py"],
        cwd=ROOT, env={**os.environ, "COLUMNS": "80", "NO_COLOR": "1"},
        capture_output=True, encoding="utf-8", timeout=120,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert "invented" in done.stdout
    places = [
        done.stdout.index(f"$ loomwright {name} ")
        for name in ("check", "expect", "sees", "suspects", "trace", "plan", "prove")
    ]
    assert places == sorted(places)
    assert "loomwright new my-car" in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 80

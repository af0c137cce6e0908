"""import, export, backup and restore in processes of their own, as at a terminal."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DEMO = "examples/tarn-2300"
PROGRAM = "import sys; from loomwright.cli import main; sys.exit(main())"
SEVERAL = """
import contextlib, io, json, sys
from loomwright.cli import main
for line in json.loads(sys.argv[1]):
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(line)
    print(json.dumps([code, out.getvalue(), err.getvalue()]))
"""
"""Command after command; starting a process takes far longer than what they do."""


def run(*arguments: str, data: Path) -> subprocess.CompletedProcess[str]:
    return started(PROGRAM, *arguments, "--data", str(data))


def run_each(*lines: tuple[str, ...], data: Path) -> list[subprocess.CompletedProcess[str]]:
    """Several commands, one after the other in one process."""
    told = json.dumps([[*line, "--data", str(data)] for line in lines])
    ran = started(SEVERAL, told)
    assert (ran.returncode, ran.stderr) == (0, "")
    found = [json.loads(row) for row in ran.stdout.splitlines()]
    assert len(found) == len(lines)
    return [subprocess.CompletedProcess([], code, out, err) for code, out, err in found]


def started(program: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    plain = {k: v for k, v in os.environ.items() if not k.startswith(("DJANGO", "LOOMWRIGHT"))}
    return subprocess.run(
        [sys.executable, "-c", program, *arguments],
        capture_output=True, encoding="utf-8", timeout=60, cwd=ROOT,
        env={**plain, "COLUMNS": "80", "NO_COLOR": "1"},
    )  # fmt: skip


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a workshop that holds the demo."""
    data = tmp_path_factory.mktemp("workshop")
    ran = run("import", DEMO, data=data)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert 'keeps "tarn-2300" now' in ran.stdout
    assert "4 photos" in ran.stdout
    return data


def test_a_second_import_stays_out_unless_it_is_to_replace(filled: Path) -> None:
    ran, over = run_each(("import", DEMO), ("import", DEMO, "--over"), data=filled)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert 'there is a job "tarn-2300" already' in ran.stderr
    assert over.returncode == 0


def test_every_problem_of_a_broken_job_is_told(filled: Path) -> None:
    ran = run("import", "examples/broken", data=filled)
    assert ran.returncode == 2
    assert "22 problems to mend." in ran.stderr
    assert "Traceback" not in ran.stderr


def test_what_is_not_there_is_told(filled: Path, tmp_path: Path) -> None:
    lines = (
        ("import", str(tmp_path / "none")),
        ("export", "none", str(tmp_path / "out")),
        ("restore", str(tmp_path / "none.zip")),
    )
    for line, ran in zip(lines, run_each(*lines, data=filled), strict=True):
        assert (ran.returncode, ran.stdout) == (2, ""), line
        assert ran.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_a_workbook_says_that_photos_stay_behind(filled: Path, tmp_path: Path) -> None:
    ran = run("export", "tarn-2300", str(tmp_path / "car.xlsx"), data=filled)
    assert "4 photos left behind" in ran.stdout
    assert (tmp_path / "car.xlsx").is_file()


def test_a_backup_fills_an_empty_workshop_and_no_other(filled: Path, tmp_path: Path) -> None:
    file, other = str(tmp_path / "b.zip"), tmp_path / "other"
    made = run("backup", file, data=filled)
    assert "1 job, 391 rows, 4 photos" in " ".join(made.stdout.split())
    assert "but not the key" in " ".join(made.stdout.split())
    put = run("restore", file, data=other)
    assert (put.returncode, put.stderr) == (0, "")
    out = tmp_path / "out"
    _, again, over = run_each(
        ("export", "tarn-2300", str(out)), ("restore", file), ("restore", file, "--over"),
        data=other,
    )  # fmt: skip
    assert len(list((out / "photos").iterdir())) == 4
    assert again.returncode == 2
    assert "--over" in again.stderr
    assert over.returncode == 0


@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write anywhere")
def test_a_place_that_cannot_be_written_is_told(filled: Path, tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    ran = run("backup", str(tmp_path / "b.zip"), data=filled)
    assert ran.returncode == 4

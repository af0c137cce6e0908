"""import, export, backup and restore, each in a process of its own, as at a terminal."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
DEMO = "examples/tarn-2300"
PROGRAM = "import sys; from loomwright.cli import main; sys.exit(main())"


def run(*arguments: str, data: Path) -> subprocess.CompletedProcess[str]:
    plain = {k: v for k, v in os.environ.items() if not k.startswith(("DJANGO", "LOOMWRIGHT"))}
    return subprocess.run(
        [sys.executable, "-c", PROGRAM, *arguments, "--data", str(data)],
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
    ran = run("import", DEMO, data=filled)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert 'there is a job "tarn-2300" already' in ran.stderr
    assert run("import", DEMO, "--over", data=filled).returncode == 0


def test_every_problem_of_a_broken_job_is_told(filled: Path) -> None:
    ran = run("import", "examples/broken", data=filled)
    assert ran.returncode == 2
    assert "22 problems to mend." in ran.stderr
    assert "Traceback" not in ran.stderr


def test_what_is_not_there_is_told(filled: Path, tmp_path: Path) -> None:
    for line in (
        ("import", str(tmp_path / "none")),
        ("export", "none", str(tmp_path / "out")),
        ("restore", str(tmp_path / "none.zip")),
    ):
        ran = run(*line, data=filled)
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
    assert "1 job, 363 rows, 4 photos" in " ".join(made.stdout.split())
    assert "but not the key" in " ".join(made.stdout.split())
    put = run("restore", file, data=other)
    assert (put.returncode, put.stderr) == (0, "")
    out = tmp_path / "out"
    run("export", "tarn-2300", str(out), data=other)
    assert len(list((out / "photos").iterdir())) == 4
    again = run("restore", file, data=other)
    assert again.returncode == 2
    assert "--over" in again.stderr
    assert run("restore", file, "--over", data=other).returncode == 0


@pytest.mark.skipif(hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write anywhere")
def test_a_place_that_cannot_be_written_is_told(filled: Path, tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    ran = run("backup", str(tmp_path / "b.zip"), data=filled)
    assert ran.returncode == 4

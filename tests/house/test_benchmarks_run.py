"""Every benchmark still runs: a few seconds each, its figures looked at only for being there."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
BENCHMARKS = sorted((HOUSE / "benchmarks").glob("bench_*.py"))
HEADS = re.compile(r"^ +figure +measured +target +verdict$", re.MULTILINE)


def test_there_are_benchmarks() -> None:
    assert len(BENCHMARKS) == 13


@pytest.mark.parametrize("script", BENCHMARKS, ids=lambda path: path.stem)
def test_a_quick_run_prints_its_figures_and_judges_nothing(script: Path) -> None:
    run = subprocess.run(
        [sys.executable, str(script), "--quick"],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
        cwd=HOUSE,
    )
    assert run.returncode == 0, run.stderr[-2000:]
    assert run.stdout.startswith("Machine: ")
    assert HEADS.search(run.stdout)
    assert "Quick run" in run.stdout
    verdicts = re.findall(r"(NOT MET|not judged|met)$", run.stdout, re.MULTILINE)
    assert set(verdicts) == {"not judged"}


def test_the_table_of_benchmarks_names_each() -> None:
    listed = (HOUSE / "benchmarks" / "README.md").read_text(encoding="utf-8")
    assert [path.name for path in BENCHMARKS if f"`{path.name}`" not in listed] == []

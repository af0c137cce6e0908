"""Help starts at once: what is heavy is loaded when a command needs it."""

from __future__ import annotations

import subprocess
import sys

import pytest

HEAVY = {"numpy", "scipy", "openpyxl", "rich", "pandas", "matplotlib", "typst", "segno"}
PROGRAM = """
import sys, time
from loomwright.cli import main
code = main({arguments!r})
print("\\nLOADED", time.process_time(), code, *sys.modules)
"""


def started(*arguments: str) -> tuple[float, set[str]]:
    """Processor seconds and packages loaded."""
    run = subprocess.run(
        [sys.executable, "-c", PROGRAM.format(arguments=arguments)],
        capture_output=True, encoding="utf-8", check=True, timeout=60,
    )  # fmt: skip
    seconds, code, *modules = run.stdout.split("LOADED ")[1].split()
    assert code in ("0", "2")
    return float(seconds), {name.partition(".")[0] for name in modules}


@pytest.mark.parametrize(
    "line", [("--help",), ("suspects", "--help"), ("print", "--help"), ("frob",)], ids=str
)
def test_help_loads_nothing_heavy(line: tuple[str, ...]) -> None:
    assert started(*line)[1] & HEAVY == set()


def test_help_starts_in_a_third_of_a_second() -> None:
    assert min(started("--help")[0] for _ in range(3)) < 0.3


def test_a_check_of_a_folder_needs_no_numbers(tmp_path: object) -> None:
    loaded = started("check", "examples/broken")[1]
    assert loaded & {"numpy", "scipy", "openpyxl"} == set()

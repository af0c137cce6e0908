"""Commands start quickly: what is heavy is loaded when it is touched."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from sample import jobs as sample


def loaded_after(code: str) -> set[str]:
    report = f"import sys\n{code}\nprint('\\n'.join(sys.modules))"
    run = subprocess.run(
        [sys.executable, "-c", report], capture_output=True, text=True, check=True, timeout=60
    )
    return {name.partition(".")[0] for name in run.stdout.split()}


@pytest.mark.parametrize("room", ["loom", "storage.job_folder", "bootstrap", "services.ports"])
def test_a_room_is_imported_without_what_it_may_never_need(room: str) -> None:
    heavy = {"openpyxl", "numpy", "scipy", "pandas", "typer", "rich"}
    assert loaded_after(f"import loomwright.{room}") & heavy == set()


def test_a_folder_is_read_without_the_workbook_library(tmp_path: Path) -> None:
    place = sample.laid_out(tmp_path / "job")
    code = f"from loomwright.bootstrap import jobs\njobs().read({str(place)!r})"
    assert "openpyxl" not in loaded_after(code)

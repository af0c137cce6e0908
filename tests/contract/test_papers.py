"""Every place for papers keeps the law of `services.ports.Papers`."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from loomwright.loom import StorageFailed
from loomwright.services.ports import Papers
from loomwright.storage.memory import MemoryPapers
from loomwright.storage.paper_folder import PaperFolder

Kept = Callable[[str], bytes]


@pytest.fixture(params=["folder", "memory"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Papers, Kept]:
    if request.param == "folder":
        made = tmp_path / "new" / "papers"
        return PaperFolder(made), lambda name: (made / name).read_bytes()
    memory = MemoryPapers()
    return memory, lambda name: memory.kept[name]


def test_what_was_put_last_stands_there(place: tuple[Papers, Kept]) -> None:
    papers, kept = place
    papers.put("CU.svg", b"first")
    assert papers.put("CU.svg", "second Ω".encode()).endswith("CU.svg")
    papers.put("TE.svg", b"other")
    assert kept("CU.svg").decode() == "second Ω"
    assert kept("TE.svg") == b"other"


@pytest.mark.parametrize("name", ["", ".", "..", "../CU.svg", "a/b.svg", "a\\b.svg", "C:x", "a\0b"])
def test_a_name_leads_nowhere_else(place: tuple[Papers, Kept], name: str) -> None:
    with pytest.raises(StorageFailed) as failure:
        place[0].put(name, b"x")
    assert "is no name of a file" in failure.value.what


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    with pytest.raises(StorageFailed) as failure:
        PaperFolder(tmp_path / "taken").put("CU.svg", b"x")
    assert "cannot be written" in failure.value.what


def test_nothing_half_written_is_left(tmp_path: Path) -> None:
    PaperFolder(tmp_path).put("CU.svg", b"x")
    assert [path.name for path in tmp_path.iterdir()] == ["CU.svg"]

"""`print`: papers by kind, names that help, nothing half done, and what was done when stopped."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from loomwright.documents import pack
from loomwright.loom.errors import Stopped

Run = Callable[..., Any]
DEMO = "examples/tarn-2300"


def test_papers_are_put_in_the_folder_and_named(run: Run, tmp_path: Path) -> None:
    line = ("print", DEMO, "--only", "tests, labels", "--date", "2026-03-21")
    done = run(*line, "--out", str(tmp_path))
    assert (done.code, done.err) == (0, "")
    names = {"test-sheet.pdf", "labels-plugs.pdf", "labels-wires.pdf", "labels-strips.pdf"}
    assert {path.name for path in tmp_path.iterdir()} == names
    told = " ".join(done.out.split())
    pages = sum(len(PdfReader(path).pages) for path in tmp_path.iterdir())
    assert f"Made 4 papers, {pages} pages:" in told
    assert "Strips for clear heat-shrink" in told
    assert "hold it against the car" in told
    assert max(map(len, done.out.splitlines())) <= 80 or str(tmp_path) in done.out


def test_the_day_and_the_sheet_are_as_asked(run: Run, tmp_path: Path) -> None:
    line = ("print", DEMO, "--only", "labels", "--paper", "letter", "--date", "2026-03-21")
    assert run(*line, "--out", str(tmp_path)).code == 0
    page = PdfReader(tmp_path / "labels-plugs.pdf").pages[0]
    assert "2026-03-21" in page.extract_text()
    assert (float(page.mediabox.width), float(page.mediabox.height)) == (612.0, 792.0)


def test_the_same_day_gives_the_same_files(run: Run, tmp_path: Path) -> None:
    line = ("print", DEMO, "--only", "tests", "--date", "2026-03-21", "--out")
    for name in ("one", "other"):
        assert run(*line, str(tmp_path / name)).code == 0
    one, other = (tmp_path / name / "test-sheet.pdf" for name in ("one", "other"))
    assert one.read_bytes() == other.read_bytes()


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (("--only", "labls"), 'only: there is no paper "labls". Did you mean "labels"?'),
        (("--only", "tests,xyzzy"), 'there is no paper "xyzzy". Name some of '),
        (("--paper", "a3"), 'paper: there is no sheet "a3". Give a4 or letter.'),
        (("--date", "21.3.2026"), 'date: "21.3.2026" is no day'),
        (("--labels", "3x9"), 'no sheet of labels "3x9" on a4. Give 3x7 or 5x13 or 3x8.'),
        (("--labels", "3x8", "--paper", "letter"), '"3x8" on letter. Give 3x10.'),
        (("--offer", "all of it"), 'there is no offer "all of it"'),
    ],
)
def test_what_there_is_not_is_told_and_nothing_is_written(
    run: Run, tmp_path: Path, line: tuple[str, ...], says: str
) -> None:
    done = run("print", DEMO, *line, "--out", str(tmp_path / "new"))
    assert (done.code, done.out) == (2, "")
    assert says in done.err
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize("stop", [KeyboardInterrupt, lambda: Stopped("the work was stopped")])
def test_stopped_on_the_way_it_names_what_is_finished(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop: Callable[[], BaseException]
) -> None:
    whole = pack.KINDS["labels"].papers

    def one_only(*given: Any) -> Iterator[Any]:
        yield next(whole(*given))
        raise stop()

    monkeypatch.setitem(pack.KINDS, "labels", pack.Kind("labels", one_only))
    done = run("print", DEMO, "--only", "labels", "--out", str(tmp_path))
    assert (done.code, done.out) == (130, "")
    assert "labels-plugs.pdf" in done.err
    assert "Run it again for the others." in done.err
    assert [path.name for path in tmp_path.iterdir()] == ["labels-plugs.pdf"]


def test_a_disk_that_refuses_is_told(run: Run, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    done = run("print", DEMO, "--only", "labels", "--out", str(tmp_path / "taken"))
    assert (done.code, done.out) == (4, "")
    assert "cannot be written" in done.err


def test_a_job_with_nothing_to_print_says_so(run: Run, tmp_path: Path) -> None:
    job = tmp_path / "bare"
    job.mkdir()
    (job / "job.csv").write_text("title\nBare\n", encoding="utf-8")
    done = run("print", str(job), "--only", "labels", "--out", str(tmp_path / "new"))
    assert (done.code, done.err) == (0, "")
    assert "nothing to print" in done.out
    assert not (tmp_path / "new").exists()

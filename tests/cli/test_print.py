"""`print`: papers by kind, names that help, nothing half done, and what was done when stopped."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import attrs
import pytest
from PIL import Image
from pypdf import PdfReader

from loomwright import bootstrap
from loomwright.documents import pack
from loomwright.loom.errors import Stopped
from loomwright.storage.job_folder import FolderPhotos

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


def test_what_was_done_and_its_photos_come_onto_the_report(run: Run, tmp_path: Path) -> None:
    job = tmp_path / "job"
    shutil.copytree(DEMO, job)
    (job / "job.csv").write_text(_with_offer(job / "job.csv", "only what failed"), "utf-8")
    tasks = (
        "task,item,step,nth,state,done_at,by\nD1,TE,record,1,done,2026-03-20 10:05,first bench\n"
    )
    (job / "tasks.csv").write_text(tasks, encoding="utf-8")
    (job / "photos.csv").write_text("photo,item,note\nte.png,TE,seen\nno.jpg,TE,\n", "utf-8")
    Image.new("RGB", (1200, 900), "navy").save(job / "photos" / "te.png")
    line = ("print", str(job), "--only", "report,cover", "--date", "2026-03-21")
    done = run(*line, "--out", str(tmp_path / "papers"))
    assert (done.code, done.err) == (0, "")
    report = PdfReader(tmp_path / "papers" / "before-and-after-report.pdf")
    words = " ".join(" ".join(page.extract_text() for page in report.pages).split())
    assert "Steps done: record." in words
    assert "TE: seen." in words
    assert "no picture that can be printed: no.jpg." in words
    assert [each.image.size for page in report.pages for each in page.images] == [(900, 675)]
    cover = PdfReader(tmp_path / "papers" / "cover.pdf").pages[0].extract_text()
    assert "only what failed" in cover


def _with_offer(path: Path, offer: str) -> str:
    head, row = path.read_text(encoding="utf-8").splitlines()
    return f"{head},offer\n{row},{offer}\n"


@pytest.mark.parametrize("form", ["zip", "xlsx"])
def test_a_job_without_room_for_photos_names_them(run: Run, tmp_path: Path, form: str) -> None:
    known = attrs.evolve(bootstrap.jobs().read(DEMO), readings=())  # little to find out
    place = tmp_path / f"job.{form}"
    bootstrap.jobs().write(place, known)
    line = ("print", str(place), "--only", "report", "--out", str(tmp_path))
    assert run(*line).code == 0
    report = PdfReader(tmp_path / "before-and-after-report.pdf")
    assert "te-torn-boot.svg" in " ".join(page.extract_text() for page in report.pages)


def test_papers_without_photos_read_none(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(FolderPhotos, "read", lambda *_: pytest.fail("a photo was read"))
    assert run("print", DEMO, "--only", "tests", "--out", str(tmp_path)).code == 0

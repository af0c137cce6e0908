"""Every message about files, held by a golden file that a person reads."""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import openpyxl
import pytest

from loomwright.loom import About, ForeignTable, InputProblems, Job, NotFound, StorageFailed
from loomwright.storage import limits
from loomwright.storage.job_folder import JobFolder
from loomwright.storage.memory import JobMemory
from sample import jobs as sample
from sample.golden import assert_golden

GOLDEN = Path(__file__).with_name("golden_messages.txt")
JOBS = JobFolder()
Step = Callable[[Path], object]


def table_of(data: bytes, name: str = "zones.csv") -> Step:
    def step(place: Path) -> object:
        folder = sample.laid_out(place / "job")
        (folder / name).write_bytes(data)
        return JOBS.inspect(folder)

    return step


def file_of(data: bytes, name: str) -> Step:
    def step(place: Path) -> object:
        (place / name).write_bytes(data)
        return JOBS.inspect(place / name)

    return step


def zip_of(*names: str) -> Step:
    def step(place: Path) -> object:
        with zipfile.ZipFile(place / "job.zip", "w") as archive:
            for name in names:
                archive.writestr(zipfile.ZipInfo(name), "title\nA\n")
        return JOBS.inspect(place / "job.zip")

    return step


def workbook_of(cells: dict[str, object], title: str = "job") -> Step:
    def step(place: Path) -> object:
        book = openpyxl.Workbook()
        book.worksheets[0].title = title
        book.worksheets[0].append(["title"])
        for coordinate, value in cells.items():
            book.worksheets[0][coordinate] = value
        book.save(place / "job.xlsx")
        return JOBS.inspect(place / "job.xlsx")

    return step


def many_tables(place: Path) -> object:
    for number in range(limits.MAX_TABLES + 1):
        (place / f"t{number}.csv").write_text("a\n")
    return JOBS.inspect(place)


def no_plain_file(place: Path) -> object:
    (place / "job.csv").mkdir()
    return JOBS.inspect(place)


def under_a_file(place: Path) -> object:
    (place / "file").write_text("x")
    return JOBS.write(place / "file" / "job", Job(about=About(title="a")))


STEPS: dict[str, Step] = {
    "another encoding": table_of("zone\nKühler\n".encode("latin-1")),
    "sixteen bits": table_of("zone\n".encode("utf-16-le")),
    "quotes": table_of(b'zone\n"Z"x\n'),
    "endless cell": table_of(b'zone\n"' + b"x" * 200_000),
    "long cell": table_of(b"zone\n" + b"x" * 10_001),
    "control character": table_of(b"zone\n\x07\n"),
    "rows": table_of(b"zone\n" + b"Z\n" * 5001),
    "columns": table_of(b"zone" + b",x" * 200),
    "size": table_of(b"x" * (limits.MAX_TABLE_BYTES + 1)),
    "somebody else's": table_of(b"\xff", "trace.csv"),
    "name": table_of(b"a\n1\n", "what is this? a table of some sort.csv"),
    "tables": many_tables,
    "no plain file": no_plain_file,
    "no job": file_of(b"x", "wires.csv"),
    "other program": file_of(b"x", "job.ods"),
    "picture": file_of(b"x", "job.jpg"),
    "no zip": file_of(b"x", "job.zip"),
    "outside": zip_of("../job.csv"),
    "twice": zip_of("job.csv", "Job.csv"),
    "several": zip_of("a/job.csv", "b/job.csv"),
    "no workbook": file_of(b"x", "job.xlsx"),
    "formula": workbook_of({"A2": "=1+1"}),
    "failed formula": workbook_of({"A2": "#REF!"}),
    "sheet name": workbook_of({"A2": "x"}, title="(job)"),
    "not there": lambda place: JOBS.read(place / "nowhere"),
    "zip not there": lambda place: JOBS.read(place / "nowhere.zip"),
    "name not there": lambda _: JobMemory().read("nowhere"),
    "unwritable text": lambda place: JOBS.write(place / "j", Job(about=About(title="a\0b"))),
    "unwritable name": lambda place: JOBS.write(
        place / "j", Job(about=About(title="a"), foreign=(ForeignTable("../x", ("a",), ()),))
    ),
    "unwritable place": under_a_file,
}


def told(step: Step, place: Path) -> Iterator[str]:
    try:
        result = step(place)
    except InputProblems as refusal:
        yield from (each.sentence for each in refusal.problems)
    except (NotFound, StorageFailed) as failure:
        yield str(failure)
    else:
        assert isinstance(result, tuple)
        for each in result[1]:
            yield f"{'warning: ' * each.warning}{each.sentence}"


def test_every_message_reads_as_the_golden_file_says(tmp_path: Path) -> None:
    lines = []
    for number, (name, step) in enumerate(STEPS.items()):
        place = tmp_path / str(number)
        place.mkdir()
        lines.append(f"# {name}")
        lines += [line.replace(str(place), "PLACE") for line in told(step, place)]
    assert_golden(GOLDEN, lines)


@pytest.mark.parametrize("line", GOLDEN.read_text(encoding="utf-8").splitlines())
def test_a_message_is_calm_and_whole(line: str) -> None:
    if line.startswith("# "):
        return
    for word in ("error", "invalid", "illegal", "exception", "!", "please"):
        assert word not in line.lower().replace("#ref!", "")
    assert line[-1] in ".?"

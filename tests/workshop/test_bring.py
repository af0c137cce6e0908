"""A job comes in as a file and goes out as one, over the pages."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import attrs
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from loomwright.loom import Job
from loomwright.storage.job_folder import FolderPhotos, JobFolder
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.keeping import back_up

pytestmark = pytest.mark.django_db
PAGE = "/jobs/bring/"


@pytest.fixture
def packed(tmp_path: Path, demo_job: Job) -> bytes:
    path = tmp_path / "car.zip"
    JobFolder().write(path, demo_job)
    FolderPhotos().write(path, "plan.svg", b'<svg xmlns="http://www.w3.org/2000/svg"/>')
    return path.read_bytes()


def upload(name: str, content: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


def test_a_zip_becomes_a_job_with_its_photos(here: Client, packed: bytes, demo_job: Job) -> None:
    answer = here.post(PAGE, {"file": upload("Tarn 2300.zip", packed), "name": ""})
    assert (answer.status_code, answer.headers["Location"]) == (303, "/jobs/tarn-2300/")
    assert BENCH.jobs.read("tarn-2300") == demo_job
    assert PHOTOS.names("tarn-2300") == ("plan.svg",)


def test_a_workbook_becomes_a_job(here: Client, tmp_path: Path, demo_job: Job) -> None:
    JobFolder().write(tmp_path / "car.xlsx", demo_job)
    file = upload("car.xlsx", (tmp_path / "car.xlsx").read_bytes())
    assert here.post(PAGE, {"file": file, "name": "runs-rich"}).status_code == 303
    assert BENCH.jobs.read("runs-rich") == demo_job


def test_a_backup_of_the_workshop_is_known_and_sent_to_its_place(
    here: Client, tmp_path: Path
) -> None:
    back_up(str(tmp_path / "all.zip"))
    file = upload("all.zip", (tmp_path / "all.zip").read_bytes())
    answer = here.post(PAGE, {"file": file, "name": ""})
    assert answer.status_code == 400
    assert "a backup of the whole workshop" in answer.content.decode()
    assert "loomwright restore FILE" in answer.content.decode()


def test_all_that_is_wrong_is_told_at_once_and_nothing_kept(
    here: Client, tmp_path: Path, demo_job: Job
) -> None:
    wires = [attrs.evolve(wire, section_mm2=40.0) for wire in demo_job.wires]
    JobFolder().write(tmp_path / "car.zip", attrs.evolve(demo_job, wires=tuple(wires)))
    file = upload("car.zip", (tmp_path / "car.zip").read_bytes())
    answer = here.post(PAGE, {"file": file, "name": "car"})
    assert answer.status_code == 400
    assert answer.content.decode().count("does not fit a plug") > 50
    assert not BENCH.jobs.exists("car")


@pytest.mark.parametrize(
    ("name", "content", "told"),
    [
        ("car.zip", b"no zip", "damaged, cut short"),
        ("car.xlsx", b"no workbook", "damaged, cut short"),
        ("car.pdf", b"%PDF", "choose a .zip or an .xlsx file"),
        ("car", b"x", "choose a .zip or an .xlsx file"),
    ],
)
def test_a_file_that_is_no_job_is_refused_in_words(
    here: Client, name: str, content: bytes, told: str
) -> None:
    answer = here.post(PAGE, {"file": upload(name, content), "name": "car"})
    assert answer.status_code == 400
    assert told.casefold() in answer.content.decode().casefold()


def test_no_file_is_told(here: Client) -> None:
    answer = here.post(PAGE, {"name": "car"})
    assert answer.status_code == 400
    assert "no file was chosen" in answer.content.decode()


def test_a_name_that_is_taken_is_told_beside_its_field(
    demo: str, here: Client, packed: bytes
) -> None:
    before = BENCH.jobs.read(demo)
    answer = here.post(PAGE, {"file": upload("tarn-2300.zip", packed), "name": ""})
    text = answer.content.decode()
    assert answer.status_code == 400
    assert 'id="f-name-error"' in text
    assert BENCH.jobs.read(demo) == before
    assert PHOTOS.names(demo) == ()
    fields = {"file": upload("tarn-2300.zip", packed), "over": "1"}
    assert here.post(PAGE, fields).status_code == 303
    assert PHOTOS.names(demo) == ("plan.svg",)


def test_the_page_asks_for_a_file(here: Client) -> None:
    text = here.get(PAGE).content.decode()
    assert 'type="file"' in text
    assert 'enctype="multipart/form-data"' in text


def test_a_job_goes_out_and_comes_back_the_same(
    demo: str, here: Client, demo_job: Job, tmp_path: Path
) -> None:
    PHOTOS.write(demo, "plan.svg", b'<svg xmlns="http://www.w3.org/2000/svg"/>')
    answer = here.get(f"/jobs/{demo}/take-out/")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="tarn-2300.zip"'
    content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    answer.close()
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
    (tmp_path / "out.zip").write_bytes(content)
    assert JobFolder().read(tmp_path / "out.zip") == demo_job
    assert FolderPhotos().names(tmp_path / "out.zip") == ("plan.svg",)


def test_a_job_that_is_not_there_cannot_go_out(here: Client) -> None:
    assert here.get("/jobs/nowhere/take-out/").status_code == 404

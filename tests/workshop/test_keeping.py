"""Backups: all of the workshop, as it was at one moment, or a clear refusal."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth import get_user_model
from django.contrib.sessions.models import Session
from django.db import OperationalError, connection
from django.test import Client

from loomwright.loom import InputProblems, NotFound, StorageFailed
from loomwright.services.entering import enter
from loomwright.workshop.bench import BENCH, PHOTOS
from loomwright.workshop.changes import changes
from loomwright.workshop.data_folder import data_folder
from loomwright.workshop.keeping import back_up, put_back
from loomwright.workshop.models import KeptJob, TakenEntry
from loomwright.workshop.photo_store import digest_of, original
from loomwright.workshop.record_text import KINDS
from loomwright.workshop.shelf import made_shelf
from sample import jobs as sample

pytestmark = pytest.mark.django_db(transaction=True)
Members = dict[str, bytes]


def kept_now() -> dict[str, list[Any]]:
    """Every record of the workshop."""
    return {
        kind: list(model._default_manager.order_by("pk").values()) for kind, model in KINDS.items()
    }


def read_members(path: Path) -> Members:
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def write_members(path: Path, members: Members, *, sealed: bool = True) -> None:
    """Pack them; when `sealed` the manifest tells the digests of what stands there now."""
    if sealed:
        manifest = json.loads(members["manifest.json"])
        manifest["members"] = {
            name: hashlib.sha256(content).hexdigest()
            for name, content in members.items()
            if name != "manifest.json"
        }
        members = {**members, "manifest.json": json.dumps(manifest).encode()}
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in members.items():
            archive.writestr(name, content)


def with_lines(members: Members, change: Callable[[dict[str, Any]], None]) -> Members:
    """The same with every record changed."""
    lines = []
    for line in members["workshop.jsonl"].splitlines():
        record = json.loads(line)
        change(record)
        lines.append(json.dumps(record).encode() + b"\n")
    return {**members, "workshop.jsonl": b"".join(lines)}


@pytest.fixture
def lived_in() -> str:
    """A workshop in which people have worked."""
    BENCH.jobs.write("tarn-2300", sample.job())
    PHOTOS.write("tarn-2300", "t1.jpg", b"one")
    PHOTOS.write("tarn-2300", "t1.jpg", b"two")
    PHOTOS.remove("tarn-2300", "t1.jpg")
    PHOTOS.write("tarn-2300", "t2.jpg", b"three")
    row = BENCH.rows.rows("tarn-2300", "readings")[0]
    enter(BENCH, "tarn-2300", "readings", {"note": "Ω looked again"}, key=row.key)
    sam = get_user_model().objects.create(username="Sam")
    TakenEntry.objects.create(token="abc-12345678", led_to="/")
    KeptJob.objects.update(closed=True)
    Client().force_login(sam)
    made_shelf()
    return "tarn-2300"


@pytest.fixture
def backup(lived_in: str, tmp_path: Path) -> Path:
    back_up(str(tmp_path / "b.zip"))
    return tmp_path / "b.zip"


def refused(path: Path) -> list[str]:
    before = kept_now()
    with pytest.raises(InputProblems) as caught:
        put_back(str(path), over=True)
    assert kept_now() == before
    return [each.sentence for each in caught.value.problems]


def test_all_that_was_there_comes_back_to_the_last_digit(lived_in: str, backup: Path) -> None:
    before, then = kept_now(), changes(lived_in)
    BENCH.jobs.write("other", BENCH.jobs.read(lived_in))
    KeptJob.objects.get(name=lived_in).delete()
    put_back(str(backup), over=True)
    assert kept_now() == before
    assert changes(lived_in) == then
    assert PHOTOS.read(lived_in, "t2.jpg") == b"three"


def test_photos_of_the_past_are_in_it(lived_in: str, backup: Path) -> None:
    shutil.rmtree(data_folder() / "photos")
    report = put_back(str(backup), over=True)
    assert report.photos == 3
    assert original(hashlib.sha256(b"one").hexdigest()).read_bytes() == b"one"
    assert original(digest_of(lived_in, "t2.jpg")).read_bytes() == b"three"


def test_a_backup_of_what_was_put_back_holds_the_same_records(backup: Path, tmp_path: Path) -> None:
    put_back(str(backup), over=True)
    back_up(str(tmp_path / "again.zip"))
    first, second = read_members(backup), read_members(tmp_path / "again.zip")
    assert first["workshop.jsonl"] == second["workshop.jsonl"]
    assert first.keys() == second.keys()


def test_what_is_written_afterwards_gets_keys_of_its_own(lived_in: str, backup: Path) -> None:
    put_back(str(backup), over=True)
    before = {row.key for row in BENCH.rows.rows(lived_in, "survey")}
    fresh = enter(BENCH, lived_in, "survey", {"item": "CU", "aspect": "terminal", "grade": "1"})
    assert fresh.key not in before


def test_no_secret_and_no_session_is_in_it_and_devices_say_again_who_they_are(
    lived_in: str, backup: Path
) -> None:
    assert Session.objects.exists()
    whole = b"".join(read_members(backup).values())
    for key in Session.objects.values_list("session_key", flat=True):
        assert key.encode() not in whole
    put_back(str(backup), over=True)
    assert not Session.objects.exists()


def test_a_workshop_with_jobs_or_a_filled_shelf_stays_as_it_is(backup: Path) -> None:
    before = kept_now()
    with pytest.raises(InputProblems) as caught:
        put_back(str(backup))
    assert "holds 1 job already" in caught.value.problems[0].sentence
    assert "--over" in caught.value.problems[0].sentence
    assert kept_now() == before
    KeptJob.objects.exclude(name=made_shelf()).delete()
    enter(BENCH, made_shelf(), "settings", {"name": "vat", "value": "0.19"})
    with pytest.raises(InputProblems, match="1 problem"):
        put_back(str(backup))


def test_an_empty_workshop_needs_no_leave(lived_in: str, backup: Path) -> None:
    before = kept_now()
    KeptJob.objects.all().delete()
    made_shelf()
    put_back(str(backup))
    assert kept_now() == before


def test_a_photo_whose_file_is_lost_or_damaged_is_told_and_the_rest_kept(
    lived_in: str, tmp_path: Path
) -> None:
    original(hashlib.sha256(b"one").hexdigest()).unlink()
    original(hashlib.sha256(b"two").hexdigest()).write_bytes(b"mould")
    made = back_up(str(tmp_path / "b.zip"))
    assert (made.photos, made.missing) == (1, 2)
    original(hashlib.sha256(b"two").hexdigest()).unlink()
    assert put_back(str(tmp_path / "b.zip"), over=True).missing == 2


@pytest.mark.parametrize("at", [0.02, 0.3, 0.6, 0.9, 0.999])
def test_a_damaged_byte_is_noticed_wherever_it_is(backup: Path, at: float) -> None:
    content = bytearray(backup.read_bytes())
    with zipfile.ZipFile(backup) as archive:
        entry = archive.infolist()[0]
    place = entry.header_offset + 60 + int(at * (entry.compress_size - 61))
    content[place] ^= 0x55
    backup.write_bytes(bytes(content))
    assert refused(backup)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.99])
def test_a_file_cut_short_is_refused(backup: Path, share: float) -> None:
    content = backup.read_bytes()
    backup.write_bytes(content[: int(share * len(content))])
    assert refused(backup)


def test_a_file_of_another_kind_is_refused(lived_in: str, tmp_path: Path) -> None:
    path = tmp_path / "b.zip"
    write_members(path, {"wires.csv": b"wire,from,to\n"}, sealed=False)
    assert "no backup of a workshop" in refused(path)[0]
    path.write_bytes(b"no zip at all")
    assert refused(path)
    with pytest.raises(NotFound):
        put_back(str(tmp_path / "not there.zip"))


def test_a_backup_of_a_later_program_says_so(backup: Path) -> None:
    members = read_members(backup)
    manifest = json.loads(members["manifest.json"]) | {"version": 2}
    write_members(backup, {**members, "manifest.json": json.dumps(manifest).encode()})
    assert "use the program that made it" in refused(backup)[0].casefold()


@pytest.mark.parametrize("name", ["../out", "photos/../../x", "notes.txt", "/etc/x"])
def test_members_that_no_backup_has_are_refused(backup: Path, name: str) -> None:
    members = read_members(backup)
    write_members(backup, {**members, name: b"x"})
    assert any("none of a backup's files" in each for each in refused(backup))
    write_members(backup, {**members, name: b"x"}, sealed=False)
    assert any("not in its manifest" in each for each in refused(backup))


def test_a_photo_that_is_missing_is_refused(backup: Path) -> None:
    members = read_members(backup)
    members.pop(next(name for name in members if name.startswith("photos/")))
    write_members(backup, dict(members), sealed=False)
    assert any("is missing" in each for each in refused(backup))
    write_members(backup, members)
    assert any("1 photos are missing" in each for each in refused(backup))


def test_a_photo_under_anothers_digest_is_refused(backup: Path) -> None:
    members = read_members(backup)
    name = next(name for name in members if name.startswith("photos/"))
    write_members(backup, {**members, name: b"another"})
    assert any("not called by its digest" in each for each in refused(backup))


def broken(kind: str, **values: Any) -> Callable[[dict[str, Any]], None]:
    def change(record: dict[str, Any]) -> None:
        if record["kind"] == kind:
            record["is"].update(values)

    return change


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (broken("row", cells=["a"]), "cells is of another shape"),
        (broken("row", cells={"wire": 1}), "cells is of another shape"),
        (broken("row", place=-1), "a record is damaged"),
        (broken("row", place="x" * 30), "a record is damaged"),
        (broken("row", table="x" * 41), "at most 40"),
        (broken("row", job_id=999), "belongs to nothing"),
        (broken("row", id=7), "stands in it twice"),
        (broken("job", name="a/b"), "a record is damaged"),
        (broken("job", name="same"), "stands in it twice"),
        (broken("job", foreign=[{"name": "x"}]), "foreign is of another shape"),
        (broken("job", columns={"no table": ["x"]}), "columns is of another shape"),
        (broken("job", opened_at=None), "opened_at is missing"),
        (broken("job", opened_at="yesterday"), "a record is damaged"),
        (broken("photo", extra=1), "has other fields"),
        (broken("photo", digest="0" * 64), "photos are missing"),
        (lambda record: record.update(kind="session"), "it is no record"),
    ],
)
def test_records_that_cannot_be_are_told_before_anything_is_replaced(
    backup: Path, change: Callable[[dict[str, Any]], None], told: str
) -> None:
    write_members(backup, with_lines(read_members(backup), change))
    assert any(told in each for each in refused(backup))


def test_a_record_that_is_left_out_is_noticed(backup: Path) -> None:
    members = read_members(backup)
    lines = members["workshop.jsonl"].splitlines(keepends=True)
    write_members(backup, {**members, "workshop.jsonl": b"".join(lines[:-1])})
    assert any("more or fewer records" in each for each in refused(backup))


def test_a_disk_that_fails_in_the_middle_leaves_all_as_it_was(
    backup: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = kept_now()

    def fails(*_: object) -> list[str]:
        raise OperationalError("the disk is full")

    monkeypatch.setattr(connection.ops, "sequence_reset_sql", fails)
    with pytest.raises(StorageFailed, match="database did not answer"):
        put_back(str(backup), over=True)
    assert kept_now() == before


# Each write moves both readings; in between they differ, and nobody else may see that.
BUSY = """
import sys, threading
from loomwright.workshop import serving
serving.made_ready(sys.argv[1])
from django.db import close_old_connections, connection
from loomwright.services.entering import enter
from loomwright.workshop.bench import BENCH
from loomwright.workshop.keeping import back_up

stop, written = threading.Event(), []
keys = [row.key for row in BENCH.rows.rows("demo", "readings")[:2]]

def write():
    number = 0
    while not stop.is_set():
        number += 1
        with BENCH.rows.held("demo"):
            for key in keys:
                BENCH.rows.put("demo", "readings", key, {
                    **next(r.cells for r in BENCH.rows.rows("demo", "readings") if r.key == key),
                    "note": f"n{number}"})
        written.append(number)
    connection.close()

writer = threading.Thread(target=write)
writer.start()
while not written:
    pass
for number in range(4):
    first = len(written)
    back_up(f"{sys.argv[2]}/{number}.zip")
    print("written meanwhile", len(written) - first)
stop.set()
writer.join()
"""


def run(*arguments: str, database: str = "") -> subprocess.CompletedProcess[str]:
    program = "import sys; from loomwright.cli import main; sys.exit(main())"
    command = [sys.executable, "-c", program, *arguments]
    environment = {**os.environ, "LOOMWRIGHT_DATABASE": database}
    environment.pop("DJANGO_SETTINGS_MODULE", None)
    return subprocess.run(
        command, capture_output=True, encoding="utf-8", check=True, timeout=120, env=environment
    )


def notes(path: Path) -> list[str]:
    """The notes of the first two readings in a backup, then those last written in their history.

    Rows and history are read one after the other, so only one moment makes them agree.
    """
    held = [json.loads(line) for line in read_members(path)["workshop.jsonl"].splitlines()]
    told = [(each["kind"], each["is"]) for each in held if "row" in each["kind"]]
    rows = [row for kind, row in told if kind == "row" and row["table"] == "readings"]
    first = sorted(rows, key=lambda row: row["place"])[:2]
    then = {row["id"]: row for kind, row in told if kind == "row_then"}  # the last one stays
    return [row["cells"].get("note", "") for row in (*first, *(then[row["id"]] for row in first))]


def test_a_backup_made_while_others_write_is_of_one_moment(tmp_path: Path) -> None:
    data = str(tmp_path / "data")
    demo = str(Path(__file__).parents[2] / "examples" / "tarn-2300")
    run("import", demo, "--as", "demo", "--data", data)
    environment = {k: v for k, v in os.environ.items() if not k.startswith("DJANGO")}
    busy = subprocess.run(
        [sys.executable, "-c", BUSY, data, str(tmp_path)],
        capture_output=True, encoding="utf-8", timeout=120, env=environment, check=True,
    )  # fmt: skip
    assert sum(int(line.split()[-1]) for line in busy.stdout.splitlines()) > 0, busy.stdout
    found = [notes(tmp_path / f"{number}.zip") for number in range(4)]
    assert all(len({*each}) == 1 for each in found), found
    assert len({each[0] for each in found}) > 1
    other = str(tmp_path / "other")
    run("restore", str(tmp_path / "3.zip"), "--data", other)
    run("export", "demo", str(tmp_path / "out"), "--data", other)
    lines = (tmp_path / "out" / "readings.csv").read_text().splitlines()[1:3]
    assert [line.rpartition(",")[2] for line in lines] == found[3][:2]


@pytest.fixture(scope="module")
def server() -> Iterator[str]:
    """A PostgreSQL server of this test's own; its address."""
    if not (shutil.which("initdb") and shutil.which("pg_ctl")):
        pytest.skip("no PostgreSQL server on this machine")
    folder = tempfile.mkdtemp(prefix="loomwright-pg-")
    who: dict[str, Any] = {}
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        import pwd

        if "postgres" not in {each.pw_name for each in pwd.getpwall()}:
            pytest.skip("PostgreSQL does not run as root, and there is nobody else")
        shutil.chown(folder, "postgres", "postgres")
        who = {"user": "postgres", "group": "postgres", "extra_groups": []}
    place = f"{folder}/data"
    options = f"-p 5499 -k {folder} -c listen_addresses= -c fsync=off"
    quiet: dict[str, Any] = {"check": True, "stdout": subprocess.DEVNULL, "cwd": folder, **who}
    subprocess.run(["initdb", "-D", place, "-A", "trust", "-U", "loom", "--no-sync"], **quiet)
    subprocess.run(["pg_ctl", "-D", place, "-w", "-o", options, "-l", f"{folder}/log", "start"],
                   **quiet)  # fmt: skip
    try:
        yield f"postgresql://loom@/postgres?host={folder}&port=5499"
    finally:
        subprocess.run(["pg_ctl", "-D", place, "-m", "immediate", "stop"], **quiet)
        shutil.rmtree(folder, ignore_errors=True)


def test_a_backup_moves_to_another_kind_of_database_and_back(
    backup: Path, tmp_path: Path, server: str
) -> None:
    data = str(tmp_path / "data")
    small = str(sample.laid_out(tmp_path / "small"))
    run("restore", str(backup), "--data", data, database=server)
    # Counters that were not moved on would give keys that are there already.
    run("import", small, "--as", "later", "--data", data, database=server)
    run("backup", str(tmp_path / "there.zip"), "--data", data, database=server)
    run("restore", str(tmp_path / "there.zip"), "--data", str(tmp_path / "back"))
    run("export", "tarn-2300", str(tmp_path / "out"), "--data", str(tmp_path / "back"))
    assert "Ω looked again" in (tmp_path / "out" / "readings.csv").read_text(encoding="utf-8")
    before, after = (
        [json.loads(line) for line in read_members(path)["workshop.jsonl"].splitlines()]
        for path in (backup, tmp_path / "there.zip")
    )
    assert [record for record in before if record not in after] == []

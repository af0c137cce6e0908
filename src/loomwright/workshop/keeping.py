"""Back up the whole workshop into one file, and put it back.

A backup holds the jobs, their history, their photos and the people's names. It holds no secrets:
neither the key that lets devices in nor the one that signs their sessions, since the file is made
to be carried about. After it was put back every device comes in and says who it is once more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from itertools import groupby, islice
from pathlib import Path

from django.contrib.sessions.models import Session
from django.core.management.color import no_style
from django.db import connection, transaction
from django.db.models import Model
from django.utils import timezone

from loomwright.loom import InputProblems, Problem, Where
from loomwright.services.backup import Backup
from loomwright.workshop.backup_file import (
    PHOTOS,
    RECORDS,
    BackupReader,
    BackupWriter,
    Manifest,
    checked_backup,
    new_backup,
)
from loomwright.workshop.models import KeptJob, KeptPhoto, KeptRow
from loomwright.workshop.photo_store import keep_file, original
from loomwright.workshop.record_text import KINDS, MOST_PROBLEMS, record_line, records, strays
from loomwright.workshop.shelf import SHELF
from loomwright.workshop.translating import translated

_BATCH = 500


def back_up(target: str) -> Backup:
    """Write the whole workshop, as it is at one moment, into one file.

    Others may go on writing meanwhile.

    Raises
    ------
    StorageFailed
        when the database does not answer, or the disk or a permission stops it.
    """
    counts: Counter[str] = Counter()
    path = Path(target)
    with new_backup(path) as writer:
        with translated(), _one_moment():
            made_at = timezone.now().isoformat()
            writer.add(RECORDS, _told(counts), packed=True)
            digests = _digests()
        # Files of photos never change and never go, so they may be copied afterwards.
        missing = [digest for digest in digests if not _add_photo(writer, digest)]
        manifest = Manifest(
            made_at=made_at, counts=dict(counts), members=dict(writer.members),
            missing=tuple(missing),
        )  # fmt: skip
        writer.close(manifest)
    return _report(path, manifest)


def put_back(source: str, *, over: bool = False) -> Backup:
    """Put a backup in the place of what the workshop holds, whole or not at all.

    The file is read through and checked before anything is replaced.

    Parameters
    ----------
    over : replace jobs that are there

    Raises
    ------
    InputProblems
        holding all that is wrong with the file, or that the workshop holds jobs already.
    NotFound, StorageFailed
        when there is no such file, or the database or disk fails.
    """
    path = Path(source)
    with checked_backup(path) as backup:
        _check(backup, path.name)
        _refuse_to_replace(over=over)
        for digest, content in backup.photos():
            keep_file(digest, content)
        with translated(), transaction.atomic():
            _refuse_to_replace(over=over)  # once more, now that nobody else writes
            _empty()
            _fill(backup)
        return _report(path, backup.manifest)


@contextmanager
def _one_moment() -> Iterator[None]:
    """All that is read inside is of one moment."""
    if connection.vendor != "sqlite":
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
    elif connection.in_atomic_block:
        yield
    else:
        # Not `atomic`, which takes the writer's lock: everybody would wait.
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
            try:
                yield
            finally:
                cursor.execute("ROLLBACK")


def _told(counts: Counter[str]) -> Iterator[bytes]:
    for kind, model in KINDS.items():
        found = model._default_manager.order_by("pk").iterator(chunk_size=_BATCH)
        for record in found:
            counts[_counted_as(kind, record)] += 1
            yield record_line(kind, record)


def _counted_as(kind: str, record: Model) -> str:
    return "shelf" if isinstance(record, KeptJob) and record.name == SHELF else kind


def _digests() -> list[str]:
    """Of every photo that is kept or once was."""
    kept = KeptPhoto.objects.values_list("digest", flat=True)
    once = KeptPhoto.history.values_list("digest", flat=True)
    return sorted({*kept, *once})


def _add_photo(writer: BackupWriter, digest: str) -> bool:
    """Add the file of a photo; whether it was there and whole."""
    try:
        content = original(digest).read_bytes()
    except OSError:
        return False
    if sha256(content).hexdigest() != digest:
        return False
    writer.add(f"{PHOTOS}{digest}", [content], packed=False)
    return True


def _check(backup: BackupReader, name: str) -> None:
    """Nothing, or a refusal.

    Raises
    ------
    InputProblems
        when the records do not hold together.
    """
    counts: Counter[str] = Counter()
    digests: set[str] = set()

    def counted() -> Iterator[tuple[str, Model]]:
        for kind, record in records(backup.lines()):
            counts[_counted_as(kind, record)] += 1
            digests.update(filter(None, [getattr(record, "digest", None)]))
            yield kind, record

    wrong: list[str] = []
    for each in strays(counted()):  # to the end, where records that are damaged are told
        wrong += [each] if len(wrong) < MOST_PROBLEMS else []
    there = {member.removeprefix(PHOTOS) for member in backup.manifest.members}
    lost = digests - there - {*backup.manifest.missing}
    if lost:
        wrong.append(f"{len(lost)} photos are missing")
    if not wrong and counts != Counter(backup.manifest.counts):
        wrong.append("it holds more or fewer records than it says")
    if wrong:
        raise InputProblems(Problem(Where(name), each, "take another backup") for each in wrong)


def _refuse_to_replace(*, over: bool) -> None:
    """Nothing, or a refusal.

    Raises
    ------
    InputProblems
        when the workshop holds anything and nobody said that it may go.
    """
    with translated():
        jobs = KeptJob.objects.exclude(name=SHELF).count()
        shelved = KeptRow.objects.filter(job__name=SHELF).exclude(table="job").exists()
    if (jobs or shelved) and not over:
        what = f"the workshop holds {jobs} job{'s' * (jobs != 1)} already"
        what = what if jobs else "the workshop's shelf is filled already"
        cure = "back it up first, then say --over to put the backup in its place"
        raise InputProblems([Problem(Where("workshop"), what, cure)])


def _empty() -> None:
    """Take everything away; first what has a history, for its going is noted there."""
    Session.objects.all().delete()
    for kind in sorted(KINDS, key=lambda kind: kind.endswith("_then")):
        if kind not in ("person", "job"):
            KINDS[kind]._default_manager.all().delete()
    KINDS["job"]._default_manager.all().delete()
    KINDS["person"]._default_manager.all().delete()


def _fill(backup: BackupReader) -> None:
    for kind, found in groupby(records(backup.lines()), key=lambda each: each[0]):
        fresh = (record for _, record in found)
        if kind in ("job", "entry"):
            for record in fresh:
                record.save_base(raw=True, force_insert=True)  # keeps the moments as they were
        else:
            while batch := [*islice(fresh, _BATCH)]:
                KINDS[kind]._default_manager.bulk_create(batch)
    with connection.cursor() as cursor:
        for line in connection.ops.sequence_reset_sql(no_style(), [*KINDS.values()]):
            cursor.execute(line)


def _report(path: Path, manifest: Manifest) -> Backup:
    return Backup(
        path=str(path),
        made_at=manifest.made_at,
        jobs=manifest.counts.get("job", 0),
        rows=manifest.counts.get("row", 0),
        photos=len(manifest.members) - 1,
        missing=len(manifest.missing),
    )

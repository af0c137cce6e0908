"""Back up the whole workshop into one file, and put it back.

A backup holds the jobs, their history, their photos and the people's names. It holds no secrets:
neither the key that lets devices in nor the one that signs their sessions, since the file is made
to be carried about. After it was put back every device comes in and says who it is once more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import groupby
from pathlib import Path

import attrs
from django.contrib.sessions.models import Session
from django.core.management.color import no_style
from django.db import connection, transaction
from django.db.models import Model
from django.utils import timezone

from loomwright.loom import InputProblems, Problem, StorageFailed, Where
from loomwright.workshop.backup_file import (
    PHOTOS,
    RECORDS,
    BackupReader,
    BackupWriter,
    Manifest,
    checked_backup,
    chunks_of,
    new_backup,
)
from loomwright.workshop.models import KeptJob, KeptPhoto, KeptRow
from loomwright.workshop.photo_store import digest_of_file, keep_file, original
from loomwright.workshop.record_text import KINDS, record_lines, records, strays
from loomwright.workshop.shelf import SHELF
from loomwright.workshop.translating import translated

_BATCH = 500

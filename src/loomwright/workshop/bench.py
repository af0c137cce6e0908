"""Where the pages find jobs, rows and photos."""

from __future__ import annotations

from loomwright.services.entering import Bench
from loomwright.workshop.database import DatabaseJobs, DatabaseRows
from loomwright.workshop.photo_store import DatabasePhotos

BENCH = Bench(jobs=DatabaseJobs(), rows=DatabaseRows())
PHOTOS = DatabasePhotos()

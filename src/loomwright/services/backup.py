"""What a backup of the workshop holds, in words."""

from __future__ import annotations

import attrs

NO_SECRETS = (
    "It holds the jobs, their history, the photos and the people's names, but not the key that "
    "lets devices in: it is made to be carried about. Keep it off this machine."
)
"""What is in a backup, and what is not."""
COME_IN_AGAIN = "Every tablet and phone says once more who works at it."
"""What follows from putting a backup back."""


@attrs.frozen(kw_only=True)
class Backup:
    """What a backup holds.

    Attributes
    ----------
    path : its file
    made_at : moment, in ISO 8601
    jobs, rows, photos : how many
    missing : photos whose file was not there or damaged when it was made
    """

    path: str
    made_at: str
    jobs: int
    rows: int
    photos: int
    missing: int

    @property
    def holds(self) -> str:
        """`3 jobs, 812 rows, 1 photo`."""
        parts = ((self.jobs, "job"), (self.rows, "row"), (self.photos, "photo"))
        return ", ".join(f"{number} {name}{'s' * (number != 1)}" for number, name in parts)

    @property
    def caution(self) -> str:
        """What is not in it that should be; blank when nothing is."""
        if not self.missing:
            return ""
        photos = "1 photo is" if self.missing == 1 else f"{self.missing} photos are"
        return f"{photos} not in it: the file was gone or damaged."

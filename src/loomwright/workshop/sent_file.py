"""A file that was made to be sent away, and is gone once it was sent."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from loomwright.loom import StorageFailed


def sent_file(name: str, make: Callable[[str], object]) -> BinaryIO:
    """A file that has no name any more and goes when it is closed.

    Parameters
    ----------
    name : of the file while it is made
    make : makes it at the path it is given

    Raises
    ------
    StorageFailed
        when the disk is full or refuses.
    """
    try:
        with tempfile.TemporaryDirectory(prefix="loomwright-") as folder:
            path = Path(folder) / name
            make(str(path))
            kept: BinaryIO = tempfile.TemporaryFile(prefix="loomwright-")  # noqa: SIM115
            try:
                with path.open("rb") as made:
                    shutil.copyfileobj(made, kept)
            except OSError:
                kept.close()
                raise
    except OSError as failure:
        raise StorageFailed(
            f"{name} could not be made: {failure.strerror or failure}",
            expected="look for a full disk",
        ) from failure
    kept.seek(0)
    return kept

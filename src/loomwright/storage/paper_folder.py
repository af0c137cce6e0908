"""Finished drawings and papers as files in a folder."""

from __future__ import annotations

import os
from pathlib import Path

from loomwright.loom import StorageFailed
from loomwright.storage.job_folder.files import replaced_file


class PaperFolder:
    """A folder, made when the first paper is put there."""

    def __init__(self, folder: str | os.PathLike[str]) -> None:
        self.folder = Path(folder)

    def put(self, name: str, content: bytes) -> str:
        """Put a paper there, whole or not at all; its path."""
        path = self.folder / plain_name(name)
        with replaced_file(path) as file:
            file.write(content)
        return str(path)


def plain_name(name: str) -> str:
    """The name, when it is one of a file and leads nowhere else.

    Raises
    ------
    StorageFailed
        when it is not.
    """
    if name in ("", ".", "..") or any(letter in name for letter in "/\\:\0"):
        raise StorageFailed(
            f'"{name}" is no name of a file', expected="leave out slashes and colons"
        )
    return name

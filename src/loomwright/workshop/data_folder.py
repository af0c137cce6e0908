"""The folder that holds the workshop's database, photos and secrets."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

import platformdirs

from loomwright.loom import StorageFailed

FOLDER_SETTING = "LOOMWRIGHT_DATA"
"""Environment variable that names another folder."""


def data_place() -> Path:
    """Where the workshop's folder is or will be."""
    named = os.environ.get(FOLDER_SETTING, "").strip()
    return Path(named) if named else Path(platformdirs.user_data_path("loomwright"))


def data_folder() -> Path:
    """Where the workshop keeps its things, made when it is not there.

    Raises
    ------
    StorageFailed
        when it cannot be made.
    """
    folder = data_place()
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as failure:
        raise StorageFailed(
            "the workshop's folder cannot be made",
            where=str(folder),
            expected=f"name a folder that can be written in {FOLDER_SETTING}",
        ) from failure
    return folder


def secret(name: str, *, renew: bool = False) -> str:
    """A random text that stays the same from start to start, kept readable by its owner only.

    Parameters
    ----------
    name : what it is for; the name of its file
    renew : whether to make it anew

    Raises
    ------
    StorageFailed
        when it cannot be read or written.
    """
    path = data_folder() / f"{name}.secret"
    try:
        if not renew and path.exists():
            return path.read_text(encoding="ascii").strip()
        text = secrets.token_urlsafe(32)
        fresh = path.with_suffix(f".{secrets.token_hex(4)}")
        with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
            file.write(text)
        fresh.replace(path)
        return path.read_text(encoding="ascii").strip()
    except (OSError, UnicodeDecodeError) as failure:
        raise StorageFailed("a secret of the workshop cannot be kept", where=str(path)) from failure

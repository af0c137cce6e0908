"""The site's settings on a folder of the tests' own, gone when they end."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile

_folder = tempfile.mkdtemp(prefix="loomwright-tests-")
atexit.register(shutil.rmtree, _folder, ignore_errors=True)
os.environ["LOOMWRIGHT_DATA"] = _folder
os.environ["LOOMWRIGHT_SECRET"] = "only for tests"

from loomwright.workshop.settings import *  # noqa: E402, F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

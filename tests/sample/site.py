"""The real site in a process of its own with the demo job in it, and a real browser before it."""

from __future__ import annotations

import atexit
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import attrs
from playwright.sync_api import Browser, Page, expect, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "examples" / "tarn-2300"
CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip
expect.set_options(timeout=15_000)  # a busy machine is no failure
_ON_ITS_WAY = ".htmx-request, .htmx-swapping, .htmx-settling, .htmx-added"
PROGRAM = [sys.executable, "-c", "import sys; from loomwright.cli import main; sys.exit(main())"]


@attrs.define
class Site:
    """A running site.

    Attributes
    ----------
    address : where it is, without a slash at the end
    elsewhere : the links for other devices
    """

    data: Path
    address: str = ""
    elsewhere: tuple[str, ...] = ()
    port: int = 0
    process: subprocess.Popen[str] | None = None

    def open(self, host: str = "127.0.0.1") -> None:
        """Start it, at the same port as before when it was open already."""
        self.process = subprocess.Popen(
            [*PROGRAM, "serve", "--host", host, "--port", str(self.port), "--data", self.data],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment(),
        )  # fmt: skip
        said = []
        assert self.process.stdout
        for line in self.process.stdout:
            said.append(line)
            if "Ctrl-C" in line:
                break
        text = "".join(said)
        found = re.search(r"http://127\.0\.0\.1:(\d+)", text)
        assert found, text
        self.address, self.port = found.group(0), int(found.group(1))
        self.elsewhere = tuple(re.findall(r"^\s+(http\S+/join/\S+)", text, re.MULTILINE))

    def close(self) -> None:
        """Stop it, as when the laptop falls asleep."""
        if self.process:
            self.process.kill()
            self.process.wait()
            if self.process.stdout:
                self.process.stdout.close()
            self.process = None


@cache
def _with_demo() -> str:
    """The folder of a workshop into which the demo was brought, to be copied for each site."""
    data = tempfile.mkdtemp(prefix="loomwright-site-")
    atexit.register(shutil.rmtree, data, ignore_errors=True)
    subprocess.run(
        [*PROGRAM, "import", str(DEMO), "--data", data],
        check=True, capture_output=True, env=environment(),
    )  # fmt: skip
    return data


@contextmanager
def open_site(data: Path, host: str = "127.0.0.1") -> Iterator[Site]:
    """The site on a folder of its own, with the demo in it."""
    shutil.copytree(_with_demo(), data, dirs_exist_ok=True)
    site = Site(data)
    site.open(host)
    try:
        yield site
    finally:
        site.close()


@contextmanager
def browser() -> Iterator[Browser]:
    """A real browser without a window."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        try:
            yield opened
        finally:
            opened.close()


def settle(page: Page) -> None:
    """Wait until every part of the page that is fetched afterwards has come."""
    page.wait_for_load_state("load")
    page.wait_for_timeout(50)  # htmx asks for them in the turn after
    page.wait_for_function(f"() => !document.querySelector('{_ON_ITS_WAY}')", polling=50)


def environment() -> dict[str, str]:
    """Of the programs that are started: this one's, without settings of a workshop."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("LOOMWRIGHT_")}
    kept.pop("DJANGO_SETTINGS_MODULE", None)
    return {**kept, "OMP_NUM_THREADS": "1"}

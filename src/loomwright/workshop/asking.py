"""Addresses that ask for one reading, and a job's loom ready for it."""

from __future__ import annotations

from urllib.parse import urlencode

from django.urls import reverse

from loomwright.services.asking import Probe, as_texts

TABLES = {False: "readings", True: "proof"}
"""Where a reading is kept, by whether it is one after the work."""


def asking_url(job: str, probe: Probe, *, after: bool = False, **more: str) -> str:
    """The page that asks for a reading.

    Parameters
    ----------
    job : name of the job
    probe : what is to be measured
    after : whether it is a reading after the work
    more : further words of the address: `hot`, `again`
    """
    asked = {**as_texts(probe), **({"after": "1"} if after else {}), **more}
    return f"{reverse('measure', args=[job])}?{urlencode(asked)}"


def reading_url(job: str, name: str, *, after: bool = False) -> str:
    """The page of a reading that was taken."""
    return reverse("reading", args=[job, name]) + ("?after=1" if after else "")

"""The changelog has fixed headings and knows the version."""

from __future__ import annotations

import re
from pathlib import Path

import loomwright

CHANGELOG = Path(__file__).resolve().parents[2] / "CHANGELOG.md"
HEADINGS = {"Added", "Changed", "Deprecated", "Removed", "Fixed", "Security"}


def test_the_newest_version_is_the_packages() -> None:
    versions = re.findall(r"^## \[(.+)\]", CHANGELOG.read_text(encoding="utf-8"), re.MULTILINE)
    assert versions[0] == "Unreleased"
    assert versions[1] == loomwright.__version__
    assert versions[1:] == sorted(versions[1:], key=_number, reverse=True)


def test_the_project_file_has_the_same_version() -> None:
    project = CHANGELOG.with_name("pyproject.toml").read_text(encoding="utf-8")
    assert f'\nversion = "{loomwright.__version__}"\n' in project


def test_headings_are_the_fixed_ones() -> None:
    found = set(re.findall(r"^### (.+)", CHANGELOG.read_text(encoding="utf-8"), re.MULTILINE))
    assert found <= HEADINGS


def _number(version: str) -> tuple[int, ...]:
    return tuple(int(part) for part in version.split("."))

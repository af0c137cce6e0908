"""The terminal: colours that can be done without, UTF-8, progress on a terminal only."""

from __future__ import annotations

import io
import json
import sys

import pytest

from loomwright.cli import progress, screen


def shown(monkeypatch: pytest.MonkeyPatch, **environment: str) -> str:
    out = io.StringIO()
    for name in ("NO_COLOR", "FORCE_COLOR", "COLUMNS", "TERM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "stdout", out)
    screen.console().print("✗ 2 Ω [bold]x[/bold] :boom:", style="bad")
    return out.getvalue()


def test_colour_only_where_it_is_wanted(monkeypatch: pytest.MonkeyPatch) -> None:
    plain = "✗ 2 Ω [bold]x[/bold] :boom:\n"
    assert shown(monkeypatch) == plain
    assert shown(monkeypatch, NO_COLOR="1", FORCE_COLOR="1").count("[31m") == 0
    assert "31m" in shown(monkeypatch, FORCE_COLOR="1", TERM="xterm-256color")


def test_a_wide_terminal_is_not_used_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "240")
    assert screen.console().width == screen.WIDEST
    monkeypatch.setenv("COLUMNS", "60")
    assert screen.console().width == 60


def test_another_code_page_becomes_utf8(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="cp1252"))
    screen.speak_utf8()
    screen.print_json({"unit": "kΩ"})
    sys.stdout.flush()
    assert json.loads(raw.getvalue().decode("utf-8")) == {"unit": "kΩ"}
    sys.stdout.detach()  # type: ignore[attr-defined]


def test_json_is_never_nan() -> None:
    with pytest.raises(ValueError, match="JSON"):
        screen.print_json({"ohm": float("nan")})


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_shows_on_a_terminal_only(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    for stream, wanted in ((io.StringIO(), False), (Terminal(), True)):
        monkeypatch.setattr(sys, "stderr", stream)
        with progress.working("Weighing") as told:
            assert told("readings", 0.5)
        assert bool(stream.getvalue()) == wanted

"""Any failure as words and an exit code. Words go to standard error, results never do."""

from __future__ import annotations

import os
import sys
import tempfile
import traceback
import uuid
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import typer

from loomwright.cli.screen import clean
from loomwright.loom.errors import InputProblems, LoomwrightError, Stopped
from loomwright.services.counting import counted

STOPPED = Stopped.exit_code
OUR_MISTAKE = 70
"""Exit code of an inner failure: EX_SOFTWARE of the BSD sysexits list."""

LOG = "failures.log"

# What Typer raises for a mistyped command; its own module for it has moved between versions.
_USAGE: type = typer.BadParameter.__mro__[2]


def told(failure: Exception) -> int:
    """Say in words what happened, and give the exit code."""
    if isinstance(failure, LoomwrightError):
        lines, code = sentences(failure), failure.exit_code
    elif isinstance(failure, _USAGE):
        lines, code = [_usage(failure)], 2
    elif isinstance(failure, typer.Abort):
        return stopped()
    else:
        lines, code = [_our_mistake(failure)], OUR_MISTAKE
    for line in lines:
        sys.stderr.write(f"{clean(line)}\n")
    return code


def sentences(failure: LoomwrightError) -> list[str]:
    """One line for each thing wrong; for a job's input every problem, at the end their number."""
    if isinstance(failure, InputProblems):
        grave = [each.sentence for each in failure.problems if not each.warning]
        return [*grave, f"{counted(len(grave), 'problem')} to mend."]
    return [str(failure)]


def stopped() -> int:
    """The person stopped the work."""
    sys.stderr.write("Stopped. Nothing was changed; run it again to go on.\n")
    return STOPPED


def unread() -> int:
    """Whoever was reading the output went away, as `head` does: nothing to say."""
    # The interpreter flushes standard output once more at its end; give it somewhere to go.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0


def _usage(failure: Exception) -> str:
    context = getattr(failure, "ctx", None)
    command = context.command_path if context is not None else "loomwright"
    what = getattr(failure, "format_message", failure.__str__)().rstrip(".")
    return f"{what}. Try: {command} --help"


def _our_mistake(failure: Exception) -> str:
    number = uuid.uuid4().hex[:8]
    log = _written(number, failure)
    kept = f"The details are in {log}." if log else "The details could not be written to a file."
    return (
        f"This did not work, and the cause lies in the program, not in your job (reference "
        f"{number}). {kept}"
    )


def _written(number: str, failure: Exception) -> Path | None:
    """Add the traceback to the log in the first folder that can be written; that log."""
    moment = datetime.now(UTC).isoformat(timespec="seconds")
    text = "".join(traceback.format_exception(failure))
    for folder in state_folders():
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with (folder / LOG).open("a", encoding="utf-8") as log:
                log.write(f"-- {number} {moment}\n{text}\n")
        except OSError:
            continue
        return folder / LOG
    return None


def state_folders() -> Iterator[Path]:
    """Folders for notes of the program's own, the best first, on any system."""
    for name in ("LOCALAPPDATA", "XDG_STATE_HOME"):
        if os.environ.get(name):
            yield Path(os.environ[name]) / "loomwright"
    home = Path(os.path.expanduser("~"))
    if home.is_absolute():
        yield home / ".local" / "state" / "loomwright"
    yield Path(tempfile.gettempdir()) / "loomwright"

"""The commands: parse, call a service, print, give an exit code.

Imports services, loom and bootstrap; Typer and Rich live here and nowhere else, and what is
heavy is imported inside the commands. Start reading in `app`, then any `show_` module.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code. No failure gets past this as a traceback.

    Parameters
    ----------
    arguments : what was typed after `loomwright`; by default what the shell passed on
    """
    from loomwright.cli import failures
    from loomwright.cli.screen import speak_utf8

    speak_utf8()
    try:
        from loomwright.cli.app import app

        typed = sys.argv[1:] if arguments is None else arguments
        outcome = app(args=list(typed) or ["--help"], prog_name="loomwright", standalone_mode=False)
        sys.stdout.flush()
    except BrokenPipeError:
        return failures.unread()
    except (KeyboardInterrupt, EOFError):
        return failures.stopped()
    except Exception as failure:
        return failures.told(failure)
    code = outcome if isinstance(outcome, int) else 0
    return failures.stopped() if code == failures.STOPPED else code

"""What the commands share: the job they are given, and the screen or the JSON they answer with."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

import typer

JobFiles = Annotated[
    str, typer.Argument(metavar="JOB", help="Folder, .zip or .xlsx workbook of the job.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print the documented JSON instead.")]


def tell(as_json: bool, document: Callable[[], object], show: Callable[[], None]) -> None:
    """The documented JSON where it is asked for, else the screen."""
    if as_json:
        from loomwright.cli.screen import print_json

        print_json(document())
    else:
        show()

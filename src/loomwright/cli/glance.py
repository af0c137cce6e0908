"""The top of the `suspects` page: what is wrong, how sure, the next thing to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwright.cli.page import folded
from loomwright.services.finding_words import how_sure, to_do, wrong
from loomwright.services.labels import Labels
from loomwright.services.suspects import SuspectsReport

if TYPE_CHECKING:
    from rich.panel import Panel


def glance(report: SuspectsReport, labels: Labels, *, width: int) -> Panel:
    """The panel.

    Parameters
    ----------
    report : what is believed of the job
    labels : the job's names
    width : of the page [columns]
    """
    from rich.panel import Panel
    from rich.text import Text

    lines = []
    for word, said in (
        ("Wrong", wrong(report, labels)),
        ("How sure", how_sure(report)),
        ("Mind", (each.sentence for each in report.contradictions)),
        ("Next", to_do(report, labels)),
    ):
        for n, text in enumerate(said):
            lead = f"{word if n == 0 else '':<10}"
            line = Text(folded(text, width - 4, lead=lead))
            line.stylize("head", 0, 10)
            lines.append(line)
    return Panel(Text("\n").join(lines), padding=(0, 1))

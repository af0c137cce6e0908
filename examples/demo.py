"""The whole job on the invented car, as one would do it at the bench. Run by `make demo`."""

from __future__ import annotations

import os
import shlex
import sys
from pathlib import Path

from loomwright.cli import main
from loomwright.cli.page import Page

ROOT = Path(__file__).resolve().parent.parent
JOB = "examples/tarn-2300"
PAPERS = "build/demo"
WORKSHOP = "build/demo/workshop"

STORY = (
    (
        "The Tarn 2300 is a make-believe car: the car, its wiring, its colours and every value are "
        "invented, so do not use any of it on a real one. It starts badly hot, drinks fuel and "
        "idles roughly when damp. Somebody has drawn up its loom in a spreadsheet and taken "
        "fourteen readings with a multimeter.",
        (),
    ),
    ("First: is what was typed in order?", ("check", JOB)),
    (
        "Then: what would a sound loom read, and what was read? Some stand out. Note that R06, the "
        "engine sensor cold, does not.",
        ("expect", JOB),
    ),
    (
        "What does the control unit make of it? Look at the engine sensor cold and hot: the same "
        "fault that hides cold makes it believe in a colder engine hot, and give too much fuel.",
        ("sees", JOB),
    ),
    ("So what is wrong, how sure is that, and what is to be done next?", ("suspects", JOB)),
    (
        "The rough idle in the damp is not settled yet: the readings offered above part the "
        "throttle switch's plug from the control unit's. Where does that circuit go?",
        ("trace", JOB, "CU.10"),
    ),
    (
        "What is worth doing, now that the car is apart? Three offers, what pays most, and the "
        "order of work for the smallest of them.",
        ("plan", JOB, "--offer", "only what failed"),
    ),
    (
        "What does that take in parts, who sells them, and what lies in the drawer already?",
        ("buy", JOB, "--offer", "only what failed"),
    ),
    (
        "Next day terminal 1 of the engine sensor's plug is renewed and three readings are taken "
        "again, at other temperatures. Did it help?",
        ("prove", JOB),
    ),
    (
        "Last, all of it on paper: for the owner, for the order and for the bench. Open the files "
        "with whatever shows PDF.",
        ("print", JOB, "--offer", "only what failed", "--out", PAPERS),
    ),
    (
        "How long will the rest of it last where it sits? Heat decides that, and fuses decide what "
        "happens when it fails.",
        ("heat", JOB, "--on", "2026-03-19"),
    ),
    (
        "Not long, near the exhaust. Say a new loom is made: how long is each wire, where may its "
        "splices sit, and in what order is it laid?",
        ("build", JOB),
    ),
    ("From which lengths are its wires cut, so that least is wasted?", ("cut", JOB)),
    (
        "Where is each peg? The board is drawn at true size, on sheets to glue and as DXF.",
        ("board", JOB, "--size", "a3", "--dxf", "--out", f"{PAPERS}/board"),
    ),
    ("When it is made: the fewest tests that prove it, and what they let pass.", ("verify", JOB)),
    (
        "A question of its own, without a job: does this bundle go through a 12 mm grommet?",
        ("bundle", "8x2.0", "6x1,6", "2x3"),
    ),
    (
        "Nobody types tables under a bonnet: the same job goes into a workshop, whose pages open "
        "on laptop, tablet and phone.",
        ("import", JOB, "--over", "--data", WORKSHOP),
    ),
)


def tell() -> int:
    """Go through the job, a few words before each command; the first exit code that is not 0."""
    os.chdir(ROOT)
    for words, command in STORY:
        _say(words)
        if command:
            _say(f"$ loomwright {shlex.join(command)}", style="bold")
            code = main(command)
            if code:
                return code
    program = _program()
    _say("Now a car of your own (--help tells more about each command):")
    for line in ("new my-car", "check my-car", "suspects my-car"):
        _say(f"  {program} {line}", gap=False)
    return 0


def _program() -> str:
    """The command as one types it from the project's folder."""
    found = Path(sys.executable).with_name("loomwright")
    return str(found.relative_to(ROOT)) if found.is_relative_to(ROOT) else "loomwright"


def _say(words: str, *, style: str = "italic", gap: bool = True) -> None:
    page = Page()
    if gap:
        page.gap()
    page.say(words.lstrip(), lead=" " * (len(words) - len(words.lstrip())), style=style)


if __name__ == "__main__":
    sys.exit(tell())

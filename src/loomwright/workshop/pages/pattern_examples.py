"""Invented content for the pattern page: every element in each of its states."""

from __future__ import annotations

import attrs

from loomwright.drawings.probe_face import BLACK, RED, face_words, probe_face_svg
from loomwright.drawings.reading_scale import Marks, reading_scale
from loomwright.drawings.swatch import swatch_svg
from loomwright.drawings.touch_face import CavityLink, touch_svg
from loomwright.drawings.views import SEEN, WIRE
from loomwright.loom import About, Job, Plug, Point, Wire
from loomwright.loom import Face as LoomFace
from loomwright.loom.errors import Disputed
from loomwright.loom.identity import PlugId, WireId
from loomwright.services.draw import plug_sheet
from loomwright.services.plug_view import cavity_words
from loomwright.services.words import sentence
from loomwright.workshop.forms import Choice, Field
from loomwright.workshop.pages.framing import Message

_PAINT = {
    "BN": "#8b5a2b", "WH": "#ffffff", "GN": "#2e8b57", "RD": "#c00000", "BK": "#000000",
    "BU": "#3355bb", "YE": "#f5d800",
}  # fmt: skip
_PICTURE = (
    "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 4 3'%3E"
    "%3Crect width='4' height='3' fill='%23667'/%3E"
    "%3Cpath d='M.5 2.5 2 .6l1.6 1.9z' fill='%23ba8'/%3E%3C/svg%3E"
)


@attrs.frozen(kw_only=True)
class Face:
    """See `parts/faces.html`."""

    side: str
    words: str
    svg: str


@attrs.frozen(kw_only=True)
class Step:
    """See `parts/step.html`."""

    n: int
    words: str
    cautions: tuple[str, ...] = ()
    hold: bool = False
    state: str = ""
    next: bool = False
    url: str = ""
    label: str = ""
    why_not: str = ""
    since: str = ""


@attrs.frozen(kw_only=True)
class LedgerRow:
    """See `parts/ledger.html`."""

    words: str
    amount: str
    left: str


@attrs.frozen(kw_only=True)
class Ledger:
    """See `parts/ledger.html`."""

    title: str
    unit: str
    rows: tuple[LedgerRow, ...]
    left_words: str
    left: str


@attrs.frozen(kw_only=True)
class Photo:
    """See `parts/photos.html`."""

    words: str
    pin: str
    src: str = _PICTURE
    url: str = "#photo"
    taken: str = "2026-03-19 08:40"


@attrs.frozen(kw_only=True)
class WireLine:
    """A line of the table that becomes cards."""

    name: str
    letters: str
    to: str
    kind: str
    grade: str
    section: str = "1.0"

    @property
    def svg(self) -> str:
        """The cut end of the wire."""
        return swatch_svg(self.letters, _PAINT)


@attrs.frozen(kw_only=True)
class Row:
    """See `parts/rows.html`."""

    url: str
    title: str
    words: str
    chip: str = ""
    kind: str = ""


MESSAGES = (
    Message("done", "Kept: reading R12."),
    Message("caution", "R12 and R09 contradict each other: look at the state they were taken in."),
    Message("trouble", "Photo te-torn.jpg was not kept: it is no JPEG, PNG or WebP picture."),
)
CAUTIONS = (
    "Petrol under pressure: let it down before the line is opened, and keep flame away.",
    "Key off before a plug of the control unit is touched.",
)
PROBLEMS = ("Wire W32 ends at cavity TE.3, which plug TE does not have. Its cavities are 1 and 2.",)
SINCE = "2026-03-19T08:50:00Z"


def _choices(*words: str, chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(value=word, words=word, chosen=word == chosen) for word in words)


FIELDS = (
    Field(
        name="item", label="Item", value="TE", suggestions=("TE", "TA", "CU"), required=True,
        help="The plug, wire, joint or device that is graded.",
    ),
    Field(
        name="outside_mm", label="Outside", unit="mm", kind="number", value="2,4,1",
        inputmode="decimal", help="Over the insulation, with callipers.",
        problem="“2,4,1” is no number. Write it as 2.4.",
    ),
    Field(
        name="aspect", label="Aspect", kind="choice",
        choices=_choices("boot", "terminal", "shell", "insulation", chosen="boot"),
    ),
    Field(name="on", label="Day", kind="date", value="2026-03-19"),
    Field(
        name="note", label="Note", kind="long", value="torn through along the back, swollen by oil",
        help="What you saw, in your own words.",
    ),
)  # fmt: skip
TILES = (
    Field(
        name="key", label="Key", kind="choice", required=True,
        choices=_choices("off", "on", "start", chosen="off"),
        help="As it stood when the reading was taken.",
    ),
)  # fmt: skip
VALUE = Field(
    name="value", label="Reading R12", unit="Ω", kind="number", value="2.51k", inputmode="decimal",
    help="As the meter shows it; OL for over range.",
)  # fmt: skip
DISPUTED = (Disputed("spare_mm", before="60", theirs="45", yours="55"),)
_COLOURS = ("BN/WH", "GN", "RD/YE", "", "BK", "BU", "WH", "GN/WH", "BN", "RD", "BU/YE")
_PLUG = Plug(
    plug=PlugId("CU"), face=LoomFace.parse("1 2 3 4 5 6 / 7 8 9 10 11 12"), latch="left",
    keying=("top",),
)  # fmt: skip
_LOOM = Job(
    about=About(title="Invented"),
    plugs=(_PLUG,),
    wires=tuple(
        Wire(
            wire=WireId(f"W{n}"), from_point=Point("CU", str(n)), to_point=Point("E1"),
            colour=colour,
        )
        for n, colour in enumerate(_COLOURS, 1) if colour
    ),
)  # fmt: skip


def faces() -> tuple[Face, ...]:
    """Both sides of a plug to touch, with one cavity chosen and one empty."""
    sheet = plug_sheet(_LOOM, "CU")
    links = {
        cavity: CavityLink(href=f"#cavity-{cavity}", words=cavity_words(cavity, ends))
        for cavity, ends in sheet.wires.items()
    }
    return tuple(
        Face(side=side, words=sentence(words), svg=touch_svg(sheet, side, links, here="7"))
        for side, words in SEEN.items()
    )


def spot() -> Face:
    """Where the probes go in."""
    marks = {"1": RED, "8": BLACK}
    return Face(side=WIRE, words=face_words(_PLUG, marks), svg=probe_face_svg(_PLUG, marks))


STEPS = (
    Step(n=1, words="Photograph and record plug TE, both sides.", state="done"),
    Step(n=2, words="Measure the wires to plug TE with the plug off.", state="begun", since=SINCE),
    Step(
        n=3, words="Cut the terminal in cavity 1 off, 8 mm behind the crimp.", next=True,
        url="#step-3", label="step 3",
        cautions=("Battery off and its cable taped aside.", "No ohms at the control unit's plug "
                  "while it is on."),
    ),
    Step(n=4, words="Pull three trial crimps.", hold=True, url="#step-4", label="step 4"),
    Step(n=5, words="Crimp the new terminal.", why_not="The hold point before it has not passed."),
    Step(n=6, words="Look at the crimp from both sides.", hold=True, state="failed"),
)  # fmt: skip
LEDGER = Ledger(
    title="Spare of wire W32", unit="mm", left_words="Left, enough for 3 more", left="37",
    rows=(
        LedgerRow(words="Spare at plug TE", amount="", left="55"),
        LedgerRow(words="Old terminal cut off", amount="− 9", left="46"),
        LedgerRow(words="Trial crimp that failed", amount="− 9", left="37"),
    ),
)  # fmt: skip
CHART = reading_scale(
    Marks(reading="R12", before=2.6, after=0.2,
          words="Reading R12: before too high, after in the middle."),
    reach=3,
)  # fmt: skip
PHOTOS = (
    Photo(words="Boot of TE, torn along the back", pin="TE"),
    Photo(words="Green terminal in cavity 1", pin="TE, mating face"),
    Photo(words="Throttle switch plug without a boot", pin="TH"),
)
WIRES = (
    WireLine(name="W32", letters="GN/WH", to="CU.14", kind="watch", grade="2, worn"),
    WireLine(name="W07", letters="BN", to="joint E1", kind="good", grade="1, aged"),
    WireLine(name="W08", letters="BK/YE", to="earth GE", kind="bad", grade="4, danger"),
)
ROWS = (
    Row(
        url="#job", title="Does not start hot", words="Invented estate, 34 readings, changed today",
        chip="measuring", kind="watch",
    ),
    Row(url="#point", title="Point TE.1", words="Plug TE, cavity 1: W32 GN/WH to CU.14"),
)  # fmt: skip

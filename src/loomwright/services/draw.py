"""What the drawings of a loom need: a plug with its wires, the loom's places and branches."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence

import attrs

from loomwright import standards
from loomwright.loom import (
    Branch,
    Job,
    Joint,
    NotFound,
    Plug,
    Point,
    Topology,
    Wire,
    nearest,
    schema,
)
from loomwright.loom.errors import OutOfRange

PITCH, WIDE_PITCH = "cavity_pitch", "cavity_pitch_wide"
_WIDE_MM = 4.0  # a terminal wider than this does not fit the usual pitch
_LEAST_MM, _MOST_MM = 1.0, 50.0


@attrs.frozen(kw_only=True)
class WireEnd:
    """A wire in a cavity.

    Attributes
    ----------
    wire : its name
    letters : its colour as written on the sheet, empty when not known
    section_mm2 : conductor section, None when not known
    far_end : the point at its other end
    """

    wire: str
    letters: str
    section_mm2: float | None
    far_end: str


@attrs.frozen(kw_only=True)
class PlugSheet:
    """What the drawing of a plug's face shows.

    Attributes
    ----------
    job : title of the job
    plug : the plug with its face
    wires : the wires of every cavity of the face, none for an empty one
    paint : RGB of a screen, `#rrggbb`, by colour code
    pitch_mm : from cavity to cavity
    pitch_from : where the pitch comes from, in words
    to_scale : whether the pitch is known of this plug; otherwise it is only what is usual
    latch : side of the shell it sits on, as seen from the plug's `seen_from`; empty when none is
        known
    keys : the same of keys and ribs
    """

    job: str
    plug: Plug
    wires: Mapping[str, tuple[WireEnd, ...]]
    paint: Mapping[str, str]
    pitch_mm: float
    pitch_from: str
    to_scale: bool
    latch: str
    keys: tuple[str, ...]


@attrs.frozen(kw_only=True)
class LoomPlan:
    """What the drawing of the loom's tree shows.

    Attributes
    ----------
    job : title of the job
    branches : in sheet order
    plugs, joints : in sheet order
    """

    job: str
    branches: tuple[Branch, ...]
    plugs: tuple[Plug, ...]
    joints: tuple[Joint, ...]


def plug_sheet(job: Job, name: str, *, pitch_mm: float | None = None) -> PlugSheet:
    """What the drawing of one plug shows.

    Parameters
    ----------
    job : the job
    name : of the plug
    pitch_mm : from cavity to cavity; by default the plug's own, the job's, or common practice

    Raises
    ------
    NotFound
        when there is no such plug; the nearest is named.
    OutOfRange
        when the pitch is none that a plug could have.
    """
    return plug_sheets(job, [name], pitch_mm=pitch_mm)[0]


def plug_sheets(
    job: Job, names: Sequence[str] | None = None, *, pitch_mm: float | None = None
) -> tuple[PlugSheet, ...]:
    """What the drawings of some plugs show, in sheet order.

    Parameters
    ----------
    job : the job
    names : of the plugs, None for all
    pitch_mm : as for one plug

    Raises
    ------
    NotFound, OutOfRange
        as for one plug, before anything is drawn; NotFound, too, when the job has no plug.
    """
    loom = Topology(job)
    known = [str(plug.plug) for plug in job.plugs]
    if not known:
        raise NotFound(
            "there is no plug to draw", where="plugs", expected="fill in the table plugs"
        )
    chosen = known if names is None else names
    for name in chosen:
        if name not in known:
            raise _no_plug(name, known)
    paint = screen_paint()
    made = []
    for name in sorted(set(chosen), key=known.index):
        plug = loom.plugs[name]
        pitch, whence, to_scale = _pitch(job, plug, pitch_mm)
        wires = {
            cavity: tuple(
                _end(wire, Point(name, cavity))
                for wire in loom.wires_at.get(Point(name, cavity), ())
            )
            for cavity in plug.face.cavities
        }
        made.append(
            PlugSheet(
                job=job.about.title,
                plug=plug,
                wires=wires,
                paint=paint,
                pitch_mm=pitch,
                pitch_from=whence,
                to_scale=to_scale,
                latch=_on_a_side(plug.latch or ""),
                keys=tuple(filter(_on_a_side, plug.keying)),
            )
        )
    return tuple(made)


def loom_plan(job: Job) -> LoomPlan:
    """What the drawing of the loom's tree shows.

    Raises
    ------
    NotFound
        when the job has no branches.
    """
    if not job.branches:
        raise NotFound(
            "there is no branch to draw",
            where="branches",
            expected="fill in the table branches: a row for each stretch between two places",
        )
    return LoomPlan(job=job.about.title, branches=job.branches, plugs=job.plugs, joints=job.joints)


def screen_paint() -> dict[str, str]:
    """RGB of a screen, `#rrggbb`, by colour code."""
    return {code: row.rgb for code, row in standards.screen_colours().items()}


def _end(wire: Wire, here: Point) -> WireEnd:
    far = wire.to_point if wire.from_point == here else wire.from_point
    return WireEnd(
        wire=str(wire.wire),
        letters=(wire.colour or "").strip(),
        section_mm2=wire.section_mm2,
        far_end=str(far),
    )


def _no_plug(name: str, known: list[str]) -> NotFound:
    close = nearest(name, known)
    some = f"this job has {', '.join(known[:8])}{' and more' if len(known) > 8 else ''}"
    return NotFound(
        f'there is no plug "{name}"', expected=f'did you mean "{close}"?' if close else some
    )


def _on_a_side(word: str) -> str:
    """The word if it is a side of the shell, empty for `none` and for what is not known."""
    return word if word in schema.SIDES else ""


def _pitch(job: Job, plug: Plug, stated: float | None) -> tuple[float, str, bool]:
    """The pitch of a plug [mm], where it comes from, and whether that makes a drawing to scale."""
    name = WIDE_PITCH if terminal_mm(plug.terminal or "") > _WIDE_MM else PITCH
    own = {figure.name: figure.value for figure in job.settings}
    known = (
        (stated, "as given"),
        (plug.pitch_mm, "as recorded"),
        (own.get(name), "from the job's settings"),
    )
    for value, whence in known:
        if value is not None:
            return _possible(value), whence, True
    shipped = standards.default(name)
    return _possible(shipped.value), shipped.standing, False


def _possible(pitch_mm: float) -> float:
    if not (math.isfinite(pitch_mm) and _LEAST_MM <= pitch_mm <= _MOST_MM):
        raise OutOfRange(
            f"a pitch of {pitch_mm:g} mm is not possible",
            where="pitch",
            expected=f"give {_LEAST_MM:g} to {_MOST_MM:g} mm from cavity to cavity",
        )
    return pitch_mm


def terminal_mm(words: str) -> float:
    """The first number in a terminal's description [mm], 0 without one.

    Examples
    --------
    >>> terminal_mm("flat 6.3 x 0.8"), terminal_mm("round pin")
    (6.3, 0.0)
    """
    found = re.search(r"\d+(?:[.,]\d+)?", words)
    return float(found[0].replace(",", ".")) if found else 0.0

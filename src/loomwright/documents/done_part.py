"""The part of the report that tells what was really done, item by item, with its photos."""

from __future__ import annotations

import base64
from collections.abc import Iterator, Mapping
from functools import cached_property

import attrs

from loomwright.documents.typesetting import can_be_set
from loomwright.services.counting import counted
from loomwright.services.labels import Labels
from loomwright.services.shots import Shot, SortedOut, caption, sorted_out
from loomwright.services.words import listed, sentence
from loomwright.services.work_done import HoldPoint, ItemDone, spent
from loomwright.services.workup import WorkUp

MARKS: Mapping[bool, str] = {True: "✓", False: "✗"}
"""A mark for a hold point that was passed or failed; the word always stands beside it."""
WHOLE_CAR = "The whole car"
_JPEG = b"\xff\xd8"
"""How a JPEG starts (ISO/IEC 10918-1, B.1.1.3)."""
_FRAME = (400, 300)
"""Width and height of a photo's place; most are taken four to three."""


@attrs.frozen(kw_only=True)
class Hold:
    """A hold point that was looked at.

    Attributes
    ----------
    mark, result : whether it was passed, the word as it is
    words : what it asks for, a sentence
    told : when, by whom, and what was noted; may be empty
    """

    mark: str
    result: str
    words: str
    told: str


@attrs.frozen(kw_only=True)
class Photo:
    """A photo.

    Attributes
    ----------
    file : as the template finds it
    alt, caption : what it shows, for who cannot see it, and what stands below it
    """

    file: str
    alt: str
    caption: str


@attrs.frozen(kw_only=True)
class Done:
    """What was done at one item, and what it looks like.

    Attributes
    ----------
    name : what it is
    lines : what was done, who and when, in sentences
    holds : hold points that were looked at
    photos : of it
    """

    name: str
    lines: tuple[str, ...]
    holds: tuple[Hold, ...]
    photos: tuple[Photo, ...]


@attrs.define(slots=False, eq=False)
class DonePart:
    """Makes the part out of what is known of a job."""

    known: WorkUp

    def note(self) -> str:
        """How far the work is, in a sentence; empty where nothing was logged."""
        return f"{sentence(how_far(self.known))}." if self.known.done.begun else ""

    def done(self) -> tuple[Done, ...]:
        """Item by item."""
        return tuple(
            Done(
                name=_called(self.known.labels, each.item),
                lines=tuple(_lines(each)),
                holds=tuple(map(_hold, each.holds)),
                photos=self._photos_of(each.item),
            )
            for each in self.known.done.items
        )

    def also(self) -> tuple[str, ...]:
        """What was logged and is no step of the offer, a sentence each."""
        return tuple(f"{sentence(each)}." for each in self.known.done.also)

    def not_done(self) -> tuple[str, ...]:
        """What is open, items alike in one sentence."""
        if not self.known.done.begun:
            return ()
        alike: dict[str, list[str]] = {}
        for each in self.known.done.open:
            alike.setdefault(each.words, []).append(_called(self.known.labels, each.item))
        return tuple(f"{'; '.join(items)}: {words}." for words, items in alike.items())

    def pictured(self) -> tuple[Done, ...]:
        """Photos of what nothing was done at, item by item."""
        told = {each.item for each in self.known.done.items}
        items = dict.fromkeys(shot.item for shot in self._sorted.shown if shot.item not in told)
        return tuple(
            Done(
                name=_called(self.known.labels, item),
                lines=(),
                holds=(),
                photos=self._photos_of(item),
            )
            for item in items
        )

    def photos_note(self) -> tuple[str, ...]:
        """Which photos are only named, in sentences."""
        return tuple(_named_only(self._sorted))

    def pictures(self) -> dict[str, str]:
        """The photos as SVG, as the template finds them."""
        return {self._file(shot): self._drawn[shot.name] for shot in self._sorted.shown}

    @cached_property
    def _drawn(self) -> dict[str, str]:
        """Every photo that can be set, as SVG by its name."""
        drawn = {name: _drawing(content) for name, content in (self.known.photos or {}).items()}
        return {name: svg for name, svg in drawn.items() if svg}

    @cached_property
    def _sorted(self) -> SortedOut:
        there = self.known.photos
        if there is None:
            return SortedOut()
        refused = [name for name in there if name not in self._drawn]
        return sorted_out(self.known.job, there, refused=refused)

    def _photos_of(self, item: str) -> tuple[Photo, ...]:
        mine = [shot for shot in self._sorted.shown if shot.item == item]
        return tuple(
            Photo(
                file=self._file(shot),
                alt=f"Photo {shot.name}. {caption(shot)}",
                caption=caption(shot),
            )
            for shot in mine
        )

    def _file(self, shot: Shot) -> str:
        return f"photo-{self._sorted.shown.index(shot) + 1}.svg"


def how_far(known: WorkUp) -> str:
    """How far the work is, a clause: `3 of 12 steps are done; 85 min of work are logged, …`."""
    done = known.done
    are = "is" if done.finished == 1 else "are"
    steps = f"{done.finished} of {counted(done.all, 'step')} {are} done"
    if done.finished == done.all:
        steps = f"all {counted(done.all, 'step')} are done" if done.all else ""
    failed = f"failed and not passed since: {listed(list(done.failed))}" if done.failed else ""
    return "; ".join(filter(None, (steps, failed, spent(done))))


def _called(labels: Labels, item: str) -> str:
    return labels.called(item) if item else WHOLE_CAR


def _lines(each: ItemDone) -> Iterator[str]:
    if each.cures:
        yield f"Done: {listed(list(each.cures))}."
    if each.steps:
        also = "Also done" if each.cures else "Steps done"
        yield f"{also}: {listed(list(each.steps))}."
    facts = [
        " to ".join(each.days),
        listed(list(each.people)),
        f"{each.minutes:g} min" if each.minutes else "",
        f"{each.wire_mm:g} mm of spare wire used" if each.wire_mm else "",
    ]
    if any(facts):
        yield f"{sentence(', '.join(filter(None, facts)))}."
    for note in each.notes:
        yield f"{sentence(note.rstrip('.'))}."


def _hold(each: HoldPoint) -> Hold:
    return Hold(
        mark=MARKS[each.passed],
        result="passed" if each.passed else "failed",
        words=f"{sentence(each.words)}.",
        told=each.told,
    )


def _named_only(found: SortedOut) -> Iterator[str]:
    if found.beyond:
        names = listed([each.name for each in found.beyond])
        yield f"The job holds more photos than the {len(found.shown)} shown here: {names}."
    if found.unreadable:
        names = listed([each.name for each in found.unreadable])
        yield f"Not with the job, or no picture that can be printed: {names}."


def _drawing(content: bytes) -> str:
    """A photo as SVG; empty where it cannot be set."""
    if content.startswith(_JPEG):
        return _framed(content)
    try:
        drawing = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return ""
    return drawing if can_be_set(drawing) else ""


def _framed(photo: bytes) -> str:
    """A JPEG inside a drawing, which the setting of type takes as text; it is not coded anew."""
    held = base64.b64encode(photo).decode()
    wide, high = _FRAME
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}" '
        f'viewBox="0 0 {wide} {high}"><image width="{wide}" height="{high}" '
        f'preserveAspectRatio="xMinYMax meet" href="data:image/jpeg;base64,{held}"/></svg>'
    )

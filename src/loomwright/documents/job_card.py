"""Job cards: the work before all others and after, then one card per item, in the order of work."""

from __future__ import annotations

from collections.abc import Iterator

import attrs

from loomwright.documents.step_rows import TICK, StepRow, step_rows
from loomwright.documents.typesetting import Context, Paper, headed
from loomwright.drawings.cavity import in_words, letters
from loomwright.drawings.face import face_svg, face_width_mm
from loomwright.drawings.swatch import swatch_svg, swatch_words
from loomwright.drawings.views import both, warnings
from loomwright.services.draw import PlugSheet
from loomwright.services.job_cards import CrimpLine, End, JobCard, PartLine
from loomwright.services.words import GRADES, fault, listed, sentence, sure
from loomwright.services.workup import WorkUp

NOT_KNOWN = "not known"
_PAGE_MM = 172.0  # between the margins of the narrower sheet
_MOST_WHY, _MOST_ENDS = 8, 30


@attrs.frozen(kw_only=True)
class CardLine:
    """One card in the list of all.

    Attributes
    ----------
    words : what is done, and where
    mark : a tick where every step of it is finished
    """

    words: str
    mark: str


@attrs.frozen(kw_only=True)
class FrameCard(Context):
    """What the template of the first card is given.

    Attributes
    ----------
    offer : the offer that the work follows, in a sentence
    lack : why there is no work, in a sentence; empty otherwise
    before, after : steps before the first card and after the last one
    cards : the cards in the order of work
    """

    offer: str
    lack: str
    before: tuple[StepRow, ...]
    after: tuple[StepRow, ...]
    cards: tuple[CardLine, ...]


@attrs.frozen(kw_only=True)
class EndRow:
    """One end of a wire, to be written down before it is cut.

    Attributes
    ----------
    here : cavity, pin or joint
    wire, colour, section, far_end : what the sheet says; "not known" where it says nothing
    swatch, alt : drawing of its cut end, and that in words
    """

    here: str
    wire: str
    colour: str
    section: str
    far_end: str
    swatch: str
    alt: str


@attrs.frozen(kw_only=True)
class Face:
    """A plug's drawing.

    Attributes
    ----------
    picture, alt : the drawing, and that in words
    wide_mm : width at which it is to the scale it says [mm]; None where the page is narrower
    warnings : what a photo of this face cannot tell, in sentences
    """

    picture: str
    alt: str
    wide_mm: float | None
    warnings: tuple[str, ...]


@attrs.frozen(kw_only=True)
class PartRow:
    """A part that goes on new.

    Attributes
    ----------
    kind : terminal, boot, shell or splice
    part : its name and label
    fit : whether and where it fits
    """

    kind: str
    part: str
    fit: str


@attrs.frozen(kw_only=True)
class CrimpRow:
    """How one terminal or splice goes on.

    Attributes
    ----------
    terminal : its name
    facts : name and value of what is set and measured
    """

    terminal: str
    facts: tuple[tuple[str, str], ...]


@attrs.frozen(kw_only=True)
class Card(Context):
    """What the template of an item's card is given.

    Attributes
    ----------
    item : what it is, with its label
    turn : which card of how many, and where it is done
    done : what is done, in sentences
    why : grades found and what the readings say, in sentences
    risk : what may still go wrong, in sentences
    record : how the record is made, in a sentence
    ends : ends of the wires, to be written down before anything is cut
    faces : drawings of the plugs
    parts : what goes on new
    part_notes : what stands against a part or is not known, in sentences
    crimps : how terminals go on
    spare : spare wire and when to stop, in sentences
    tries : a plug and the number of tries there is wire for, a box each to tick
    steps : the work
    pull_test : whether the result of a pull test is asked for at the foot
    """

    item: str
    turn: str
    done: tuple[str, ...]
    why: tuple[str, ...]
    risk: tuple[str, ...]
    record: str
    ends: tuple[EndRow, ...]
    faces: tuple[Face, ...]
    parts: tuple[PartRow, ...]
    part_notes: tuple[str, ...]
    crimps: tuple[CrimpRow, ...]
    spare: tuple[str, ...]
    tries: tuple[tuple[str, int], ...]
    steps: tuple[StepRow, ...]
    pull_test: bool


def job_cards(known: WorkUp, made_on: str) -> Iterator[Paper]:
    """The frame first, then a card per item; the frame alone, with the reason, without work."""
    work = known.work
    frame = known.log.at("")
    yield Paper(
        name="card-before-and-after",
        template="job-frame",
        context=FrameCard(
            **headed(known.job, "Before and after", made_on),
            offer=f"The work follows the offer “{work.offer}”.",
            lack=f"No work is planned: {work.why_none}." if work.why_none else "",
            before=step_rows(frame[: len(work.before)]),
            after=step_rows(frame[len(work.before) :]),
            cards=tuple(_line(known, card) for card in work.cards),
        ),
    )
    for number, card in enumerate(work.cards, start=1):
        turn = f"Card {number} of {len(work.cards)}"
        yield _paper(known, card, turn=turn, made_on=made_on)


def _paper(known: WorkUp, card: JobCard, *, turn: str, made_on: str) -> Paper:
    paint = known.work.paint
    pictures = {
        name: face_svg(sheet, bare=True, most_mm=_PAGE_MM) for name, sheet in _faces(card).items()
    }
    pictures |= {name: swatch_svg(each, paint) for each, name in _swatches(card).items()}
    context = card_words(known, card, turn=turn, made_on=made_on)
    return Paper(name=f"card-{card.item}", template="job-card", context=context, pictures=pictures)


def _faces(card: JobCard) -> dict[str, PlugSheet]:
    """The faces by the names of their pictures."""
    return {f"face-{n}.svg": sheet for n, sheet in enumerate(card.faces, start=1)}


def _swatches(card: JobCard) -> dict[str, str]:
    """The names of the pictures of wires, by their letters."""
    names = dict.fromkeys(end.letters for end in card.ends)
    return {each: f"wire-{number}.svg" for number, each in enumerate(names, start=1)}


def card_words(known: WorkUp, card: JobCard, *, turn: str = "", made_on: str) -> Card:
    """What a card says, without its pictures."""
    swatches = _swatches(card)
    return Card(
        **headed(known.job, f"Job card {card.item}", made_on),
        item=_called(known, card),
        turn=f"{turn}. Place: {card.place or 'not written down'}.",
        done=tuple(f"{sentence(kind.words)}." for kind in card.cures),
        why=tuple(_why(known, card)),
        risk=tuple(_risk(known, card)),
        record=_record(card),
        ends=tuple(_end(end, swatches[end.letters]) for end in card.ends[:_MOST_ENDS]),
        faces=tuple(_face(sheet, name) for name, sheet in _faces(card).items()),
        parts=tuple(_part(line, several=len(card.faces) > 1) for line in card.parts),
        part_notes=tuple(_part_notes(card)),
        crimps=tuple(_crimps(card)),
        spare=tuple(_spare(card)),
        tries=tuple(
            (str(each.plug), max(look.rounds for look in each.outlooks))
            for each in card.ledgers
            if any(look.rounds for look in each.outlooks)
        ),
        steps=step_rows(known.log.at(card.item)),
        pull_test=card.cuts or bool(card.crimps),
    )


def _short(card: JobCard) -> str:
    return listed([kind.short for kind in card.cures])


def _line(known: WorkUp, card: JobCard) -> CardLine:
    at = f", at {card.place}" if card.place else ""
    whole = all(each.finished for each in known.log.at(card.item))
    return CardLine(words=f"{card.item}: {_short(card)}{at}", mark=TICK if whole else "")


def _called(known: WorkUp, card: JobCard) -> str:
    if card.kind == "loom":
        return "The whole loom"
    name = known.labels.item(card.item)
    return sentence(name if card.kind != "branch" else f"branch {name}")


def _why(known: WorkUp, card: JobCard) -> Iterator[str]:
    graded = [
        f"{known.labels.item(one.item)}, {each.aspect}" if one.item != card.item else each.aspect
        for one in card.conditions
        for each in one.looked
    ]
    seen = [each for one in card.conditions for each in one.looked]
    for name, each in list(zip(graded, seen, strict=True))[:_MOST_WHY]:
        note = each.note or each.looks_like
        yield f"{sentence(name)}: grade {each.grade}, {GRADES[each.grade]}; {note}."
    if len(seen) > _MOST_WHY:
        yield f"{len(seen) - _MOST_WHY} more grades stand in the survey."
    for suspect in card.found:
        place = known.labels.place(suspect.items, suspect.kind)
        place = place.removeprefix(f"{known.labels.owner(card.item)}, ")
        yield f"Readings: {fault(suspect.kind)}, {place}: {sure(suspect.probability)} sure."
    if not seen and not card.found:
        yield "Nothing was graded at it; the plan takes it along because it lies on the way."


def _risk(known: WorkUp, card: JobCard) -> Iterator[str]:
    for kind in card.cures:
        life = (
            f" It lasts about {kind.life_years:g} years ({kind.life_standing})."
            if kind.life_years is not None
            else ""
        )
        yield (
            f"{sentence(kind.weak_point)}; about {100 * kind.comeback:.0f} of 100 come back "
            f"({kind.standing}).{life}"
        )
    if card.left:
        aspects = [each.rpartition(" ")[2] for each in card.left]
        yield f"Left as it is: the {listed(aspects)}."


def _record(card: JobCard) -> str:
    where = "mating face and wire side" if card.faces else "it from both sides"
    said = f"Write this down before anything is cut or drawn out, and photograph {where}."
    more = len(card.ends) - _MOST_ENDS
    return f"{said} {more} more ends stand in the table wires." if more > 0 else said


def _end(end: End, swatch: str) -> EndRow:
    return EndRow(
        here=str(end.here),
        wire=end.wire,
        colour=end.letters or NOT_KNOWN,
        section=NOT_KNOWN if end.section_mm2 is None else f"{end.section_mm2:g} mm²",
        far_end=str(end.far_end),
        swatch=swatch,
        alt=swatch_words(end.letters),
    )


def _face(sheet: PlugSheet, name: str) -> Face:
    plug = sheet.plug
    view = both(plug.face, plug.seen_from, latch=sheet.latch, keys=sheet.keys)[0]
    marks = {cavity: " ".join(map(letters, ends)) for cavity, ends in sheet.wires.items()}
    wires = "; ".join(f"cavity {cavity}: {in_words(ends)}" for cavity, ends in sheet.wires.items())
    return Face(
        picture=name,
        alt=f"Plug {plug.plug} from its mating face and from its wire side. {sentence(wires)}.",
        wide_mm=wide if (wide := face_width_mm(sheet, most_mm=_PAGE_MM)) <= _PAGE_MM else None,
        warnings=warnings(view, marks),
    )


def _part(line: PartLine, *, several: bool) -> PartRow:
    at = f" of {line.at}" if several and line.at else ""
    cavities = f" in {_cavities(line.cavities)}{at}" if line.cavities else at
    why = f": {'; '.join(line.reasons)}" if line.reasons else ""
    named = "; it is the one that is there" if line.named else ""
    return PartRow(
        kind=line.part.kind,
        part=_named(line),
        fit=f"{sentence(line.outcome)}{cavities}{why}{named}.",
    )


def _cavities(names: tuple[str, ...]) -> str:
    return f"{'cavity' if len(names) == 1 else 'cavities'} {listed(list(names))}"


def _named(line: PartLine) -> str:
    return f"{line.part.part}, {line.part.label}" if line.part.label else line.part.part


def _part_notes(card: JobCard) -> Iterator[str]:
    for problem in card.problems:
        yield f"{sentence(problem)}."
    if card.missing:
        yield (
            f"Nothing in the catalogue is known to fit: {listed(list(card.missing))}. "
            "Measure, choose, and write it down here before anything is cut."
        )
    if card.opening:
        yield f"The terminals are {card.opening}."


def _crimps(card: JobCard) -> Iterator[CrimpRow]:
    """Each terminal once, with the crimp height on every section it goes on."""
    for lines in by_part(card.crimps):
        part, crimping = lines[0].part, lines[0].crimping
        strip = crimping.strip_mm
        facts = [
            ("Die", f"{crimping.die or 'not known: the catalogue names none'}{_reasons(lines[0])}"),
            (
                "Strip length",
                "not known: measure the barrel, add the brush"
                if strip is None
                else f"{strip[0]:g} to {strip[1]:g} mm",
            ),
            ("Conductor barrel", _range(part.section_min_mm2, part.section_max_mm2, "mm²")),
            ("Insulation barrel", _range(part.insulation_min_mm, part.insulation_max_mm, "mm")),
        ]
        for line in lines:
            on = "" if line.section_mm2 is None else f" on {line.section_mm2:g} mm²"
            facts.append((f"Crimp height{on}", _height(line)))
        yield CrimpRow(terminal=part.part, facts=tuple(facts))


def by_part(lines: tuple[CrimpLine, ...]) -> list[list[CrimpLine]]:
    """Lines of the same terminal together."""
    found: dict[str, list[CrimpLine]] = {}
    for line in lines:
        found.setdefault(line.part.part, []).append(line)
    return list(found.values())


def _reasons(line: CrimpLine) -> str:
    return f" ({'; '.join(line.crimping.reasons)})" if line.crimping.reasons else ""


def _range(low: float | None, high: float | None, unit: str) -> str:
    if low is None or high is None:
        return "not known"
    return f"{low:g} to {high:g} {unit}"


def _height(line: CrimpLine) -> str:
    trials = line.set_up
    if trials is None or trials.heights.mean is None:
        return "not known: measure trial crimps"
    count = len(trials.heights.values)
    made = f"mean of {count} trial{'' if count == 1 else 's'}, set-up {trials.set_up}"
    die = f"in die {trials.die}" if trials.die else "in a die not written down"
    asked = line.crimping.die
    check = f"; check that this is {asked}" if asked and asked != trials.die else ""
    return f"{trials.heights.mean:.2f} mm {die} ({made}){check}"


def _spare(card: JobCard) -> Iterator[str]:
    for ledger in card.ledgers:
        spare = (
            "not written down" if ledger.spare_mm is None else f"{ledger.spare_mm:g} mm can be cut"
        )
        yield (
            f"Spare wire at {ledger.plug}: {spare}; {ledger.loop_mm:g} mm stay as a loop, "
            f"each retry takes {ledger.retry_mm:g} mm. {ledger.advice}"
        )
        if ledger.equal and ledger.ends > 1:
            yield "All its wires must end equal: a slip at one costs every wire that length."

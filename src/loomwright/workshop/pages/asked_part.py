"""The part of a page that asks for one reading: probes, steps, band, the value's field."""

from __future__ import annotations

from collections.abc import Mapping

import attrs

from loomwright.drawings.probe_face import BLACK, RED, face_words, probe_face_svg
from loomwright.loom import Job, Problem, Topology
from loomwright.services.asking import Probe, as_texts, made_safe, offered
from loomwright.services.labels import Labels
from loomwright.services.measuring import Asked, Model, Touch, asked, holds, last_taken
from loomwright.services.reading_words import ONE_BIT, Step, expected, worth
from loomwright.services.suspects import NextReading, SuspectsReport
from loomwright.services.verdicts import OnScale, on_scale
from loomwright.services.warmth import held, temperatures
from loomwright.services.words import sentence
from loomwright.workshop.asking import asking_url
from loomwright.workshop.forms import Field, fields

UNITS = {"ohm": ("Ohms", "Ω"), "volt": ("Volts", "V")}
_HELP = "As the meter shows it: 1.2k, 4k7, 0,35, or OL for over-range"
WARMTHS = {"engine_c": "Engine", "air_c": "Air drawn in", "ambient_c": "Air around"}


@attrs.frozen
class Face:
    """A small drawing of a plug's face."""

    svg: str
    words: str


@attrs.frozen
class Hidden:
    """A field that is sent along."""

    name: str
    value: str


@attrs.frozen(kw_only=True)
class Why:
    """Why a reading is worth taking.

    Attributes
    ----------
    worth : minutes, and how much it tells
    gives : who would give which value
    places : what the numbers stand for
    unit : what a bit is
    """

    worth: str
    gives: tuple[tuple[str, str], ...]
    places: tuple[str, ...]
    unit: str = ONE_BIT


@attrs.frozen(kw_only=True)
class AskedPart:
    """One reading to take.

    Attributes
    ----------
    heading : ohms or volts
    red, black : where the probes go
    faces : the plugs' faces with the cavities
    before : what is to be done first
    holds : what must hold meanwhile
    cautions : to be minded at the probes
    refusal, instead, safe_url : why it must not be taken, what to do, and the safe one
    scale : what a sound loom reads
    why : None for a reading of the person's own
    value, telling, others, meter, note : fields; temperatures that matter here, and the rest
    hidden : what is sent along
    """

    heading: str
    red: Touch
    black: Touch
    faces: tuple[Face, ...]
    before: tuple[Step, ...]
    holds: str
    cautions: tuple[str, ...]
    refusal: str
    instead: str
    safe_url: str
    scale: OnScale | None
    why: Why | None
    value: Field
    telling: tuple[Field, ...]
    others: tuple[Field, ...]
    meter: Field
    note: Field
    hidden: tuple[Hidden, ...]

    @property
    def fields(self) -> tuple[Field, ...]:
        """All that are filled in."""
        return (self.value, *self.telling, *self.others, self.meter, self.note)


@attrs.frozen(kw_only=True)
class Form:
    """What the form of a reading holds.

    Attributes
    ----------
    table : where the reading will stand
    hot : whether the temperature of the engine must be told
    again : name of the reading before the work that it repeats, else blank
    typed : what was typed, None for a fresh form
    problems : what is wrong with it
    """

    table: str = "readings"
    hot: bool = False
    again: str = ""
    typed: Mapping[str, str] | None = None
    problems: tuple[Problem, ...] = ()


def asked_part(
    name: str, job: Job, probe: Probe, model: Model, form: Form, report: SuspectsReport | None
) -> AskedPart:
    """The part.

    Parameters
    ----------
    name : of the job
    job, probe, model : what is asked for, of which loom
    form : what its form holds
    report : the suspects, where they are known, to say why
    """
    found = asked(job, probe, model, table=form.table)
    loom = Topology(job)
    why = report and offered(report, probe)
    safe = made_safe(loom, probe) if found.refusal else None
    scale = on_scale(found.band) if found.band else None
    warmths = _warmths(job, probe, form)
    told = {*found.telling, *(["engine_c"] if form.hot else [])}
    told |= {each.name for each in warmths if each.problem}
    value, meter, note = _fields(job, probe, form)
    return AskedPart(
        heading=UNITS[probe.quantity][0],
        red=found.red,
        black=found.black,
        faces=_faces(loom, found),
        before=found.before,
        holds=sentence(holds(loom, probe)) + ".",
        cautions=found.cautions,
        refusal=sentence(found.refusal.reason) + "." if found.refusal else "",
        instead=sentence(found.refusal.instead) + "." if found.refusal else "",
        safe_url=asking_url(name, safe, after=form.table == "proof") if safe else "",
        scale=scale,
        why=_why(job, why, report) if why and report else None,
        value=value,
        telling=tuple(each for each in warmths if each.name in told),
        others=tuple(each for each in warmths if each.name not in told),
        meter=meter,
        note=note,
        hidden=_hidden(probe, form),
    )


def _faces(loom: Topology, found: Asked) -> tuple[Face, ...]:
    """The faces of the plugs that are touched, each once."""
    marks: dict[str, dict[str, str]] = {}
    for mark, touch in ((RED, found.red), (BLACK, found.black)):
        if touch.plug:
            marks.setdefault(touch.plug, {})[touch.cavity] = mark
    return tuple(
        Face(probe_face_svg(loom.plugs[plug], at), face_words(loom.plugs[plug], at))
        for plug, at in marks.items()
    )


def _why(job: Job, reading: NextReading, report: SuspectsReport) -> Why:
    labels = Labels(job)
    numbers = [number for number, *_ in reading.expect if number >= 0]
    return Why(
        worth=worth(reading),
        gives=tuple((sentence(who), text) for who, text in expected(reading)),
        places=tuple(
            f"Suspect {number + 1}: "
            f"{labels.place(report.suspects[number].items, report.suspects[number].kind)}"
            for number in sorted(numbers)
        ),
    )


def _warmths(job: Job, probe: Probe, form: Form) -> tuple[Field, ...]:
    usual = temperatures(probe, last_taken(job, form.table))
    if form.hot:
        usual["engine_c"] = ""
    wrong = {each.where.column: each for each in form.problems}
    return tuple(
        Field(
            name=name,
            label=WARMTHS[name],
            unit="°C",
            kind="number",
            value=usual[name] if form.typed is None else form.typed.get(name, ""),
            required=form.hot and name == "engine_c",
            problem=_sentence(wrong.get(name)),
            inputmode="decimal",
        )
        for name in usual
    )


def _fields(job: Job, probe: Probe, form: Form) -> tuple[Field, ...]:
    """Value, meter, note."""
    last = last_taken(job, form.table) or last_taken(job)
    usual = {"meter": (last.meter if last else None) or _only_meter(job)}
    cells = usual if form.typed is None else form.typed
    made = fields(
        "readings", cells, job=job, problems=form.problems, only=("value", "meter", "note")
    )
    shown = {field.name: field for field in made}
    value = attrs.evolve(
        shown["value"], label="It reads", unit=UNITS[probe.quantity][1], help=_HELP
    )
    note = attrs.evolve(shown["note"], kind="text")
    return value, shown["meter"], note


def _only_meter(job: Job) -> str:
    return next((str(row.meter) for row in job.meters), "")


def _hidden(probe: Probe, form: Form) -> tuple[Hidden, ...]:
    """What makes the row of the reading with what is typed."""
    sent = {**as_texts(probe), "state": held(probe)}
    sent |= {"after": "1"} if form.table == "proof" else {}
    sent |= {"hot": "1"} if form.hot else {}
    sent |= {"again": form.again} if form.again else {}
    return tuple(Hidden(name, value) for name, value in sent.items())


def _sentence(problem: Problem | None) -> str:
    if problem is None:
        return ""
    return f"{sentence(problem.what)}. {sentence(problem.expected)}."

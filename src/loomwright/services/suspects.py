"""Find the suspects: what is wrong, how sure, why, and what to measure next."""

from __future__ import annotations

from statistics import NormalDist
from typing import Any

import attrs
import numpy as np

from loomwright.diagnosis import (
    NONE,
    Advisor,
    Diagnosis,
    Fault,
    Posterior,
    Suggestion,
    coverage,
    should_stop,
)
from loomwright.diagnosis.harm import Caution
from loomwright.diagnosis.likelihood import explain
from loomwright.loom import Job
from loomwright.services.contradictions import Contradiction, contradictions
from loomwright.services.diagnose import Diagnosed, Progress, diagnose, go_on
from loomwright.services.next_words import cautions_of, in_words, probe_json
from loomwright.services.numbers import plain, weighted_quantiles
from loomwright.services.separate import Separated, separations
from loomwright.services.why import Reason, from_complaint, reasons

MOST = 8
LEAST = 0.02
_LITTLE = 1.0 / 3.0
_CELLS = 60
_BELL = np.array([NormalDist().inv_cdf((i + 0.5) / 15) for i in range(15)])
"""A normal distribution in fifteen equal shares."""


@attrs.frozen(kw_only=True)
class Suspect:
    """A place where something may be wrong.

    Attributes
    ----------
    items : identifiers of the job's tables no reading can tell apart, likeliest first
    kind : the likeliest kind of fault there
    kinds : every kind with a share above a tenth, and its share
    at : points it lies at
    probability : that something is wrong here
    ohm : 5, 50 and 95 percent of the magnitude [ohm], None for an open or a swap
    because, against : readings for and against
    rests_on : readings each of which, left out, would leave little of the suspicion
    apart : what would tell the items apart, empty when there is nothing to tell apart
    complaint : how the complaint speaks for it, empty when it does not
    """

    items: tuple[str, ...]
    kind: str
    kinds: tuple[tuple[str, float], ...]
    at: tuple[str, ...]
    probability: float
    ohm: tuple[float, float, float] | None
    because: tuple[Reason, ...]
    against: tuple[Reason, ...]
    rests_on: tuple[str, ...]
    apart: str
    complaint: str = ""

    def json(self) -> dict[str, Any]:
        """The suspect as the documented JSON."""
        return {
            "items": list(self.items),
            "kind": self.kind,
            "kinds": {kind: round(share, 4) for kind, share in self.kinds},
            "at": list(self.at),
            "probability": round(self.probability, 4),
            "ohm": None if self.ohm is None else [plain(value, 3) for value in self.ohm],
            "because": [
                *(reason.sentence for reason in self.because),
                *filter(None, [self.complaint]),
            ],
            "against": [reason.sentence for reason in self.against],
            "rests_on": list(self.rests_on),
            "apart": self.apart,
        }


@attrs.frozen(kw_only=True)
class NextReading:
    """A reading worth taking, in words and in figures.

    Attributes
    ----------
    words : steps a person at the bonnet can follow
    expect : (suspect number, low, high); -1 is a sound loom
    """

    suggestion: Suggestion
    words: tuple[str, ...]
    expect: tuple[tuple[int, float, float], ...]
    cautions: tuple[Caution, ...]

    def json(self) -> dict[str, Any]:
        """The reading as the documented JSON; suspect -1 is a sound loom."""
        return {
            **probe_json(self.suggestion.candidate.probe),
            "gain_bits": round(self.suggestion.bits, 3),
            "minutes": round(self.suggestion.candidate.minutes, 2),
            "expect": [
                {"suspect": number, "low": plain(low), "high": plain(high)}
                for number, low, high in self.expect
            ],
            "cautions": [f"{caution.reason}: {caution.instead}" for caution in self.cautions],
            "words": list(self.words),
        }


@attrs.frozen(kw_only=True)
class SuspectsReport:
    """What is believed of a job.

    Attributes
    ----------
    sound : probability that nothing modelled is wrong
    unmodelled : probability that something outside the model is
    sure : probability that an item of the first suspect is at fault, in whatever way
    claimed : number of the suspect that may be acted on, None while none may
    coverage : share of the modelled faults the readings could have shown
    """

    job: str
    readings_used: int
    sound: float
    unmodelled: float
    suspects: tuple[Suspect, ...]
    next_readings: tuple[NextReading, ...]
    stop: bool
    sure: float
    claimed: int | None
    coverage: float
    contradictions: tuple[Contradiction, ...]
    separations: tuple[Separated, ...]
    set_aside: tuple[tuple[str, str], ...]

    def json(self) -> dict[str, Any]:
        """The report as the documented JSON."""
        return {
            "job": self.job,
            "readings_used": self.readings_used,
            "sound": round(self.sound, 4),
            "unmodelled": round(self.unmodelled, 4),
            "suspects": [suspect.json() for suspect in self.suspects],
            "next_readings": [reading.json() for reading in self.next_readings],
            "stop": self.stop,
            "sure": round(self.sure, 4),
            "claimed": self.claimed,
            "coverage": round(self.coverage, 3),
            "contradictions": [each.sentence for each in self.contradictions],
            "separations": [each.json() for each in self.separations],
            "set_aside": [{"reading": name, "reason": why} for name, why in self.set_aside],
        }


def suspects(
    job: Job, progress: Progress | None = None, *, found: Diagnosed | None = None
) -> SuspectsReport:
    """Rank what may be wrong and say what to measure next.

    Parameters
    ----------
    job : the job
    progress : told how far the work is
    found : its diagnosis, where that is already made

    Raises
    ------
    Stopped
        when `progress` answers False.
    """
    found = found or diagnose(job, progress)
    diagnosis = found.diagnosis
    go_on(progress, "weighing the faults", 0.5)
    posterior = found.posterior
    places = leading_places(posterior)
    advisor = Advisor(diagnosis)
    go_on(progress, "looking for the next reading", 0.7)
    offered = advisor.suggest(posterior)
    go_on(progress, "putting it in words", 0.9)
    return SuspectsReport(
        job=job.about.title,
        readings_used=len(found.used),
        sound=posterior.sound,
        unmodelled=posterior.unmodelled,
        suspects=tuple(_suspect(found, posterior, place) for place in places),
        next_readings=tuple(_next(diagnosis, each, places) for each in offered),
        stop=should_stop(posterior, offered, diagnosis.model.values["wrong_repair_minutes"]),
        sure=posterior.sure,
        claimed=places.index(posterior.claimed) if posterior.claimed in places else None,
        coverage=coverage(diagnosis),
        contradictions=contradictions(found, posterior),
        separations=separations(diagnosis, found.used),
        set_aside=tuple((str(reading.reading), why) for reading, why in found.set_aside),
    )


def ranked(found: Diagnosed) -> tuple[tuple[Suspect, ...], int | None]:
    """The suspects alone, without what to measure next, and the place of the claimed one."""
    posterior = found.posterior
    places = leading_places(posterior)
    claimed = places.index(posterior.claimed) if posterior.claimed in places else None
    return tuple(_suspect(found, posterior, place) for place in places), claimed


def leading_places(posterior: Posterior) -> list[int]:
    """Places worth showing, likeliest first: a few, and always the first."""
    order = np.argsort(-posterior.place, kind="stable")[:MOST].tolist()
    return [place for n, place in enumerate(order) if n == 0 or posterior.place[place] >= LEAST]


def _suspect(found: Diagnosed, posterior: Posterior, place: int) -> Suspect:
    diagnosis = found.diagnosis
    model = diagnosis.model
    members = diagnosis.places[place]
    weights = np.array([posterior.fault[number] for number in members.faults])
    share = weights / weights.sum() if weights.sum() > 0 else np.ones(len(weights)) / len(weights)
    by_kind: dict[str, float] = {}
    for number, part in zip(members.faults, share.tolist(), strict=True):
        kind = model.faults[number].kind
        by_kind[kind] = by_kind.get(kind, 0.0) + part
    kinds = sorted(by_kind.items(), key=lambda item: -item[1])
    because, against = reasons(found, posterior, place)
    lead = model.faults[members.faults[int(np.argmax(share))]]
    of_kind = [number for number in members.faults if model.faults[number].kind == kinds[0][0]]
    return Suspect(
        items=_ranked_items(found, posterior, place),
        kind=kinds[0][0],
        kinds=tuple(item for item in kinds if item[1] > 0.1 or item == kinds[0]),
        at=tuple(str(point) for point in lead.at),
        probability=float(posterior.place[place]),
        ohm=_magnitude(diagnosis, posterior, of_kind),
        because=because,
        against=against,
        rests_on=_rests_on(found, posterior, place),
        apart="" if _between(lead) else _apart(members.items),
        complaint=from_complaint(found, posterior, place),
    )


def _ranked_items(found: Diagnosed, posterior: Posterior, place: int) -> tuple[str, ...]:
    """Items of the place, those of the likelier faults first."""
    model, members = found.diagnosis.model, found.diagnosis.places[place]
    order = sorted(
        members.faults, key=lambda number: (-round(float(posterior.fault[number]), 9), number)
    )
    items = (item for number in order for item in model.faults[number].items)
    return tuple(dict.fromkeys(items))


def _magnitude(
    diagnosis: Diagnosis, posterior: Posterior, faults: list[int]
) -> tuple[float, float, float] | None:
    """Posterior quantiles of the magnitude in ohms.

    Each cell counts as the bell to which the readings have narrowed it.
    """
    if any(diagnosis.model.faults[number].size == "factor" for number in faults):
        return None
    h, p = posterior.hypotheses, posterior.probability
    one = np.isin(h.fault1, faults) & (h.width1 > 0)
    two = np.isin(h.fault2, faults) & (h.fault2 != NONE) & (h.width2 > 0)
    rows = np.flatnonzero(one | two)
    rows = rows[np.argsort(-p[rows], kind="stable")][:_CELLS]
    if not len(rows) or p[rows].sum() <= 0:
        return None
    some, second = h[rows], ~one[rows]
    centre = np.log(np.where(second, some.magnitude2, some.magnitude1))
    half = 0.5 * np.where(second, some.width2, some.width1)
    at, left = np.zeros(len(rows)), np.ones(len(rows))
    predicted = [taken.predictor.predict(some) for taken in diagnosis.taken]
    known = explain([taken.observed for taken in diagnosis.taken], predicted, p[rows])
    if known is not None:
        column = second.astype(np.int64)
        every = np.arange(len(rows))
        at, left = known.cells[every, column], known.cells_left[every, column]
    fine = (centre + half * at)[:, None] + (half * np.sqrt(left))[:, None] * _BELL
    return weighted_quantiles(np.exp(fine).ravel(), np.repeat(p[rows], len(_BELL)))


def _rests_on(found: Diagnosed, posterior: Posterior, place: int) -> tuple[str, ...]:
    """Readings without which less than a third of the probability would be left."""
    if not len(posterior.place_without):
        return ()
    left = posterior.place_without[:, place] < posterior.place[place] * _LITTLE
    return tuple(
        str(reading.reading) for reading, gone in zip(found.used, left, strict=True) if gone
    )


def _between(fault: Fault) -> bool:
    """Whether a fault lies between two cavities, so that both are meant, not one of them."""
    return fault.edge < 0 and fault.items == tuple(str(point) for point in fault.at)


def _apart(items: tuple[str, ...]) -> str:
    if len(items) < 2:
        return ""
    return (
        f"no reading can tell {', '.join(items[:4])}{' …' if len(items) > 4 else ''} apart: "
        "open the plug, look, clean or tug each in turn and repeat the last reading"
    )


def _next(diagnosis: Diagnosis, suggestion: Suggestion, places: list[int]) -> NextReading:
    number_of = {place: number for number, place in enumerate(places)} | {-1: -1}
    loom = diagnosis.model.network.topology
    probe = suggestion.candidate.probe
    said = cautions_of(loom, probe)
    before = diagnosis.taken[-1].probe if diagnosis.taken else None
    return NextReading(
        suggestion=suggestion,
        words=in_words(loom, probe, before),
        expect=tuple(
            (number_of[place], low, high)
            for place, low, high in suggestion.expected
            if place in number_of
        ),
        cautions=said,
    )

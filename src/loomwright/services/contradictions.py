"""Readings that cannot all be true, and the likeliest slip behind each."""

from __future__ import annotations

import math
from collections.abc import Iterator

import attrs
import numpy as np

from loomwright.circuit.configuration import Floats
from loomwright.diagnosis import Hypotheses, Posterior, Predictor, Probe, Setting, Taken
from loomwright.diagnosis.harm import control_plugs
from loomwright.diagnosis.scale import to_z
from loomwright.loom import TEMPERATURE_KEYS, Reading
from loomwright.services.diagnose import Diagnosed
from loomwright.services.numbers import shown

_SLIP = 0.5
_APART = 4.0  # standard uncertainties
_CLOSE = 2.5


@attrs.frozen(kw_only=True)
class Contradiction:
    """A reading that fits nothing, or two that disagree.

    Attributes
    ----------
    readings : their names
    what : what is wrong
    slip : the likeliest slip, empty when none explains it
    """

    readings: tuple[str, ...]
    what: str
    slip: str

    @property
    def sentence(self) -> str:
        """The whole message."""
        tail = f" Likeliest slip: {self.slip}." if self.slip else " Take it again."
        return f"{' and '.join(self.readings)}: {self.what}.{tail}"


def contradictions(found: Diagnosed, posterior: Posterior) -> tuple[Contradiction, ...]:
    """Slips and disagreements among the readings used."""
    return (*_disagreeing(found), *_lone(found, posterior))


def _disagreeing(found: Diagnosed) -> list[Contradiction]:
    """The same reading taken twice with different values."""
    said = []
    pairs = list(zip(found.used, found.diagnosis.taken, strict=True))
    for n, (one, first) in enumerate(pairs):
        for other, second in pairs[n + 1 :]:
            if not _same(first.probe, second.probe) or _agree(first, second):
                continue
            values = f"{shown(one.value, one.quantity)} and {shown(other.value, other.quantity)}"
            said.append(
                Contradiction(
                    readings=(str(one.reading), str(other.reading)),
                    what=f"the same points in the same state read {values}",
                    slip="a probe that did not touch, or a loose contact moved between the two",
                )
            )
    return said


def _same(one: Probe, other: Probe) -> bool:
    if one.quantity != other.quantity or one.setting != other.setting:
        return False
    if one.quantity == "ohm":
        return {one.plus, one.minus} == {other.plus, other.minus}
    return (one.plus, one.minus) == (other.plus, other.minus)


def _agree(one: Taken, other: Taken) -> bool:
    if one.observed.over or other.observed.over:
        return one.observed.over == other.observed.over
    own = one.predictor.meter.own_spread(np.array(100.0), 0.1)
    sigma = max(float(np.sqrt(one.predicted.own[0])), 0.01, float(own) * 1e-3)
    return abs(one.observed.z - other.observed.z) < _APART * sigma * math.sqrt(2.0)


def _lone(found: Diagnosed, posterior: Posterior) -> list[Contradiction]:
    """Readings that the best explanation of the others cannot give."""
    said = []
    best = _best(posterior)
    for number, (reading, taken) in enumerate(zip(found.used, found.diagnosis.taken, strict=True)):
        lone = len(posterior.slip) > number and posterior.slip[number] > _SLIP
        misfit = posterior.unmodelled > _SLIP and _far(taken, best)
        if lone or misfit:
            what = (
                f"{shown(reading.value, reading.quantity)} does not fit the other readings"
                if lone
                else f"{shown(reading.value, reading.quantity)} fits no fault that is modelled"
            )
            said.append(
                Contradiction(
                    readings=(str(reading.reading),),
                    what=what,
                    slip=_slip(found, reading, taken, best),
                )
            )
    return said


def _best(posterior: Posterior) -> Hypotheses | None:
    if not len(posterior.probability) or posterior.probability.max() < posterior.sound:
        return None
    return posterior.hypotheses[np.array([int(np.argmax(posterior.probability))])]


def _misfit(predictor: Predictor, h: Hypotheses, value: float) -> float:
    """Distance of a value from a prediction in standard uncertainties."""
    predicted = predictor.predict(h)
    if math.isinf(value) or predicted.over[0]:
        return 0.0 if math.isinf(value) and predicted.over[0] else math.inf
    z: Floats = to_z(predictor.probe.quantity, np.array(value))
    return abs(float(z) - float(predicted.z[0])) / float(np.sqrt(predicted.variance[0]))


def _far(taken: Taken, best: Hypotheses | None) -> bool:
    h = taken.predictor.model.singles[:1] if best is None else best
    value = math.inf if taken.observed.over else taken.observed.z
    if math.isinf(value):
        return not bool(taken.predictor.predict(h).over[0])
    predicted = taken.predictor.predict(h)
    away = abs(taken.observed.z - float(predicted.z[0])) / float(np.sqrt(predicted.variance[0]))
    return bool(predicted.over[0]) or away > _APART


_WRITTEN_WRONG = (
    (1e3, "read on a kΩ range and written as Ω"),
    (1e-3, "written a thousand times too high, Ω taken for kΩ"),
    (1e6, "read on a MΩ range and written as Ω"),
)
_GUESSED_K = (-40.0, -20.0, -10.0, 10.0, 20.0, 40.0, 60.0)


def _slip(found: Diagnosed, reading: Reading, taken: Taken, best: Hypotheses | None) -> str:
    """The slip that brings the reading closest to the best explanation of the others."""
    model = found.diagnosis.model
    h = model.singles[:1] if best is None else best
    tries = [
        (_misfit(taken.predictor, h, reading.value * factor), words)
        for factor, words in _WRITTEN_WRONG
        if reading.quantity == "ohm"
    ]
    leads = model.assume.leads_ohm
    if reading.quantity == "ohm" and reading.value > leads:
        misfit = _misfit(taken.predictor, h, reading.value - leads)
        tries.append((misfit, "lead resistance not taken off"))
    for setting, words in _other_settings(found, taken.probe.setting):
        probe = attrs.evolve(taken.probe, setting=setting)
        tries.append((_misfit(Predictor(model, probe), h, reading.value), words))
    closest = min(tries, key=lambda pair: pair[0], default=(math.inf, ""))
    return closest[1] if closest[0] < _CLOSE else ""


def _other_settings(found: Diagnosed, setting: Setting) -> Iterator[tuple[Setting, str]]:
    """Settings the reading may really have been taken in."""
    loom = found.diagnosis.model.network.topology
    control = set(control_plugs(loom))
    off = setting.unplugged
    for plug in sorted(off - control):
        yield attrs.evolve(setting, unplugged=off - {plug}), f"plug {plug} was left on"
    for plug in sorted({name for each in found.used for name in each.unplugged} - off - control):
        yield attrs.evolve(setting, unplugged=off | {plug}), f"plug {plug} was still off"
    state = setting.as_state
    for name in TEMPERATURE_KEYS:
        value = state.settings.get(name)
        for step in _GUESSED_K if isinstance(value, float) else ():
            moved = Setting.of(state.changed(**{name: float(value or 0.0) + step}), off)
            yield moved, f"the {name.removesuffix('_c')} temperature was guessed wrong"

"""What each reading should be in a sound loom, against what was read."""

from __future__ import annotations

import math
from typing import Any

import attrs
import numpy as np

from loomwright.circuit.paths import SidePath, Stretch, side_paths, stretch
from loomwright.diagnosis import Admissible, Model, Predictor, Probe, Situation
from loomwright.diagnosis.harm import Caution
from loomwright.diagnosis.scale import from_z
from loomwright.loom import Job, Reading, State
from loomwright.services.diagnose import gate
from loomwright.services.numbers import plain

_COVER = 2.0  # the band covers about 95 percent


@attrs.frozen(kw_only=True)
class Expectation:
    """One reading with its band.

    Attributes
    ----------
    reading : its name, None for one not taken
    low, nominal, high : band of a sound loom [ohm or V], infinite for over-range
    taken : the value read, None when not taken
    verdict : `as expected`, `too low`, `too high`, `open`, `not open`, `refused` or `not taken`
    side_paths : devices that carry part of the reading's current
    cautions : what the harm gate says
    drop : for a voltage along wires alone, the stretch that it is the drop of
    """

    reading: str | None
    quantity: str
    plus: str
    minus: str
    unplugged: tuple[str, ...]
    state: str
    low: float
    nominal: float
    high: float
    taken: float | None
    verdict: str
    side_paths: tuple[SidePath, ...]
    cautions: tuple[Caution, ...]
    drop: Stretch | None = None

    def json(self) -> dict[str, Any]:
        """The row as the documented JSON; over-range is the text OL."""
        return {
            "reading": self.reading,
            "quantity": self.quantity,
            "plus": self.plus,
            "minus": self.minus,
            "unplugged": list(self.unplugged),
            "state": self.state,
            "low": plain(self.low),
            "nominal": plain(self.nominal),
            "high": plain(self.high),
            "taken": None if self.taken is None else plain(self.taken),
            "verdict": self.verdict,
            "side_paths": [
                {"device": path.device, "share": round(path.share, 4), "unplug": list(path.unplug)}
                for path in self.side_paths
            ],
            "cautions": [caution.reason for caution in self.cautions],
            "drop": None if self.drop is None else self._drop_json(self.drop),
        }

    def _drop_json(self, drop: Stretch) -> dict[str, Any]:
        return {
            "items": list(drop.items),
            "ampere": plain(drop.ampere),
            "expected_mohm": plain(1e3 * drop.ohm),
            "wire_alone_mohm": plain(1e3 * drop.wire_ohm),
            "measured_mohm": None
            if self.taken is None
            else plain(1e3 * drop.measured_ohm(self.taken)),
        }


def expect(
    job: Job, *, include_untaken: bool = False, model: Model | None = None
) -> tuple[Expectation, ...]:
    """Every reading taken with its band; on request the useful ones not taken too.

    Useful are the readings at the control plug with the key off that nothing in the loom makes
    over-range, and the supply there with the key on. `model` is the loom's, where it is already
    made.
    """
    model = model or Model(job)
    rows = [expectation(model, reading) for reading in job.readings]
    if include_untaken:
        done = {(row.quantity, row.plus, row.minus) for row in rows}
        rows += [
            row for row in _untaken(job, model) if (row.quantity, row.plus, row.minus) not in done
        ]
    return tuple(rows)


def expectation(model: Model, reading: Reading) -> Expectation:
    """One reading taken, with its band and verdict."""
    said = gate(model.network.topology, reading)
    return _row(model, Probe.of(reading), str(reading.state), reading, said)


def untaken(model: Model, probe: Probe) -> Expectation:
    """The band of one reading that was not taken."""
    return _row(model, probe, str(probe.setting.as_state), None, ())


def _untaken(job: Job, model: Model) -> list[Expectation]:
    state = job.readings[-1].state if job.readings else State()
    meter = next((row.meter for row in job.meters), None)
    admissible = Admissible(model)
    control = set(admissible.control)
    rows = []
    now = Situation(state=state.changed(key="off"), opened=frozenset(control), meter=meter)
    for candidate in admissible.candidates(now, ()):
        probe = candidate.probe
        at_rest = all(now.state.settings.get(k) == v for k, v in probe.setting.state if k != "key")
        if at_rest and probe.setting.unplugged == control and _connected(model, probe):
            row = untaken(model, probe)
            if math.isfinite(row.nominal):
                rows.append(row)
    return rows


def _connected(model: Model, probe: Probe) -> bool:
    """Whether the sound loom leads from one point to the other; volts need no way."""
    nodes = model.nodes(probe)
    if nodes is None or probe.quantity != "ohm":
        return nodes is not None
    island = model.solved(probe.setting).island
    return bool(island[nodes[0]] == island[nodes[1]])


def _row(
    model: Model,
    probe: Probe,
    state: str,
    reading: Reading | None,
    cautions: tuple[Caution, ...],
) -> Expectation:
    nodes = model.nodes(probe)
    low = nominal = high = math.inf if probe.quantity == "ohm" else 0.0
    beyond = "not taken"
    paths: tuple[SidePath, ...] = ()
    drop = None
    if nodes is not None:
        predictor = Predictor(model, probe)
        sound = predictor.predict(model.singles[:1])
        spread = _COVER * float(np.sqrt(sound.variance[0]))
        if not sound.over[0]:
            low, nominal, high = (
                float(from_z(probe.quantity, sound.z[0] + step)) for step in (-spread, 0.0, spread)
            )
            low = max(low, 0.0) if probe.quantity == "ohm" else low
        if probe.quantity == "ohm":
            paths = side_paths(model.network, predictor.solved, *nodes)
        else:
            drop = stretch(model.network, predictor.solved, *nodes)
        if reading is not None:
            beyond = _verdict(reading.value, low, high, limit=predictor.meter.limit)
    if any(caution.refuses for caution in cautions):
        beyond = "refused"
    return Expectation(
        reading=None if reading is None else reading.reading,
        quantity=probe.quantity,
        plus=str(probe.plus),
        minus=str(probe.minus),
        unplugged=tuple(sorted(probe.setting.unplugged)),
        state=state,
        low=low,
        nominal=nominal,
        high=high,
        taken=None if reading is None else reading.value,
        verdict=beyond,
        side_paths=paths,
        cautions=cautions,
        drop=drop,
    )


def _verdict(value: float, low: float, high: float, *, limit: float) -> str:
    if math.isinf(low):
        return "as expected" if math.isinf(value) or value > limit else "not open"
    if math.isinf(value):
        return "as expected" if high > limit else "open"
    if value < low:
        return "too low"
    return "too high" if value > high else "as expected"

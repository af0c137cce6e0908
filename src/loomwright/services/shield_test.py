"""What warming a plug with a hot-air blower tells of its boot: how many times slower it warms.

The answer rests on the times to the same rise; time constants fitted to the curves stand beside
it. What the readings do not tell is said, with what to measure instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import isinf
from typing import Any

import attrs
import numpy as np

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job, WarmingPoint
from loomwright.physics.same_rise import SameRise, same_rise
from loomwright.physics.warming import Estimate, Warming, WarmingFit, fit_pair, fit_warming
from loomwright.services.numbers import plain

__all__ = [
    "BAD",
    "CAUTIONS",
    "GOOD",
    "OPEN",
    "Estimate",
    "RunRead",
    "SameRise",
    "ShieldTest",
    "WarmingFit",
    "logged_runs",
    "shield_tests",
]

GOOD, BAD, OPEN = "good", "bad", "not told"
ON, OFF = "on", "off"
CAUTIONS = (
    "Not on a car with fuel vapour about: no hot-air blower where it smells of fuel, or where a "
    "fuel line, an injector or the tank is open. Extinguisher in reach.",
    "Key off before the plug comes off its device, and it stays off: nothing is powered meanwhile.",
    "Hot air melts plastic and old insulation: stop at 50 °C inside the plug, keep the blower "
    "moving off hoses and tape, and let the plug cool before you touch it.",
)
"""What to mind when a plug is warmed; common practice, no published source."""
_SPREAD_K = 10.0  # blown air that differs by more within a run is not one temperature
_WIDE = 4.0  # an interval whose ends differ by more tells next to nothing


@attrs.frozen(kw_only=True)
class RunRead:
    """One run as it was logged.

    Attributes
    ----------
    run : its name
    boot : `on` or `off`
    readings : how many temperatures
    seconds : how long it was warmed
    first_c, last_c : first and last temperature [°C]
    air_c : mean of the blown air [°C]; None where it was not measured
    """

    run: str
    boot: str
    readings: int
    seconds: float
    first_c: float
    last_c: float
    air_c: float | None


@attrs.frozen(kw_only=True)
class ShieldTest:
    """What the runs of one plug say of its boot.

    Attributes
    ----------
    plug : its name; blank where the runs do not name one
    runs : what was logged
    bare, shielded : time constants without and with the boot; None where they cannot be told
    slower : by the times to the same rise; None where it cannot be told
    constants : ratio of the time constants; None likewise
    usual, least : how many times a sound boot slows it, and from how many on it counts as sound
    verdict : `good`, `bad` or `not told`
    not_told : what could not be told
    measure : what to measure instead
    cautions : what to mind when it is measured
    """

    plug: str
    runs: tuple[RunRead, ...]
    bare: WarmingFit | None
    shielded: WarmingFit | None
    slower: SameRise | None
    constants: Estimate | None
    usual: float
    least: float
    verdict: str
    not_told: tuple[str, ...]
    measure: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def times_slower(self) -> Estimate | None:
        """The answer: by the same rise, by the time constants where that does not tell."""
        return self.slower.slower if self.slower else self.constants

    def json(self) -> dict[str, Any]:
        """The test as the documented JSON."""
        return {
            "plug": self.plug,
            "runs": [attrs.asdict(each) for each in self.runs],
            "bare": _fit(self.bare),
            "shielded": _fit(self.shielded),
            "same_rise": None
            if self.slower is None
            else {
                "rise_k": plain(self.slower.rise_k, 3),
                "same_share_of_the_way_to_the_air": self.slower.of_air,
                "bare_s": _estimate(self.slower.bare_s),
                "shielded_s": _estimate(self.slower.shielded_s),
                "slower": _estimate(self.slower.slower),
            },
            "constants_slower": _estimate(self.constants),
            "usual": {"times": self.usual, "least": self.least, "standing": "common practice"},
            "verdict": self.verdict,
            "not_told": list(self.not_told),
            "measure": list(self.measure),
            "cautions": list(self.cautions),
        }


def shield_tests(job: Job) -> tuple[ShieldTest, ...]:
    """A test for every plug that was warmed, in the order of the sheet.

    Raises
    ------
    OutOfRange : a figure of the workshop's own is not possible
    """
    value = own_values(job)
    return tuple(_test(plug, runs, value) for plug, runs in _of_plugs(job).items())


def logged_runs(job: Job) -> dict[str, dict[tuple[str, str], Warming]]:
    """The runs of each plug by name and state of the boot, in the order of the sheet."""
    return {
        plug: {key: _warming(points) for key, points in runs.items()}
        for plug, runs in _of_plugs(job).items()
    }


def _of_plugs(job: Job) -> dict[str, dict[tuple[str, str], list[WarmingPoint]]]:
    found: dict[str, dict[tuple[str, str], list[WarmingPoint]]] = {}
    for point in job.warmings:
        runs = found.setdefault(str(point.plug or ""), {})
        runs.setdefault((str(point.run), point.boot), []).append(point)
    return found


def _test(
    plug: str, logged: Mapping[tuple[str, str], list[WarmingPoint]], value: Mapping[str, float]
) -> ShieldTest:
    made = {key: _warming(points) for key, points in logged.items()}
    bare, boot = (
        [run for (_, state), run in made.items() if state == wanted] for wanted in (OFF, ON)
    )
    doubt = {"reading_k": value["blower_reading_uncertainty"]}
    fitting = {**doubt, "highest_air_c": _highest(made.values(), value["blower_highest"])}
    slower = same_rise(bare, boot, **doubt, timing_s=value["blower_timing_uncertainty"])
    pair = fit_pair(bare, boot, **fitting) if bare and boot else None
    one, other = (pair.bare, pair.shielded) if pair else (
        fit_warming(runs, **fitting) if runs else None for runs in (bare, boot))  # fmt: skip
    found = ShieldTest(
        plug=plug,
        runs=tuple(_read(*key, run) for key, run in made.items()),
        bare=one,
        shielded=other,
        slower=slower,
        constants=pair.slower if pair else None,
        usual=value["boot_slows"],
        least=value["boot_slows_least"],
        verdict=OPEN, not_told=(), measure=(),
    )  # fmt: skip
    gaps = (*_gaps(found, logged), *_unsure(found))
    return attrs.evolve(
        found,
        verdict=_verdict(found),
        not_told=tuple(what for what, _ in gaps),
        measure=tuple(dict.fromkeys(instead for _, instead in gaps)),
    )


def _warming(points: list[WarmingPoint]) -> Warming:
    """The run in time; of two readings at one time the first counts."""
    rows = {each.seconds: each for each in reversed(points)}
    told = [rows[seconds] for seconds in sorted(rows)]
    airs = [each.air_c for each in told if each.air_c is not None]
    return Warming(
        times_s=[each.seconds for each in told],
        temperatures_c=[each.temperature_c for each in told],
        air_c=float(np.mean(airs)) if airs else None,
    )


def _read(run: str, boot: str, warming: Warming) -> RunRead:
    return RunRead(
        run=run,
        boot=boot,
        readings=len(warming.times_s),
        seconds=float(warming.times_s[-1] - warming.times_s[0]),
        first_c=float(warming.temperatures_c[0]),
        last_c=float(warming.temperatures_c[-1]),
        air_c=warming.air_c,
    )


def _highest(runs: Iterable[Warming], highest_c: float) -> float:
    """No blower is hotter; a plug that got there all the same proves the figure wrong."""
    return max(highest_c, *(float(run.temperatures_c.max()) + 1.0 for run in runs))


def _verdict(test: ShieldTest) -> str:
    found = test.times_slower
    if found is not None and found.high < test.least:
        return BAD
    return GOOD if found is not None and found.low >= test.least else OPEN


Gap = tuple[str, str]
"""What could not be told, and what to measure instead."""


def _gaps(test: ShieldTest, logged: Mapping[tuple[str, str], list[WarmingPoint]]) -> Iterator[Gap]:
    if not test.plug:
        yield "which plug was warmed", "write the plug beside every reading of a run"
    for state, how in ((OFF, "with the boot slid back"), (ON, "with the boot on")):
        if not any(each.boot == state for each in test.runs):
            yield f"how it warms {how}", f"warm it {how}, same blower, same distance"
    for (run, _), points in logged.items():
        if min(each.seconds for each in points) > 0:
            yield f"where run {run} began", "log the temperature at 0 s, before the blower is on it"
        airs = [each.air_c for each in points if each.air_c is not None]
        if airs and max(airs) - min(airs) > _SPREAD_K:
            yield (
                f"how warm the air of run {run} was: {min(airs):g} to {max(airs):g} °C",
                "let the blower run warm first, then hold it still",
            )


def _unsure(test: ShieldTest) -> Iterator[Gap]:
    more = "log six temperatures or more in each run, until the plug has 50 °C or more"
    air = "hold the thermometer in the blown air where it meets the plug, and write that down"
    both = {each.boot for each in test.runs} == {ON, OFF}
    if both and test.slower is None:
        yield "the time to the same rise: no clear rise that both reached", more
    for state, fit in (("without", test.bare), ("with", test.shielded)):
        if any(each.boot == (ON if state == "with" else OFF) for each in test.runs):
            if fit is None:
                yield f"the time constant {state} the boot: too few readings", more
            elif isinf(fit.time_constant_s.high) or fit.time_constant_s.low == 0:
                yield f"the time constant {state} the boot: the curve is too straight", more
    if any(each.air_c is None for each in test.runs):
        yield "how far the blown air could have warmed it", air
    found = test.times_slower
    if found is not None and _verdict(test) == OPEN:
        yield "whether the boot is sound: the readings allow both", "warm it twice more each way"
    elif found is not None and found.high > _WIDE * found.low:
        yield "how many times slower, to better than a factor of 2", more


def _fit(fit: WarmingFit | None) -> dict[str, Any] | None:
    if fit is None:
        return None
    return {
        "time_constant_s": _estimate(fit.time_constant_s),
        "scatter_k": plain(fit.residual_sd, 2),
        "freedom": fit.freedom,
    }


def _estimate(found: Estimate | None) -> dict[str, float | str | None] | None:
    """An end that is open is null."""
    if found is None:
        return None
    return {
        "value": plain(found.value, 3),
        "low": plain(found.low, 3) if found.low > 0 else None,
        "high": None if isinf(found.high) else plain(found.high, 3),
    }

"""What the trial crimps of each set-up prove: counts, heights, pulls against a standard, warnings.

A trial counts as good when nothing speaks against it: its look is not doubtful or bad and its pull
is not below the least force. One that was neither looked at nor pulled does not count. Height and
look come first: a high pull alone does not make a good crimp. Bounds take the pulls for normally
distributed, which a handful cannot show; where the wire broke, its force stands for the crimp's.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import floor
from typing import TypeVar

import attrs

from loomwright import standards
from loomwright.loom import CrimpTrial, Job, NotFound
from loomwright.loom.identity import SetUpId
from loomwright.physics.crimp import compression, crimped_area
from loomwright.physics.tolerance import (
    Capability,
    ChartLimits,
    capability,
    chart_limits,
    lower_bound,
    proven_share,
    tolerance_factor,
    trials_for_factor,
    trials_needed,
)
from loomwright.repair.crimp_warnings import Measures, warnings_of, wrong_die
from loomwright.standards import PullForce, pull_force

Found = TypeVar("Found")

NOT_TOLD = "not told"
LOOKS = ("good", "doubtful", "bad", NOT_TOLD)
"""How a crimp may look; the keys of `SetUp.looks`."""

STANDARD = "ul-486a-486b"
"""The standard whose forces are asked for unless another is named: the one that was seen."""


@attrs.frozen(kw_only=True)
class Proof:
    """What the counted trials show.

    Attributes
    ----------
    trials, failures : counted, and not good among them
    share : share that is good at least, with the confidence asked for; 0 without a trial
    more : good trials still to be made to show the coverage asked for by counting
    by_measuring : pulls still to be made to show it by measuring, were they to go on with their
        mean and scatter; None where that cannot be reached or told
    """

    trials: int
    failures: int
    share: float
    more: int
    by_measuring: int | None


@attrs.frozen(kw_only=True)
class Values:
    """Measured values of a set-up in the order of the trials.

    Attributes
    ----------
    values : as measured [mm or N]
    mean, scatter : their mean and standard deviation; None without enough of them
    running_mean : mean up to and with each value
    worst : for pulls the least, for heights the farthest from the mean
    limits : control limits; None for a single value
    """

    values: tuple[float, ...]
    mean: float | None
    scatter: float | None
    running_mean: tuple[float, ...]
    worst: float | None
    limits: ChartLimits | None


@attrs.frozen(kw_only=True)
class SetUp:
    """All that the trials of one set-up show.

    Attributes
    ----------
    set_up, terminal, section_mm2, die : what it is
    trials : all rows of it
    looks : how many look good, doubtful, bad, or were not told
    broke_wire, slipped : how many gave way at the wire, and slipped out of the crimp
    pulls_by_break : mean pull of these two [N]; None without any
    heights, pulls : the measured values [mm], [N]
    least : the force asked for, with its standing; None where the standard has none
    why_none : why, in a sentence; empty otherwise
    bound_n : force that the covered share bears with the confidence asked for [N]; None below two
        pulls
    index : capability against the least force; None below two pulls
    compression : area of each crimp against its metal; empty where that is not known
    proof : what the counts show
    said : that in sentences
    warnings : what to look at, in sentences
    """

    set_up: SetUpId
    terminal: str | None
    section_mm2: float | None
    die: str | None
    trials: tuple[CrimpTrial, ...]
    looks: Mapping[str, int]
    broke_wire: int
    slipped: int
    pulls_by_break: Mapping[str, float | None]
    heights: Values
    pulls: Values
    least: PullForce | None
    why_none: str
    bound_n: float | None
    index: Capability | None
    compression: tuple[float, ...]
    proof: Proof
    said: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def passes(self) -> bool | None:
        """Whether the bound reaches the least force; None where either is not known."""
        if self.bound_n is None or self.least is None:
            return None
        return self.bound_n >= self.least.pull_n


def crimp_trials(
    job: Job,
    *,
    standard: str = STANDARD,
    coverage: float = 0.95,
    confidence: float = 0.95,
    barrel_mm2: Mapping[str, float] | None = None,
) -> tuple[SetUp, ...]:
    """What the trials of each set-up show, in the order of the sheet.

    Parameters
    ----------
    job : with its table of trial crimps
    standard : key of the standard whose least forces are asked for (`standards.pull_standards`)
    coverage : share of all crimps to be shown good
    confidence : with which it is to be shown
    barrel_mm2 : metal area of the barrel by set-up [mm²], where known, for the compression

    Raises
    ------
    NotFound : there is no such standard
    OutOfRange : a share not between 0 and 1, or a height flatter than a crimp can be
    """
    if standard not in standards.pull_standards():
        pull_force(1.0, standard=standard)  # tells the known ones
    rows: dict[SetUpId, list[CrimpTrial]] = {}
    for trial in job.crimps:
        rows.setdefault(trial.set_up, []).append(trial)
    figures = standards.values({row.name: row.value for row in job.settings})
    dies = {
        name: part.die
        for part in job.catalogue
        for name in (part.part, part.label)
        if name and part.die
    }
    judge = _Judge(standard, coverage, confidence, figures, dies)
    areas = barrel_mm2 or {}
    return tuple(judge.set_up(found, areas.get(name)) for name, found in rows.items())


def counts(set_ups: Sequence[SetUp]) -> tuple[int, int]:
    """Trials that failed and trials that were good, of several set-ups together."""
    failed = sum(each.proof.failures for each in set_ups)
    return failed, sum(each.proof.trials for each in set_ups) - failed


@attrs.frozen
class _Judge:
    standard: str
    coverage: float
    confidence: float
    figures: Mapping[str, float]
    dies: Mapping[str, str]

    def set_up(self, rows: list[CrimpTrial], barrel_mm2: float | None) -> SetUp:
        section = _first(row.section_mm2 for row in rows)
        least, why_none = self._least(section)
        heights = _values([row.height_mm for row in rows], least_is_worst=False)
        pulls = _values([row.pull_n for row in rows], least_is_worst=True)
        proof = self._proof(rows, least, pulls)
        bound, index = self._against(pulls, least)
        pressed = _compression(rows, section, barrel_mm2)
        measures = Measures(
            heights=heights.values, pulls=pulls.values, compression=pressed, least=least
        )
        by_break = {
            place: _mean([row.pull_n for row in rows if row.failed_at == place])
            for place in ("wire", "crimp")
        }
        return SetUp(
            set_up=rows[0].set_up,
            terminal=_first(row.terminal for row in rows),
            section_mm2=section,
            die=_first(row.die for row in rows),
            trials=tuple(rows),
            looks={look: sum((row.look or NOT_TOLD) == look for row in rows) for look in LOOKS},
            broke_wire=sum(row.failed_at == "wire" for row in rows),
            slipped=sum(row.failed_at == "crimp" for row in rows),
            pulls_by_break=by_break,
            heights=heights,
            pulls=pulls,
            least=least,
            why_none=why_none,
            bound_n=bound,
            index=index,
            compression=pressed,
            proof=proof,
            said=tuple(self._said(proof, bound, least, pulls)),
            warnings=(*wrong_die(rows, self.dies), *warnings_of(rows, measures, self.figures)),
        )

    def _least(self, section: float | None) -> tuple[PullForce | None, str]:
        if section is None:
            return None, "The conductor's section is not given, so no least pull can be told."
        try:
            return pull_force(section, standard=self.standard), ""
        except NotFound as lack:
            return None, str(lack)

    def _proof(self, rows: list[CrimpTrial], least: PullForce | None, pulls: Values) -> Proof:
        verdicts = [good for row in rows if (good := _good(row, least)) is not None]
        failures = verdicts.count(False)
        asked = {"coverage": self.coverage, "confidence": self.confidence}
        share = (
            proven_share(len(verdicts), failures=failures, confidence=self.confidence)
            if verdicts
            else 0.0
        )
        needed = trials_needed(failures=failures, **asked)
        return Proof(
            trials=len(verdicts),
            failures=failures,
            share=share,
            more=max(needed - len(verdicts), 0),
            by_measuring=_pulls_missing(pulls, least, asked),
        )

    def _against(
        self, pulls: Values, least: PullForce | None
    ) -> tuple[float | None, Capability | None]:
        if len(pulls.values) < _ENOUGH:
            return None, None
        bound = lower_bound(pulls.values, coverage=self.coverage, confidence=self.confidence)
        if least is None:
            return bound, None
        return bound, capability(pulls.values, limit=least.pull_n, confidence=self.confidence)

    def _said(
        self, proof: Proof, bound: float | None, least: PullForce | None, pulls: Values
    ) -> list[str]:
        sure = f"with {_percent(self.confidence)} confidence"
        said = [_counted(proof, sure)]
        if proof.more:
            more = f"{proof.more} more" + (" of them" if not proof.trials else "")
            said.append(
                f"To show {_percent(self.coverage)} by counting, {more} would have to be good."
            )
        if bound is not None:
            bears = (
                f"at least {_percent(self.coverage)} bear {bound:.0f} N"
                if bound > 0
                else "the scatter is too wide to promise any force"
            )
            count = len(pulls.values)
            said.append(f"By their {count} pulls, {sure}, {bears}{_asked(least)}.")
        if proof.by_measuring and least is not None and bound is not None and bound < least.pull_n:
            said.append(
                f"With this mean and scatter, {proof.by_measuring} more "
                f"{'pull' if proof.by_measuring == 1 else 'pulls'} would show it."
            )
        return said


_ENOUGH = 2


def _good(row: CrimpTrial, least: PullForce | None) -> bool | None:
    """Whether a trial is good; None when it was neither looked at nor pulled."""
    weak = row.pull_n is not None and least is not None and row.pull_n < least.pull_n
    if row.look in ("doubtful", "bad") or weak:
        return False
    return None if row.look is None and row.pull_n is None else True


def _counted(proof: Proof, sure: str) -> str:
    if not proof.trials:
        return "No trial was looked at or pulled, so nothing is shown."
    share = _percent(proof.share)
    if not proof.failures:
        trials = "1 good trial" if proof.trials == 1 else f"{proof.trials} good trials"
        shows = "shows" if proof.trials == 1 else "show"
        return f"{trials} without failure {shows} {sure} that at least {share} are good."
    return (
        f"{proof.failures} of {proof.trials} trials were not good: "
        f"{sure} at least {share} are good."
    )


def _asked(least: PullForce | None) -> str:
    if least is None:
        return ""
    return f"; {least.pull_n:g} N is asked for at {least.section_mm2:g} mm²"


def _pulls_missing(
    pulls: Values, least: PullForce | None, asked: Mapping[str, float]
) -> int | None:
    count = len(pulls.values)
    if least is None or pulls.mean is None or not pulls.scatter:
        return None
    factor = (pulls.mean - least.pull_n) / pulls.scatter
    if tolerance_factor(count, **asked) <= factor:
        return 0
    needed = trials_for_factor(factor, **asked)
    return None if needed is None else needed - count


def _compression(
    rows: list[CrimpTrial], section: float | None, barrel_mm2: float | None
) -> tuple[float, ...]:
    if section is None or barrel_mm2 is None:
        return ()
    areas = (
        crimped_area(row.height_mm * 1e-3, width_m=row.width_mm * 1e-3)
        for row in rows
        if row.height_mm is not None and row.width_mm is not None
    )
    return tuple(
        compression(area, copper_m2=section * 1e-6, barrel_m2=barrel_mm2 * 1e-6) for area in areas
    )


def _values(measured: Sequence[float | None], *, least_is_worst: bool) -> Values:
    values = tuple(value for value in measured if value is not None)
    if not values:
        return Values(values=(), mean=None, scatter=None, running_mean=(), worst=None, limits=None)
    running = tuple(sum(values[:n]) / n for n in range(1, len(values) + 1))
    mean, several = running[-1], len(values) >= _ENOUGH
    squares = sum((value - mean) ** 2 for value in values)
    worst = min(values) if least_is_worst else max(values, key=lambda each: abs(each - mean))
    return Values(
        values=values,
        mean=mean,
        scatter=(squares / (len(values) - 1)) ** 0.5 if several else None,
        running_mean=running,
        worst=worst,
        limits=chart_limits(values) if several else None,
    )


def _mean(values: Sequence[float | None]) -> float | None:
    found = [value for value in values if value is not None]
    return sum(found) / len(found) if found else None


def _first(values: Iterable[Found | None]) -> Found | None:
    return next((value for value in values if value is not None), None)


def _percent(share: float) -> str:
    """A share in words; near the end one digit more, never rounded up to what is not shown."""
    hundred = 100 * share
    return f"{hundred:.0f} %" if hundred < 90 else f"{floor(10 * hundred + 1e-9) / 10:g} %"

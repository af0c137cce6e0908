"""What to look at in the trials of a set-up: drift, spread, slips, words in the notes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

import attrs

from loomwright.loom import CrimpTrial
from loomwright.physics.tolerance import chart_limits
from loomwright.standards import PullForce

_CHART_FROM = 5  # limits of fewer values say little
_DRIFT_FROM = 4

NOTED = (
    (
        re.compile(r"\b(?:solder|tinned wire|tinned strands)", re.IGNORECASE),
        "solder is named; a soldered crimp turns stiff and its strands break where the solder ends",
    ),
    (
        re.compile(
            r"\b(?:trim|cut (?:a |some |\d+ )?strands?|strands? cut|thinned)", re.IGNORECASE
        ),
        "strands seem to be cut away to fit; take the terminal of this section instead",
    ),
    (
        re.compile(r"\bnick", re.IGNORECASE),
        "nicked strands are named; set the stripper anew and cut this end off",
    ),
)
"""Words in a note that speak against the crimp, and what is said of them."""


@attrs.frozen(kw_only=True)
class Measures:
    """What was measured in one set-up: heights [mm], pulls [N], compression, and the least pull."""

    heights: tuple[float, ...]
    pulls: tuple[float, ...]
    compression: tuple[float, ...]
    least: PullForce | None


def warnings_of(
    rows: Sequence[CrimpTrial], measures: Measures, figures: Mapping[str, float]
) -> Iterator[str]:
    """Everything to look at, in sentences.

    Parameters
    ----------
    rows : the trials of one set-up
    measures : what was measured in them
    figures : the defaults by name, own figures in their place
    """
    yield from _too_few(rows, figures)
    yield from _heights(measures.heights, figures["crimp_height_tolerance"])
    yield from _pulls(rows, measures)
    yield from _pressed(measures.compression, figures)
    yield from _notes(rows)


def wrong_die(rows: Sequence[CrimpTrial], dies: Mapping[str, str]) -> Iterator[str]:
    """That trials were made in another die than the catalogue's, or in more than one.

    Parameters
    ----------
    rows : the trials of one set-up
    dies : the die that the catalogue names, by name or label of the terminal
    """
    used = list(dict.fromkeys(row.die for row in rows if row.die))
    if len(used) > 1:
        yield f"Trials of one set-up were made in {' and '.join(used)}: each die is its own set-up."
    for terminal in dict.fromkeys(row.terminal for row in rows if row.terminal):
        asked = dies.get(terminal)
        others = [die for die in used if asked and die != asked]
        if others:
            yield (
                f"{terminal} is crimped in {asked}, and these trials were made in "
                f"{' and '.join(others)}: they show nothing of the right die."
            )


def drift(values: Sequence[float]) -> float:
    """What a straight line through the values rises from the first to the last, same unit.

    slope of least squares against the number of the trial, times (n - 1)
    """
    count = len(values)
    middle, mean = (count - 1) / 2, sum(values) / count
    spread = sum((place - middle) ** 2 for place in range(count))
    slope = sum((place - middle) * (value - mean) for place, value in enumerate(values)) / spread
    return slope * (count - 1)


def _too_few(rows: Sequence[CrimpTrial], figures: Mapping[str, float]) -> Iterator[str]:
    least = round(figures["crimp_trials_least"])
    if len(rows) < least:
        yield f"Only {len(rows)} of at least {least} trials are made."
    if all(row.height_mm is None for row in rows):
        yield "No height is measured; height and look come before the pull."


def _heights(heights: tuple[float, ...], tolerance_mm: float) -> Iterator[str]:
    if len(heights) < 2:
        return
    mean = sum(heights) / len(heights)
    farthest = max(heights, key=lambda each: abs(each - mean))
    off = abs(farthest - mean)
    if off > tolerance_mm * (1 + 1e-9):
        yield (
            f"A height of {farthest:.2f} mm is {off:.2f} mm off the mean of {mean:.2f} mm; "
            f"±{tolerance_mm:g} mm is usual."
        )
    if len(heights) >= _DRIFT_FROM and abs(drift(heights)) > tolerance_mm:
        way = "grow" if drift(heights) > 0 else "fall"
        yield (
            f"The heights {way} by {abs(drift(heights)):.2f} mm over {len(heights)} trials: "
            "look at the die, its screws and the hand's stop."
        )
    yield from _outside(heights, "height", "mm", 2)


def _pulls(rows: Sequence[CrimpTrial], measures: Measures) -> Iterator[str]:
    slipped = sum(row.failed_at == "crimp" for row in rows)
    broke = sum(row.failed_at == "wire" for row in rows)
    if slipped:
        of = f"{slipped} of {slipped + broke} pulled crimps"
        yield f"{of} let the wire slip out; a crimp that outlasts its wire is the better one."
    least = measures.least
    if least is not None:
        weak = [pull for pull in measures.pulls if pull < least.pull_n]
        if weak:
            yield (
                f"{len(weak)} of {len(measures.pulls)} pulls lie below {least.pull_n:g} N, "
                f"the worst at {min(weak):g} N."
            )
        if measures.pulls and least.standing == "assumed":
            yield f"The {least.pull_n:g} N of {least.standard} is a {least.note}."
    yield from _outside(measures.pulls, "pull", "N", 0)


def _outside(values: tuple[float, ...], what: str, unit: str, digits: int) -> Iterator[str]:
    if len(values) < _CHART_FROM:
        return
    limits = chart_limits(values)
    for place in limits.outside:
        yield (
            f"The {what} of {values[place]:.{digits}f} {unit} lies outside the limits "
            f"{limits.low:.{digits}f} to {limits.high:.{digits}f} {unit} of its own series."
        )


def _pressed(ratios: tuple[float, ...], figures: Mapping[str, float]) -> Iterator[str]:
    least, most = figures["crimp_compression_least"], figures["crimp_compression_most"]
    for ratio in ratios:
        if ratio < least:
            yield f"Pressed to {ratio:.2f} of its metal, below {least:g}: strands may be cut."
        elif ratio > most:
            yield f"Pressed to {ratio:.2f} of its metal, above {most:g}: it may be loose."


def _notes(rows: Sequence[CrimpTrial]) -> Iterator[str]:
    for row in rows:
        for pattern, said in NOTED:
            if row.note and pattern.search(row.note):
                yield f'Trial {row.trial}, "{row.note}": {said}.'

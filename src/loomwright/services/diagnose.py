"""From a job to a diagnosis: the readings that can be used, taken into account."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

import attrs

from loomwright.diagnosis import Diagnosis, Model, Probe
from loomwright.diagnosis.harm import Attempt, Caution, cautions
from loomwright.diagnosis.posterior import Posterior
from loomwright.loom import Job, Reading, Topology
from loomwright.loom.errors import Stopped

Progress = Callable[[str, float], bool]
"""Called with what is being done and the share done; answers False to stop."""


@attrs.frozen(eq=False)
class Diagnosed:
    """A diagnosis and the readings that went into it.

    Attributes
    ----------
    diagnosis : the posterior's source
    used : readings taken into account, in the diagnosis' order
    set_aside : readings that were not, each with the reason
    """

    diagnosis: Diagnosis
    used: tuple[Reading, ...]
    set_aside: tuple[tuple[Reading, str], ...]

    @cached_property
    def posterior(self) -> Posterior:
        """What is believed after them."""
        return self.diagnosis.posterior()


def diagnose(
    job: Job, progress: Progress | None = None, *, model: Model | None = None
) -> Diagnosed:
    """Take every usable reading of a job into account.

    Parameters
    ----------
    job : the job
    progress : told how far the work is
    model : of the same loom, where it is already made

    Raises
    ------
    Stopped
        when `progress` answers False.
    """
    model = model or Model(job)
    diagnosis = Diagnosis(model)
    used, aside = [], []
    for number, reading in enumerate(job.readings):
        go_on(progress, "readings", 0.5 * number / len(job.readings))
        reason = unusable(model, reading)
        if reason:
            aside.append((reading, reason))
            continue
        diagnosis.add(Probe.of(reading), reading.value)
        used.append(reading)
    return Diagnosed(diagnosis, tuple(used), tuple(aside))


def go_on(progress: Progress | None, what: str, share: float) -> None:
    """Tell how far the work is.

    Raises
    ------
    Stopped
        when the answer is False.
    """
    if progress is not None and not progress(what, share):
        raise Stopped("the work was stopped", expected="run it again to go on")


def unusable(model: Model, reading: Reading) -> str:
    """Why a reading says nothing reliable about the loom; empty when it does."""
    if model.nodes(Probe.of(reading)) is None:
        return "one of its points has no wire and no element"
    for caution in gate(model.network.topology, reading):
        if caution.refuses:
            return caution.reason
    return ""


def gate(loom: Topology, reading: Reading) -> tuple[Caution, ...]:
    """What the harm gate says of a reading."""
    return cautions(
        Attempt(
            loom,
            "ohm" if reading.quantity == "ohm" else "volt",
            (reading.plus, reading.minus),
            reading.state,
            frozenset(reading.unplugged),
        )
    )

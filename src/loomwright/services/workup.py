"""Everything that is known of a job, each part worked out once, when it is first asked for."""

from __future__ import annotations

from functools import cached_property

import attrs

from loomwright.loom import Job
from loomwright.services.crimps import CrimpsReport, crimps
from loomwright.services.diagnose import Progress
from loomwright.services.expect import Expectation, expect
from loomwright.services.judge import JudgeReport, judge
from loomwright.services.labels import Labels
from loomwright.services.plan import PlanReport, plan
from loomwright.services.prove import ProveReport, prove
from loomwright.services.suspects import SuspectsReport, suspects

__all__ = ["WorkUp"]


@attrs.define(slots=False, eq=False)
class WorkUp:
    """What the services say of a job, for whoever needs several of them.

    Attributes
    ----------
    job : the job
    offer : name of the offer that the work follows
    progress : told how far the work is; every part may raise Stopped when it answers False
    """

    job: Job
    offer: str = "what pays"
    progress: Progress | None = None

    @cached_property
    def labels(self) -> Labels:
        """The names on the person's own sheet."""
        return Labels(self.job)

    @cached_property
    def suspects(self) -> SuspectsReport:
        """What is wrong and how sure that is."""
        return suspects(self.job, self.progress)

    @cached_property
    def plan(self) -> PlanReport:
        """Offers, order of work, turning points."""
        return plan(self.job, offer=self.offer, progress=self.progress)

    @cached_property
    def judge(self) -> JudgeReport:
        """Grades, and which parts fit where."""
        return judge(self.job)

    @cached_property
    def crimps(self) -> CrimpsReport:
        """What trial crimps prove, and the spare wire."""
        return crimps(self.job)

    @cached_property
    def expected(self) -> tuple[Expectation, ...]:
        """Every reading taken and every useful one that was not, with its band."""
        return expect(self.job, include_untaken=True)

    @cached_property
    def proof(self) -> ProveReport:
        """Before and after."""
        return prove(self.job)

"""Everything that is known of a job, each part worked out once, when it is first asked for."""

from __future__ import annotations

from functools import cached_property

import attrs

from loomwright.diagnosis import Model
from loomwright.loom import Job
from loomwright.services.buy import BuyReport, bought
from loomwright.services.crimps import CrimpsReport, crimps
from loomwright.services.diagnose import Diagnosed, Progress, diagnose
from loomwright.services.expect import Expectation, expect
from loomwright.services.job_cards import Work, work
from loomwright.services.judge import JudgeReport, judge
from loomwright.services.labels import Labels
from loomwright.services.look_again import LookAgain, look_again
from loomwright.services.plan import PlanReport, planned
from loomwright.services.prove import ProveReport, prove
from loomwright.services.sees import SeesReport, sees
from loomwright.services.staged import StagedQuote, staged
from loomwright.services.suspects import SuspectsReport, suspects
from loomwright.services.weighed import Weighed, weigh

__all__ = ["WorkUp"]


@attrs.define(slots=False, eq=False)
class WorkUp:
    """What the services say of a job, for whoever needs several of them.

    Attributes
    ----------
    job : the job
    offer : name of the offer that the work follows
    label_sheet : labels across and down of the sheets that are printed, `3x8`; empty for the usual
    progress : told how far the work is; every part may raise Stopped when it answers False
    """

    job: Job
    offer: str = "what pays"
    label_sheet: str = ""
    progress: Progress | None = None

    @cached_property
    def labels(self) -> Labels:
        """The names on the person's own sheet."""
        return Labels(self.job)

    @cached_property
    def diagnosed(self) -> Diagnosed:
        """The readings before the work, taken into account."""
        return diagnose(self.job, self.progress)

    @property
    def _model(self) -> Model:
        return self.diagnosed.diagnosis.model

    @cached_property
    def suspects(self) -> SuspectsReport:
        """What is wrong and how sure that is."""
        return suspects(self.job, self.progress, found=self.diagnosed)

    @cached_property
    def weighed(self) -> Weighed:
        """The offers, each with its parts and its quote."""
        return weigh(self.job, progress=self.progress, diagnosed=self.diagnosed)

    @cached_property
    def plan(self) -> PlanReport:
        """Offers, order of work, turning points."""
        return planned(self.weighed, offer=self.offer, progress=self.progress)

    @cached_property
    def buy(self) -> BuyReport:
        """The parts of the offer that the work follows, and where they are bought."""
        return bought(self.weighed, offer=self.offer)

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
        return expect(self.job, include_untaken=True, model=self._model)

    @cached_property
    def proof(self) -> ProveReport:
        """Before and after."""
        return prove(self.job, model=self._model)

    @cached_property
    def sees(self) -> SeesReport | None:
        """What the control unit sees by the readings before the work; None without one."""
        return sees(self.job, self.diagnosed) if self.job.readings else None

    @cached_property
    def sees_after(self) -> SeesReport | None:
        """The same by the readings after the work alone."""
        if not self.job.proof:
            return None
        job = attrs.evolve(self.job, readings=self.job.proof)
        return sees(job, diagnose(job, self.progress, model=self._model))

    @cached_property
    def quote(self) -> StagedQuote:
        """The quote for the offer that the work follows, in stages."""
        return staged(self.job, self.plan)

    @cached_property
    def look_again(self) -> LookAgain:
        """What is left, and when to look again."""
        return look_again(self.job, self.plan, self.judge)

    @cached_property
    def work(self) -> Work:
        """The work of the offer, item by item."""
        return work(
            self.job,
            plan=self.plan,
            judge=self.judge,
            crimps=self.crimps,
            suspects=self.suspects if self.job.readings else None,
        )

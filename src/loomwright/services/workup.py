"""Everything that is known of a job, each part worked out once, when it is first asked for."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from typing import Literal

import attrs

from loomwright.diagnosis import Model
from loomwright.loom import InputProblems, Job
from loomwright.loom.schema.work_tables import WHOLE_LOOM
from loomwright.repair.large_cures import NEW_LOOM
from loomwright.services.board import BoardReport, board
from loomwright.services.build import BuildReport, build
from loomwright.services.buy import BuyReport, bought
from loomwright.services.certify import CertifyReport, certify
from loomwright.services.crimps import CrimpsReport, crimps
from loomwright.services.cut import cut
from loomwright.services.cut_report import CutReport
from loomwright.services.diagnose import Diagnosed, Progress, diagnose
from loomwright.services.expect import Expectation, expect
from loomwright.services.heat import HeatReport, heat
from loomwright.services.job_cards import Work, work
from loomwright.services.judge import JudgeReport, judge
from loomwright.services.labels import Labels
from loomwright.services.look_again import LookAgain, look_again
from loomwright.services.plan import PlanReport, planned
from loomwright.services.prove import ProveReport, prove
from loomwright.services.sees import SeesReport, sees
from loomwright.services.staged import StagedQuote, staged
from loomwright.services.suspects import SuspectsReport, suspects
from loomwright.services.verify import VerifyReport, verify
from loomwright.services.weighed import Weighed, weigh
from loomwright.services.work_done import WorkDone, work_done
from loomwright.services.work_log import WorkLog, logged

__all__ = ["Part", "WorkUp"]

Part = Literal[
    "model", "diagnosed", "suspects", "sees", "expected", "certified", "work", "plan", "build",
    "board", "cut", "verified",
]  # fmt: skip
"""Parts that take long, and that pages ask after before they ask for them."""


@attrs.define(slots=False, eq=False)
class WorkUp:
    """What the services say of a job, for whoever needs several of them.

    Attributes
    ----------
    job : the job
    offer : name of the offer that the work follows
    label_sheet : labels across and down of the sheets that are printed, `3x8`; empty for the usual
    progress : told how far the work is; every part may raise Stopped when it answers False
    photos : those of the job that can be printed, JPEG or SVG, by the names that the job gives
        them; None where nobody looked for them
    """

    job: Job
    offer: str = "what pays"
    label_sheet: str = ""
    progress: Progress | None = None
    photos: Mapping[str, bytes] | None = None
    _heat: HeatReport | None = attrs.field(default=None, init=False, repr=False)

    def has(self, part: Part) -> bool:
        """Whether a part is worked out already, so that asking for it takes no time."""
        return part in vars(self)

    @cached_property
    def labels(self) -> Labels:
        """The names on the person's own sheet."""
        return Labels(self.job)

    @cached_property
    def model(self) -> Model:
        """The loom and its possible faults, whatever was measured."""
        return Model(self.job)

    @cached_property
    def diagnosed(self) -> Diagnosed:
        """The readings before the work, taken into account."""
        return diagnose(self.job, self.progress, model=self.model)

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
    def board(self) -> BoardReport:
        """The loom flat on boards, a piece each.

        Raises
        ------
        InputProblems
            when the branches are no tree that a loom can be laid out by.
        """
        return board(self.job)

    @cached_property
    def build(self) -> BuildReport:
        """Lengths, splices and order of laying of a new loom.

        Raises
        ------
        InputProblems
            when the branches are no tree that a loom can be laid out by.
        """
        return build(self.job)

    @cached_property
    def renews_loom(self) -> bool:
        """Whether the offer that the work follows makes a new loom."""
        choice = self.plan.chosen.choice
        return choice is not None and f"{NEW_LOOM} {WHOLE_LOOM}" in choice.cures

    @cached_property
    def cut(self) -> CutReport:
        """How the wires of a new loom are cut."""
        return cut(self.job, progress=self.progress)

    def heat(self, today: date) -> HeatReport:
        """What heat and current do, lives counted from a day; the last day's is kept."""
        if self._heat is None or self._heat.today != today:
            self._heat = heat(self.job, today)
        return self._heat

    @cached_property
    def expected(self) -> tuple[Expectation, ...]:
        """Every reading taken and every useful one that was not, with its band."""
        return expect(self.job, include_untaken=True, model=self.model)

    @cached_property
    def certified(self) -> CertifyReport:
        """How far the loom is shown to be sound, and the readings that would show more."""
        return certify(self.job, self.progress, found=self.diagnosed)

    @cached_property
    def proof(self) -> ProveReport:
        """Before and after."""
        return prove(self.job, model=self.model)

    @cached_property
    def verified(self) -> VerifyReport:
        """The list that proves the finished loom, by its new lengths where branches give them."""
        try:
            lengths = {each.wire: each.made_mm for each in self.build.wires}
        except InputProblems:
            lengths = {}
        return verify(self.job, self.progress, lengths=lengths)

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
        return sees(job, diagnose(job, self.progress, model=self.model))

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

    @cached_property
    def log(self) -> WorkLog:
        """Each step of the work with what was logged; nothing where the job has no tasks."""
        return logged(self.work, self.job.tasks)

    @cached_property
    def done(self) -> WorkDone:
        """What was really done; empty where nothing was logged."""
        if not self.job.tasks:
            return WorkDone()
        likely = self.quote.likely_minutes
        return work_done(self.job, self.log, work=self.work, likely_minutes=likely)

"""What cures cost in parts: each by itself, and an offer with its spares, trials and parcels."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property

import attrs

from loomwright.loom import Job
from loomwright.repair.basket import Basket
from loomwright.repair.candidates import Candidates
from loomwright.repair.choice import Choice, Cure
from loomwright.repair.crimp_trials import crimp_trials
from loomwright.repair.market import Market, basket_for, market, worth
from loomwright.repair.needs import Needs
from loomwright.repair.part_choice import PartChoice
from loomwright.repair.parts_need import Need, PartsNeed, parts_need
from loomwright.repair.spare_wire import Scrap, scrap_record


@attrs.frozen(kw_only=True)
class Outlay:
    """What an offer takes in parts.

    Attributes
    ----------
    need : the parts with their reasons
    parts : at the least price of a piece, leftovers not counted
    extra : the part of that that goes to spares and trial crimps
    basket : what is bought where
    unpriced : what is needed and nobody sells, by what it is bought as
    """

    need: PartsNeed
    parts: float
    extra: float
    basket: Basket
    unpriced: tuple[str, ...]


@attrs.define(slots=False, eq=False)
class Pricing:
    """Prices of one job.

    Attributes
    ----------
    job : with its catalogue, offers, stock and trial crimps
    value : defaults by name, the job's own figures in place
    """

    job: Job
    value: Mapping[str, float]

    @cached_property
    def market(self) -> Market:
        """Who sells what, and the drawer."""
        return market(self.job)

    @cached_property
    def choice(self) -> PartChoice:
        """Which part goes where."""
        return PartChoice(Needs(self.job, self.value), self.market.part_price)

    @cached_property
    def scrap(self) -> Scrap:
        """The chance that a crimp fails, by the job's own trials and common practice."""
        return scrap_record(crimp_trials(self.job), figures=self.value)

    @property
    def known(self) -> bool:
        """Whether the job gives any price."""
        return bool(self.job.offers)

    def with_parts(self, could: Candidates) -> Candidates:
        """The cures with the price of their parts; what has none counts as 0, and is noted."""
        if not self.known:
            return could
        cures: list[Cure] = []
        unpriced: dict[str, None] = {}
        for cure in could.cures:
            need = parts_need([(could.kinds[cure.cure], could.at[cure.cure])], self.choice)
            money, without = worth(need.needs, self.market.price)
            cures.append(attrs.evolve(cure, parts=money))
            unpriced |= dict.fromkeys(without)
        notes = could.notes
        if unpriced:
            many = len(unpriced)
            said = f"without a price, so counted as 0: {many} of the parts and wires in question"
            notes = (*notes, said)
        return attrs.evolve(could, cures=tuple(cures), notes=notes)

    def outlay(self, could: Candidates, choice: Choice) -> Outlay:
        """The parts of a choice, with spares and trial crimps, and the basket for them.

        Raises
        ------
        OutOfRange
            as for `parts_need` and `basket.fill`.
        """
        cures = [(could.kinds[name], could.at[name]) for name in choice.cures]
        bare, _ = worth(parts_need(cures, self.choice).needs, self.market.price)
        need = parts_need(cures, self.choice, scrap=self.scrap)
        parts, unpriced = worth(need.needs, self.market.price)
        return Outlay(
            need=need,
            parts=parts,
            extra=parts - bare,
            basket=self.basket(need.needs),
            unpriced=unpriced,
        )

    def basket(self, needs: Iterable[Need]) -> Basket:
        """The cheapest basket for some needs; leftovers count only where the job gives a share."""
        given = any(row.name == "leftover_value" for row in self.job.settings)
        keep_value = self.value["leftover_value"] if given else 0.0
        return basket_for(needs, self.market, keep_value=keep_value)

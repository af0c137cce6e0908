"""A quote in stages: one for each place that is opened, and what the promise rests on.

A stage's likely times add up to the likely sum; least and most do not, because not everything goes
well or badly at once (the draws behind them are those of the whole quote: `repair.quote`).
"""

from __future__ import annotations

from datetime import date, timedelta

import attrs
import numpy as np

from loomwright.diagnosis.priors import own_values
from loomwright.loom import Job
from loomwright.repair.quote import Line, drawn_minutes
from loomwright.services.plan import Offered, PlanReport

_IN_A_HUNDRED = 100.0


@attrs.frozen(kw_only=True)
class Stage:
    """What is done at one place.

    Attributes
    ----------
    place : the place, empty for work of its own
    lines : its lines of work
    minutes : 10, 50 and 90 percent [min]
    likely : if every line takes its likely time [min]
    work, parts : price of the likely time, and of the parts
    """

    place: str
    lines: tuple[Line, ...]
    minutes: tuple[float, float, float]
    likely: float
    work: float
    parts: float


@attrs.frozen(kw_only=True)
class StagedQuote:
    """A quote for the chosen offer, as it is put before the customer.

    Attributes
    ----------
    offer : what is done; without a choice there are no stages
    stages : by place, in the order of the quote
    likely_minutes, likely_work : of all stages [min], and its price
    beyond : share over the likely sum at which the customer is called
    in_a_hundred : of 100 such jobs, how many lead to that call
    bright_mm : cut-back at which the price still holds [mm]
    handling : share added to the price of parts
    valid_days : how long the quote holds [d]
    """

    offer: Offered
    stages: tuple[Stage, ...]
    likely_minutes: float
    likely_work: float
    beyond: float
    in_a_hundred: float
    bright_mm: float
    handling: float
    valid_days: float

    def valid_until(self, day: str) -> str:
        """The last day it holds when it is made on a day, both ISO 8601.

        Raises
        ------
        ValueError
            when that is no day.
        """
        return (date.fromisoformat(day) + timedelta(days=self.valid_days)).isoformat()


def staged(job: Job, report: PlanReport) -> StagedQuote:
    """The quote of the offer whose order of work the plan tells, place by place.

    Parameters
    ----------
    job : for its own figures
    report : its plan
    """
    value = own_values(job)
    offer = report.chosen
    return StagedQuote(
        offer=offer,
        stages=_stages(offer.lines, rate=report.rate, correlation=value["overrun_correlation"]),
        likely_minutes=(minutes := sum(line.likely for line in offer.lines)),
        likely_work=minutes * report.rate / 60.0,
        beyond=value["stop_and_call"],
        in_a_hundred=0.0 if offer.quote is None else _IN_A_HUNDRED * offer.quote.chance_of_call,
        bright_mm=value["cut_back_bright"],
        handling=value["parts_handling"],
        valid_days=value["quote_valid_days"],
    )


def _stages(lines: tuple[Line, ...], *, rate: float, correlation: float) -> tuple[Stage, ...]:
    if not lines:
        return ()
    minutes = drawn_minutes(lines, correlation=correlation, seed=0)
    made = []
    for place in dict.fromkeys(line.event for line in lines):
        here = [n for n, line in enumerate(lines) if line.event == place]
        here.sort(key=lambda n: lines[n].words != f"reach {place}")  # it is reached first
        low, middle, high = np.quantile(minutes[:, here].sum(axis=1), (0.1, 0.5, 0.9)).tolist()
        likely = sum(lines[n].likely for n in here)
        made.append(
            Stage(
                place=place,
                lines=tuple(lines[n] for n in here),
                minutes=(low, middle, high),
                likely=likely,
                work=likely * rate / 60.0,
                parts=sum(lines[n].parts for n in here),
            )
        )
    return tuple(made)

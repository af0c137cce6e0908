"""The life of wires and boots in words: what is left, why, when to look, and what would help."""

from __future__ import annotations

from math import isinf

from loomwright.services.counting import counted
from loomwright.services.life import BY_AGE, BY_HEAT, Band, Buys, Life, LifeLine, LifeReport

__all__ = [
    "STANDING",
    "bought_words",
    "headline",
    "inspect_words",
    "left_words",
    "reason_words",
    "years_words",
]

STANDING = (
    "These are bands, not dates. The halving of life within 8 to 12 K is published; the life at "
    "the class temperature is from memory, what a grade has behind it and how far a zone may be "
    "off are assumed, and ageing by years alone is common practice. Oil, water, bending and "
    "earlier work come on top. What the eye finds comes first."
)
_NEARLY = 0.9
_MONTHS_BELOW = 2.0
_GRADES = {3: "bad", 4: "dangerous"}


def headline(report: LifeReport) -> str:
    """How many are due, how many to watch, and how many nobody can tell of."""
    count = dict.fromkeys(("bad", "watch", "open", "good"), 0)
    for line in report.lines:
        count[line.level] += 1
    told = [
        f"{counted(count['bad'], 'item')} due now",
        f"{count['watch']} to watch",
        f"{count['good']} good for longer",
        f"{count['open']} not looked at or not known",
    ]
    return ", ".join(told)


def years_words(band: Band, most_years: float) -> str:
    """A band: `3 to 10 years, likely 6`, `up to 8 months, likely 2`, `40 years or more`."""
    if band.low >= most_years:
        return f"{most_years:g} years or more"
    scale, unit = (12.0, "months") if band.high < _MONTHS_BELOW else (1.0, "years")
    low, likely, high = (each * scale for each in (band.low, band.likely, band.high))
    more = " or more" if band.high >= most_years else ""
    if round(high) == 0:
        return f"less than a {unit[:-1]}"
    span = f"up to {_round(high)}" if round(low) == 0 else f"{_round(low)} to {_round(high)}"
    if _round(low) == _round(high):
        span = _round(high)
    return f"{span} {unit}{more}, likely {_round(likely)}"


def left_words(found: Life, most_years: float) -> str:
    """What is left, or why nobody can tell."""
    if found.grade == 4 and found.kind == "boot":
        return "missing: fit one now"
    if found.remaining is not None:
        return f"{years_words(found.remaining, most_years)} left"
    if found.total is not None:
        new = years_words(found.total, most_years)
        return f"a new one lasts {new} here; nobody looked at this one, so look at it in this job"
    if found.grade in _GRADES:
        return f"its state is {_GRADES[found.grade]} already; renew it whatever its age"
    return "not known"


def reason_words(found: Life) -> str:
    """What ends it and where: heat and its temperatures, or years alone; then what is unknown."""
    missing = "; ".join(found.unknown)
    if found.zone is None or found.total is None:
        return missing
    zone = found.zone
    soak = "" if zone.soak_c is None else f", {zone.soak_c:g} °C after a hot stop"
    own = "no end" if isinf(found.rise_k) else f"{found.rise_k:.0f} K"
    rise = f" and {own} by its own current" if found.rise_k >= 1 else ""
    place = f"{found.material.name} at {found.where}: {zone.running_c:g} °C running{rise}{soak}"
    return f"{place}; {_ending(found)}" + (f" ({missing})" if missing else "")


def _ending(found: Life) -> str:
    share = 100 * (found.share_per_year or 0.0)
    if found.bound == BY_AGE:
        return "it goes stiff with the years before heat ends it"
    if found.bound != BY_HEAT:
        return "heat does not end it within the years that are told"
    if share >= 100:
        return "heat uses up its life within a year"
    return f"heat uses up about {share:.2g} % of its life a year"


def inspect_words(line: LifeLine) -> str:
    """When to look again; blank where no day can be given."""
    day = line.life.inspect_by
    if day is None:
        return ""
    return "inspect now" if line.level == "bad" else f"inspect by {day.isoformat()}"


def bought_words(found: Life, most_years: float) -> tuple[str, ...]:
    """What would make it last longer: of each kind the smallest step that buys nearly the most."""
    chosen = []
    for kind in dict.fromkeys(each.kind for each in found.buys):
        steps = [each for each in found.buys if each.kind == kind]
        most = max(each.total.likely for each in steps)
        enough = [each for each in steps if each.total.likely >= _NEARLY * most]
        chosen.append(min(enough, key=lambda each: each.times))
    return tuple(_bought(each, most_years) for each in chosen)


def _bought(each: Buys, most_years: float) -> str:
    change = {
        "sleeve": f"a reflective sleeve with an air gap ({each.what} cooler, assumed)",
        "class": f"wire of {each.what}",
        "route": f"a way through zone {each.what}",
        "rubber": f"a boot of {each.what}",
    }[each.kind]
    times = "more than 100" if each.times > 100 else f"{each.times:.2g}"
    new = years_words(each.total, most_years)
    return f"{change}: {times} times the life by heat; a new one lasts {new}"


def _round(value: float) -> str:
    """Two digits at most: no year is known to the month."""
    return f"{value:.1g}" if value < 1 else f"{value:.2g}" if value < 10 else f"{value:.0f}"

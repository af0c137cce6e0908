"""Everything that can be wrong between the tables of a job, told all at once.

One small rule function per topic, listed in `RULES`; imports only `loom`. Start reading in
`naming`, then `wiring`, `inside` (elements and curves), `measured` (readings and
survey), `parts` (the catalogue), `trials` (trial crimps), `warmed` (plugs warmed by a blower),
`held` (clips and grommets), `trade` (suppliers and offers) and `work` (what was done, and its
pictures).
"""

from __future__ import annotations

from itertools import islice

from loomwright.loom.consistency import (
    held,
    inside,
    measured,
    naming,
    parts,
    trade,
    trials,
    warmed,
    wiring,
    work,
)
from loomwright.loom.consistency.naming import Evidence, Rule
from loomwright.loom.errors import Problem
from loomwright.loom.records import Job
from loomwright.loom.schema import TABLES

RULES: tuple[Rule, ...] = (
    naming.duplicate_keys,
    naming.ambiguous_names,
    naming.unknown_names,
    naming.unknown_places,
    naming.branches_to_nowhere,
    naming.impossible_values,
    wiring.unknown_ends,
    wiring.pointless_wires,
    wiring.same_ends,
    wiring.unknown_sides,
    wiring.double_crimps,
    wiring.impossible_sections,
    wiring.mates,
    wiring.loose_plugs,
    wiring.unreached_devices,
    wiring.unmet_pins,
    wiring.unmet_cavities,
    wiring.contested_pins,
    wiring.idle_joints,
    inside.incomplete_elements,
    inside.looped_elements,
    inside.half_pull_ups,
    inside.curve_on_another_kind,
    inside.fuse_on_another_kind,
    inside.short_curves,
    inside.repeated_temperatures,
    inside.rising_curves,
    inside.unused_curves,
    measured.unknown_symptoms,
    measured.unknown_points,
    measured.same_points,
    measured.ohms_under_power,
    measured.negative_ohms,
    measured.unknown_settings,
    measured.untold_temperatures,
    measured.repeated_ranges,
    measured.unfit_meters,
    measured.extra_strands,
    measured.strands_of_no_wire,
    parts.reversed_ranges,
    parts.unknown_dies,
    trials.pulls_not_pulled,
    trials.mixed_set_ups,
    warmed.mixed_runs,
    warmed.repeated_moments,
    warmed.hotter_than_the_air,
    held.fixings_beyond,
    trade.uncatalogued_parts,
    trade.unsuited_units,
    trade.colourless_wire,
    trade.other_currencies,
    trade.cheaper_larger_packs,
    work.steps_at_nothing,
    work.unplain_photos,
)
"""Every rule, in no particular order."""

MOST_OF_ONE_KIND = 500
"""Problems told of one kind; a person mends the first ones and asks again."""

__all__ = ["RULES", "inconsistencies"]


def inconsistencies(
    job: Job,
    *,
    unread: frozenset[str] = frozenset(),
    mentioned: frozenset[str] = frozenset(),
) -> list[Problem]:
    """All that is wrong between the tables, warnings included, in the order of the sheets.

    Parameters
    ----------
    job : the job, as far as it could be read
    unread : names that rows which could not be read stand for; not reported as missing
    mentioned : all names in such rows; not reported as reached by nothing
    """
    evidence = Evidence(job, unread, mentioned)
    found = [problem for rule in RULES for problem in islice(rule(evidence), MOST_OF_ONE_KIND)]
    order = {table.name: number for number, table in enumerate(TABLES)}
    return sorted(found, key=lambda each: (order.get(each.where.table, 99), each.where.row or 0))

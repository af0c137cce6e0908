"""Parts at a plug: what fits which cavity, what is amiss, how a part is crimped."""

from __future__ import annotations

import attrs
import pytest

from loomwright import standards
from loomwright.loom import Job, Part, SurveyRow
from loomwright.repair.condition import conditions
from loomwright.repair.needs import Needs
from loomwright.repair.plug_fit import PartFit, PlugFit, crimping, plug_fit
from sample import jobs

VALUE = standards.values()
REC = Part(
    part="REC", kind="terminal", section_min_mm2=0.5, section_max_mm2=1.0, insulation_min_mm=1.6,
    insulation_max_mm=2.6, tab_width_mm=2.8, tab_thickness_mm=0.8, barrel_mm=3.5, die="NEST",
)  # fmt: skip
BOOT = Part(part="BOOT", kind="boot", ways=2, form="straight", bore_mm=3.5, bore_max_mm=7.0)
NEST = Part(part="NEST", kind="die", section_min_mm2=0.5, section_max_mm2=1.0)
THIN = (2.8, 0.5)


def small(
    *parts: Part, tab: tuple[float, float] = (2.8, 0.8), survey: tuple[SurveyRow, ...] = (),
    **plug: str,
) -> Job:  # fmt: skip
    """The small job with tabs on its sensor, a survey of its own, and parts."""
    job = jobs.job()
    first, *others = job.devices[1], job.devices[0], job.devices[2]
    tabbed = attrs.evolve(first, tab_width_mm=tab[0], tab_thickness_mm=tab[1])
    plugs = tuple(attrs.evolve(p, **plug) if p.plug == "T1" else p for p in job.plugs)
    return attrs.evolve(job, devices=(tabbed, *others), plugs=plugs, catalogue=parts, survey=survey)


def at(job: Job, name: str = "T1") -> PlugFit:
    """What fits a plug of the job."""
    plug = next(each for each in job.plugs if each.plug == name)
    condition = next(each for each in conditions(job) if each.item == name)
    return plug_fit(plug, condition, Needs(job, VALUE))


def part(fit: PlugFit, name: str) -> PartFit:
    (found,) = (each for each in fit.parts if each.part == name)
    return found


def test_a_terminal_and_a_boot_that_fit() -> None:
    fit = at(small(REC, BOOT, boot="straight 2-way"))
    assert part(fit, "REC").outcome == "fits"
    assert part(fit, "REC").fits_at == ("1", "2")
    assert part(fit, "BOOT").outcome == "fits"
    assert fit.problems == ()


def test_the_part_that_is_there_is_held_against_its_tab() -> None:
    other = attrs.evolve(REC, part="OTHER")
    fit = at(small(REC, other, tab=THIN, terminal="REC"))
    assert [each.part for each in fit.parts if each.kind == "terminal"] == ["REC"]
    (problem,) = fit.problems
    assert problem == (
        "REC, which is there in cavities 1 and 2: the tab is 0.5 mm thick and the terminal is for "
        "0.8 mm, which has no grip"
    )


@pytest.mark.parametrize(("grade", "problems"), [(1, 0), (2, 1), (4, 1)])
def test_a_part_is_missed_where_it_is_to_be_renewed(grade: int, problems: int) -> None:
    worn = SurveyRow(item="T1", aspect="terminal", grade=grade)
    fit = at(small(REC, tab=THIN, survey=(worn,)))
    assert len(fit.problems) == problems
    assert all(
        "no terminal of the catalogue fits cavities 1 and 2" in each for each in fit.problems
    )


def test_the_nearest_boot_is_named_with_what_is_wrong() -> None:
    worn = SurveyRow(item="T1", aspect="boot", grade=3)
    far = attrs.evolve(BOOT, part="FAR", ways=4, form="angled")
    near = attrs.evolve(BOOT, part="NEAR", form="angled")
    (problem,) = at(small(far, near, survey=(worn,), boot="straight 2-way")).problems
    assert problem.endswith("nearest is NEAR: the boot's form: angled, the plug's: straight")


def test_a_terminal_for_some_of_the_wires() -> None:
    job = small(REC)
    wires = (attrs.evolve(job.wires[0], section_mm2=2.5), *job.wires[1:])
    fit = part(at(attrs.evolve(job, wires=wires)), "REC")
    assert (fit.outcome, fit.fits_at) == ("fits in part", ("2",))


def test_how_terminals_come_out_needs_no_catalogue() -> None:
    fit = at(small())
    assert "thin flat tool" in fit.opening
    assert fit.parts == ()
    assert "cannot be opened" in at(small(), "T2").opening
    assert at(small(), "X1").opening == ""


def test_dies_are_tried_with_the_sections_of_the_loom() -> None:
    wide = attrs.evolve(REC, part="WIDE", section_max_mm2=2.5)
    needs = Needs(small(REC, wide, NEST), VALUE)
    fine, partly = crimping(REC, needs), crimping(wide, needs)
    assert (fine.outcome, fine.strip_mm) == ("fits", (4.0, 4.5))
    assert partly.outcome == "fits in part"
    assert partly.reasons == ("conductor 1.5 mm² is above the die's 1 mm²",)
    assert crimping(attrs.evolve(REC, die=None), needs).outcome == "not known"

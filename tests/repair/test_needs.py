"""What a plug needs: sections and diameters of its wires, its tab, the form of its boot."""

from __future__ import annotations

import math

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright import standards
from loomwright.loom import Job, Part
from loomwright.repair.needs import Needs, PlugNeeds, Span, bundle_mm, by_standard
from sample import jobs

VALUE = standards.values()


def needs(job: Job, plug: str = "T1") -> PlugNeeds:
    return Needs(job, VALUE).of(next(each for each in job.plugs if each.plug == plug))


def changed(table: str, **cells: object) -> Job:
    """The small job with cells of the first row of a table replaced."""
    job = jobs.job()
    first, *others = job.rows(table)
    return attrs.evolve(job, **{table: (attrs.evolve(first, **cells), *others)})


def test_each_wired_cavity_with_its_conductor() -> None:
    found = needs(jobs.job())
    assert [(each.cavity, each.wires) for each in found.cavities] == [
        ("1", ("W1",)),
        ("2", ("W2",)),
    ]
    assert {each.conductor_mm2 for each in found.cavities} == {Span.of(0.75)}
    assert (found.ways, found.lock) == (2, "tongue")


def test_a_measured_diameter_comes_first_then_the_kind_then_the_standard() -> None:
    kind = Part(part="PVC-75", kind="wire", insulation_min_mm=2.3, insulation_max_mm=2.4)
    assert needs(changed("wires", outside_mm=2.2)).cavities[0].outside_mm == Span.of(2.2)
    job = attrs.evolve(changed("wires", insulation="PVC-75"), catalogue=(kind,))
    told = needs(job).cavities[0].outside_mm
    assert told == Span(low=2.3, high=2.4, origin="by the catalogue")
    guessed = needs(jobs.job()).cavities[0].outside_mm
    assert guessed is not None
    assert "ISO 6722-1" in guessed.words("mm")


# ISO 6722-1 as recalled (value from memory, not seen in the document): largest diameters, thin and
# thick wall
@pytest.mark.parametrize(
    ("section", "ends"),
    [
        (0.5, (1.6, 2.3)),
        (0.75, (1.9, 2.5)),
        (1.0, (2.1, 2.7)),
        (1.5, (2.4, 3.0)),
        (6.0, (4.3, 5.0)),
    ],
)
def test_diameter_by_the_standard(section: float, ends: tuple[float, float]) -> None:
    found = by_standard(section)
    assert found is not None
    assert (found.low, found.high) == ends


@pytest.mark.parametrize("section", [None, 0.6, 0.22])
def test_no_diameter_where_the_standard_has_none(section: float | None) -> None:
    assert by_standard(section) is None


def test_what_is_not_known_stays_so() -> None:
    job = changed("wires", section_mm2=None)
    found = needs(job)
    assert found.cavities[0].conductor_mm2 is None
    assert found.cavities[0].outside_mm is None
    assert found.passes is None
    assert (found.tab_width_mm, found.tab_thickness_mm, found.form) == (None, None, None)


def test_two_wires_in_one_cavity_are_one_conductor() -> None:
    found = needs(jobs.job({"wires": ("W4,CU.2,T2.1", "W4,CU.2,T1.1")})).cavities[0]
    assert found.wires == ("W1", "W4")
    assert found.conductor_mm2 == Span.of(1.5)
    assert found.outside_mm is None


def test_the_tab_is_that_of_the_device_the_plug_goes_on() -> None:
    job = jobs.job()
    devices = tuple(
        attrs.evolve(each, tab_width_mm=2.8, tab_thickness_mm=0.5)
        if each.device == "NTC1"
        else each
        for each in job.devices
    )
    job = attrs.evolve(job, devices=devices)
    assert (needs(job).tab_width_mm, needs(job).tab_thickness_mm) == (2.8, 0.5)
    assert needs(job, "T2").tab_width_mm is None
    assert needs(job, "X1").tab_width_mm is None  # it goes on another plug


@pytest.mark.parametrize(
    ("boot", "form"),
    [("Angled 2-way", "angled"), ("straight 2-way", "straight"), ("square", None), ("B", "angled")],
)
def test_form_of_the_boot(boot: str, form: str | None) -> None:
    job = jobs.job()
    plugs = tuple(attrs.evolve(each, boot=boot) for each in job.plugs)
    named = (Part(part="B", kind="boot", form="angled"),)
    assert needs(attrs.evolve(job, plugs=plugs, catalogue=named)).form == form


def test_two_measured_wires_lie_side_by_side() -> None:
    job = jobs.job()
    job = attrs.evolve(job, wires=tuple(attrs.evolve(each, outside_mm=2.0) for each in job.wires))
    passes = needs(job).passes
    assert passes is not None
    assert (passes.words, passes.across_mm) == ("two wires", Span.of(4.0))


# smallest circle round n equal circles, over their diameter: geometry (3: 1 + 2/√3; 4: 1 + √2;
# 7: 3)
@pytest.mark.parametrize(("n", "ratio"), [(3, 1 + 2 / math.sqrt(3)), (4, 1 + math.sqrt(2)), (7, 3)])
def test_a_bundle_holds_the_exact_packing(n: int, ratio: float) -> None:
    least = bundle_mm([2.0] * n, factor=VALUE["bundle_least"])
    most = bundle_mm([2.0] * n, factor=VALUE["bundle_most"])
    assert least <= 2.0 * ratio <= most


@given(st.lists(st.floats(0.5, 6), min_size=1, max_size=30))
def test_one_wire_more_never_makes_a_bundle_thinner_than_its_thickest_wire(
    wires: list[float],
) -> None:
    assert bundle_mm(wires, factor=1.11) >= max(wires)
    assert bundle_mm(wires, factor=1.25) >= bundle_mm(wires, factor=1.11)

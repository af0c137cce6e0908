"""The small job with tabs, a boot, and a catalogue of parts that fit it; all of it is invented."""

from __future__ import annotations

from typing import Any

import attrs

from loomwright.loom import Job, Part
from sample import jobs

REC = Part(
    part="REC", kind="terminal", section_min_mm2=0.5, section_max_mm2=1.0, insulation_min_mm=1.6,
    insulation_max_mm=2.6, tab_width_mm=2.8, tab_thickness_mm=0.8,
)  # fmt: skip
BOOT = Part(part="BOOT", kind="boot", ways=2, form="straight", bore_mm=3.0, bore_max_mm=7.0)
SHELL = Part(part="SHELL", kind="shell", ways=2, lock="tongue")
SPLICE = Part(part="SPLICE", kind="splice", section_min_mm2=0.5, section_max_mm2=1.0)
SLEEVE = Part(part="SLEEVE", kind="sleeve", bore_mm=1.5, bore_max_mm=5.0)
WIRE = Part(part="WIRE", kind="wire", section_min_mm2=0.75, section_max_mm2=0.75)
ALL = (REC, BOOT, SHELL, SPLICE, SLEEVE, WIRE)


def small(*parts: Part, **tables: Any) -> Job:
    """The small job with tabs on its devices, a straight boot on T1, and these parts."""
    job = jobs.job()
    devices = tuple(
        attrs.evolve(each, tab_width_mm=2.8, tab_thickness_mm=0.8) for each in job.devices
    )
    plugs = tuple(
        attrs.evolve(plug, boot="straight 2-way") if plug.plug == "T1" else plug
        for plug in job.plugs
    )
    changed = attrs.evolve(job, devices=devices, plugs=plugs, catalogue=parts, crimps=())
    return attrs.evolve(changed, **tables)

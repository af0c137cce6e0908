"""Which wires are a sensor's."""

from __future__ import annotations

from loomwright.build.sensor_wires import sensor_wires
from loomwright.build.tree import LoomTree
from sample.demo import demo_job


def test_wires_at_the_pins_of_thermistors_are_sensor_wires() -> None:
    """TE and TA are on the two thermistors of the demo; the throttle's contacts are none."""
    job = demo_job()
    at_plugs = {str(wire.wire) for wire in job.wires
                if {wire.from_point.owner, wire.to_point.owner} & {"TE", "TA"}}  # fmt: skip
    assert sensor_wires(LoomTree(job)) == at_plugs

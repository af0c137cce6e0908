"""Nets of a finished loom: what hangs together, and where a probe can touch."""

from __future__ import annotations

import attrs
import numpy as np
import pytest
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from loomwright.build.nets import joined, nets
from loomwright.loom import Point
from reference.looms import make_job
from sample.finished import STAR, loom


def test_a_splice_is_no_end_and_an_eyelet_is_one() -> None:
    found = [{str(end) for end in net.ends} for net in nets(STAR)]
    assert found == [{"A.1", "A.2", "B.1"}, {"A.3", "B.2"}, {"A.4", "B.3", "E"}]


def test_a_splice_where_a_wire_stops_is_its_end() -> None:
    (net,) = nets(loom("A.1-SP", joints="SP=splice", A="1"))
    assert [str(end) for end in net.ends] == ["A.1", "SP"]


def test_a_ring_of_splices_can_be_measured_somewhere() -> None:
    (net,) = nets(loom("S1-S2 S2-S3 S3-S1", joints="S1=splice S2=splice S3=splice"))
    assert len(net.ends) == 1


def test_a_wire_that_leads_nowhere_is_left_out() -> None:
    job = loom("A.1-B.1 A.2-A.2 A.3-Z.1", A="1 2 3", B="1")
    assert [len(net.wires) for net in nets(job)] == [1]
    assert nets(attrs.evolve(job, wires=())) == ()


@pytest.mark.parametrize("wires", [12, 45, 120])
def test_nets_are_the_connected_parts_of_the_graph_of_wires(wires: int) -> None:
    """By scipy's connected_components."""
    job = make_job(wires, seed=2)
    points = sorted({point for w in job.wires for point in (w.from_point, w.to_point)})
    number = {point: place for place, point in enumerate(points)}
    rows = [number[wire.from_point] for wire in job.wires]
    columns = [number[wire.to_point] for wire in job.wires]
    graph = coo_array((np.ones(len(rows)), (rows, columns)), shape=(len(points),) * 2)
    count, part = connected_components(graph, directed=False)
    found = nets(job)
    assert len(found) == count
    assert sum(len(net.wires) for net in found) == len(job.wires)
    for net in found:
        assert len({part[number[point]] for point in net.points}) == 1


def test_joined_names_one_point_for_all_that_hang_together() -> None:
    a, b, c, d, e = (Point("J", name) for name in "abcde")
    head = joined([(a, b), (c, d), (b, c), (e, e)])
    assert len({head[point] for point in (a, b, c, d)}) == 1
    assert head[e] == e

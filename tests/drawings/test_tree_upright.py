"""The loom as a tree for a phone: nothing left out, nothing wider than the phone."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawings.tree_upright import WIDE, upright_tree_svg
from loomwright.loom import Branch, Joint
from loomwright.services.draw import LoomPlan, loom_plan
from loomwright.storage.job_folder import JobFolder

DEMO = JobFolder().read(Path(__file__).parents[2] / "examples" / "tarn-2300")

places = st.sampled_from([f"place {n}" for n in range(12)])
any_branches = st.lists(st.tuples(places, places), min_size=1, max_size=20).map(
    lambda pairs: tuple(
        Branch(branch=f"B{n}", from_place=one, to_place=other)
        for n, (one, other) in enumerate(pairs, start=1)
    )
)


def texts(drawn: str) -> list[ElementTree.Element]:
    return [each for each in ElementTree.fromstring(drawn).iter() if each.tag.endswith("text")]


def words(drawn: str) -> list[str]:
    return ["".join(each.itertext()) for each in texts(drawn)]


def test_every_place_branch_plug_and_joint_of_the_loom_is_told() -> None:
    told = words(upright_tree_svg(loom_plan(DEMO)))
    for branch in DEMO.branches:
        assert branch.from_place in told
        assert branch.to_place in told
        assert any(line.startswith(f"{branch.branch}: ") for line in told)
    for name in [plug.plug for plug in DEMO.plugs] + [joint.joint for joint in DEMO.joints]:
        assert sum(line.startswith(f"{name}: ") for line in told) == 1


@given(any_branches)
def test_each_line_stands_below_the_one_before_and_within_the_width(
    branches: tuple[Branch, ...],
) -> None:
    shown = texts(upright_tree_svg(LoomPlan(job="a job", branches=branches, plugs=(), joints=())))
    heights = [float(each.attrib["y"]) for each in shown]
    assert heights == sorted(heights)
    assert len(set(heights)) == len(heights)
    assert all(0 < float(each.attrib["x"]) < WIDE / 2 for each in shown)


def test_a_long_name_is_shortened_and_a_tag_is_no_tag() -> None:
    branch = Branch(branch="B1", from_place="<b>here</b>", to_place="x" * 200)
    joint = Joint(joint="J1", kind="splice", place="<b>here</b>", label='"' + "y" * 200)
    drawn = upright_tree_svg(LoomPlan(job="a job", branches=(branch,), plugs=(), joints=(joint,)))
    told = words(drawn)
    assert told[0] == "<b>here</b>"
    assert all(len(line) < 60 for line in told if line.startswith(("x", "J1")))

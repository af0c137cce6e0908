"""Grades: all five of every aspect, and the strands they allow."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import NotFound, OutOfRange
from loomwright.loom.schema import table
from loomwright.standards import all_grades, grade, strands_grade

ASPECTS = table("survey").column("aspect").choices


def test_every_aspect_of_the_survey_has_all_five_grades():
    assert {(row.aspect, row.grade) for row in all_grades()} == {
        (aspect, step) for aspect in ASPECTS for step in range(5)
    }


def test_every_grade_says_what_it_looks_like_and_what_follows():
    looks = [row.looks_like for row in all_grades()]
    assert all(looks)
    assert len(set(looks)) == len(looks)
    assert all(row.standing == "common practice" for row in all_grades())


@pytest.mark.parametrize("aspect", ASPECTS)
def test_verdicts_grow_with_the_grade(aspect):
    # common practice, no published source: 0 and 1 stay, 2 waits, 3 is for this job, 4 for now
    ends = ["leave it", "leave it", "open anyway", "in this job", "now"]
    for step, end in enumerate(ends):
        assert grade(aspect, step).verdict.endswith(end)


def test_only_strands_have_a_lost_share_and_it_rises_to_all():
    shares = [row.lost_up_to_pct for row in all_grades() if row.aspect == "strands"]
    assert shares == sorted(shares)
    assert (shares[0], shares[-1]) == (0, 100)
    assert {row.lost_up_to_pct for row in all_grades() if row.aspect != "strands"} == {None}


# FAA AC 43.13-1B Table 11-13: 6 broken of 133 strands may stay, none of 19 or 37; here the habit of
# a workshop is laxer for fine strands, and any broken strand of so few is at least looked at again
@pytest.mark.parametrize(
    ("strands", "left", "step"),
    [(32, 32, 0), (37, 36, 1), (133, 127, 2), (32, 30, 2), (24, 18, 3), (19, 12, 4), (7, 0, 4)],
)
def test_strands_left(strands, left, step):
    assert strands_grade(strands, left=left).grade == step


@given(st.integers(1, 500), st.data())
def test_fewer_strands_never_grade_better(strands, data):
    left = data.draw(st.integers(0, strands))
    fewer = data.draw(st.integers(0, left))
    assert strands_grade(strands, left=fewer).grade >= strands_grade(strands, left=left).grade


@pytest.mark.parametrize(("strands", "left"), [(0, 0), (7, 8), (7, -1)])
def test_strands_that_cannot_be(strands, left):
    with pytest.raises(OutOfRange):
        strands_grade(strands, left=left)


def test_a_grade_or_aspect_off_the_scale():
    with pytest.raises(NotFound) as unknown:
        grade("boots", 1)
    assert unknown.value.expected.startswith("known, nearest first: boot,")
    with pytest.raises(OutOfRange):
        grade("boot", 5)

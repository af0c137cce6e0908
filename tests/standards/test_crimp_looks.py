"""What a good crimp looks like: five figures typed a second time from the documents."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.standards import all_crimp_looks, crimp_looks


def limits(feature, section):
    return next((each.least, each.most) for each in crimp_looks(section) if each.feature == feature)


# A terminal maker's published application specification for open-barrel crimps, clauses 4.2 and
# 4.3: bellmouth 0.25 ± 0.15, 0.40 ± 0.20, 0.50 ± 0.25 mm; brush 0.1 to 0.5 mm; tab 0.5 mm.
@pytest.mark.parametrize(
    ("feature", "section", "middle", "half"),
    [
        ("bellmouth", 0.35, 0.25, 0.15),
        ("bellmouth", 0.75, 0.40, 0.20),
        ("bellmouth", 4.0, 0.50, 0.25),
        ("strands in front", 0.75, 0.30, 0.20),
    ],
)
def test_figures_of_the_specification(feature, section, middle, half):
    assert limits(feature, section) == pytest.approx((middle - half, middle + half))


def test_a_tab_has_a_most_only():
    assert limits("cut-off tab", 1.0) == (None, 0.5)


@given(st.floats(0.01, 20))
def test_a_section_has_at_most_one_row_of_each_feature(section):
    features = [each.feature for each in crimp_looks(section)]
    assert len(features) == len(set(features))


def test_a_section_that_is_not_known_has_what_holds_for_all():
    found = crimp_looks(None)
    assert {each.feature for each in all_crimp_looks()} - {each.feature for each in found} == {
        "bellmouth"
    }
    assert set(found) < set(crimp_looks(1.5))


def test_limits_are_in_order_and_have_a_unit():
    for each in all_crimp_looks():
        known = [limit for limit in (each.least, each.most) if limit is not None]
        assert known == sorted(known)
        assert bool(known) == bool(each.unit)
        assert each.standing in ("published", "common practice")

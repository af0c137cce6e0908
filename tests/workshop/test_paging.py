"""A long list page by page."""

from __future__ import annotations

from django.test import RequestFactory
from hypothesis import given
from hypothesis import strategies as st

from loomwright.workshop.paging import Paged, paged


def page(count: int, a_page: int, asked: str) -> Paged[int]:
    return paged(
        RequestFactory().get("/search/", {"q": "ü&x", "page": asked}), range(count), a_page
    )


@given(st.integers(0, 40), st.integers(1, 9))
def test_the_pages_together_are_the_list(count: int, a_page: int) -> None:
    of = page(count, a_page, "1").of
    found = [row for number in range(1, of + 1) for row in page(count, a_page, str(number)).rows]
    assert found == list(range(count))


@given(st.text(max_size=12))
def test_whatever_is_asked_leads_to_some_page(asked: str) -> None:
    found = page(30, 10, asked)
    assert 1 <= found.number <= found.of == 3
    assert len(found.rows) == 10


def test_the_pages_beside_it_keep_what_else_was_asked() -> None:
    found = page(30, 10, "2")
    assert (found.before, found.after) == ("?q=%C3%BC%26x&page=1", "?q=%C3%BC%26x&page=3")
    assert page(30, 10, "1").before == page(30, 10, "3").after == ""

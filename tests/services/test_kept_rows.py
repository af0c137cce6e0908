"""What becomes of two people's changes to one row."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom.errors import Conflict, Disputed
from loomwright.services.kept_rows import filled, merged

columns = st.sampled_from(["colour", "length_mm", "note"])
texts = st.sampled_from(["", "1", "2", "3"])
rows = st.dictionaries(columns, texts)


def test_a_field_that_only_i_changed_is_mine_and_the_others_stay_theirs() -> None:
    before = {"colour": "BN", "length_mm": "400", "note": "old"}
    now = {**before, "note": "theirs"}
    typed = {**before, "colour": "RD"}
    assert merged(before=before, now=now, typed=typed) == {**now, "colour": "RD"}


def test_one_field_changed_by_both_is_disputed_with_both_values() -> None:
    with pytest.raises(Conflict) as caught:
        merged(
            before={"note": "old", "colour": "BN"},
            now={"note": "theirs", "colour": "BN"},
            typed={"note": "mine", "colour": "RD"},
        )
    assert caught.value.disputed == (Disputed("note", "old", theirs="theirs", yours="mine"),)
    assert "note" in str(caught.value)


def test_emptying_a_field_is_a_change_too() -> None:
    assert merged(before={"note": "old"}, now={"note": "old"}, typed={"note": ""}) == {}
    with pytest.raises(Conflict):
        merged(before={"note": "old"}, now={"note": "new"}, typed={"note": ""})


@given(rows, rows)
def test_alone_everything_that_was_typed_stands(
    before: dict[str, str], typed: dict[str, str]
) -> None:
    assert merged(before=before, now=before, typed=typed) == filled({**before, **typed})


@given(rows, rows)
def test_what_i_left_alone_changes_nothing(before: dict[str, str], now: dict[str, str]) -> None:
    assert merged(before=before, now=now, typed=before) == filled(now)


@given(rows, rows, rows)
def test_nobodys_change_is_lost_in_silence(
    before: dict[str, str], now: dict[str, str], typed: dict[str, str]
) -> None:
    try:
        found = merged(before=before, now=now, typed=typed)
    except Conflict as conflict:
        for each in conflict.disputed:
            assert len({each.before, each.theirs, each.yours}) == 3
        return
    for column in {*before, *now, *typed}:
        was, theirs = before.get(column, ""), now.get(column, "")
        mine = typed.get(column, was)
        if mine != was:
            assert found.get(column, "") == mine
        elif theirs != was:
            assert found.get(column, "") == theirs

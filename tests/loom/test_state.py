"""States and conditions: reading, resting values, what holds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.loom import Condition, State

words = st.from_regex(r"[a-z]{1,8}", fullmatch=True)
celsius = st.integers(-600, 4000).map(lambda tenths: tenths / 10)
states = st.builds(
    lambda plain, warm: State((*plain.items(), *((f"{name}_c", c) for name, c in warm.items()))),
    st.dictionaries(words, words, max_size=3),
    st.dictionaries(words, celsius, max_size=2),
)


@given(states)
def test_a_state_is_written_and_read_again(state: State) -> None:
    assert State.parse(str(state)) == state


def test_rest_is_filled_in() -> None:
    assert State.parse("engine_c=18").settings == {"key": "off", "throttle": "shut", "engine_c": 18}
    assert not State.parse("").powered
    assert not State.parse("key=off").powered
    assert State.parse("key=start").powered


def test_changed_replaces_or_adds() -> None:
    state = State.parse("key=on").changed(key="off", engine_c=20.0)
    assert str(state) == "key=off; engine_c=20"
    assert State.of({"key": "off", "engine_c": 20.0}) == state


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("hot", '"hot" is not a name=value pair'),
        ("key=", "is not a name=value pair"),
        ("=off", "is not a name=value pair"),
        ("1key=off", "is not a name=value pair"),
        ("key=off throttle=shut", "is not a name=value pair"),
        ("key=on; key=off", '"key" is given twice'),
        ("engine_c=warm", 'engine_c="warm" is not a number'),
        ("engine_c=1000", "is not a possible temperature"),
        ("engine_c=nan", "is not a possible temperature"),
    ],
)
def test_what_is_no_state(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        State.parse(text)


@pytest.mark.parametrize(
    ("condition", "holds"),
    [
        ("throttle=shut", True),
        ("throttle!=shut", False),
        ("engine_c<35", True),
        ("engine_c>35", False),
        ("throttle=shut; engine_c>35", False),
        ("gear=1", False),
        ("", True),
    ],
)
def test_a_condition_holds_when_all_its_clauses_do(condition: str, holds: bool) -> None:
    settings = State.parse("throttle=shut; engine_c=18").settings
    assert Condition.parse(condition).holds(settings) is holds


def test_conditions_are_written_and_read_again() -> None:
    text = "throttle=shut; engine_c<35; key!=off; air_c>-5.5"
    assert str(Condition.parse(text)) == text


@pytest.mark.parametrize("text", ["throttle", "engine_c<<3", "engine_c<warm", "a=b=c"])
def test_what_is_no_condition(text: str) -> None:
    with pytest.raises(ValueError, match="is not"):
        Condition.parse(text)

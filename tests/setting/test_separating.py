"""Separation, against counting pairs one by one."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.setting.separating import Tally, classes_of, separation

NAMES = ("right", "a", "b", "c", "d")
questions = st.lists(
    st.fixed_dictionaries({name: st.sampled_from("012") for name in NAMES}), min_size=1, max_size=6
)


@given(questions)
def test_pairs_are_counted_as_by_hand(asked: list[dict[str, str]]) -> None:
    """Never and once separated, recomputed pair by pair."""
    times = {
        pair: sum(answers[pair[0]] != answers[pair[1]] for answers in asked)
        for pair in combinations(NAMES, 2)
    }
    seen = separation(asked, NAMES)

    assert seen.pairs == len(times)
    assert set(seen.never) == {pair for pair, count in times.items() if count == 0}
    assert seen.once == sum(count == 1 for count in times.values())


def test_a_way_that_does_not_answer_is_told_from_none() -> None:
    """A belief about subtraction has nothing to say on an addition."""
    tally = Tally(("right", "a", "b"))

    assert tally.apart({"right": "0", "b": "1"}) == [0b100, 0, 0b001]


@pytest.mark.parametrize("names", [("right", "a"), ("right", "a", "b")])
def test_classes_are_ways_that_answer_alike(names: tuple[str, ...]) -> None:
    """Only groups of two or more are named."""
    answers = [{"right": "0", "a": "0", "b": "1"}]

    assert classes_of(answers, names) == (("right", "a"),)

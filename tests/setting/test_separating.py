"""Greedy separation, against counting pairs one by one."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.setting.separating import WEIGHTS, Tally, choose_separating, classes_of, separation

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


@given(questions)
def test_the_first_choice_gains_most(asked: list[dict[str, str]]) -> None:
    """Of all questions, the one chosen first separates the most pairs."""
    chosen = choose_separating(asked, NAMES, 1)
    counts = [sum(answers[a] != answers[b] for a, b in combinations(NAMES, 2)) for answers in asked]

    assert [counts[at] for at in chosen] == [max(counts)] * (max(counts) > 0)


@given(questions)
def test_the_gain_is_the_weight_of_each_pair_by_how_often_it_was_separated(
    asked: list[dict[str, str]],
) -> None:
    """Counted from both sides, hence twice."""
    tally = Tally(NAMES)
    for answers in asked[1:]:
        tally.add(tally.apart(answers))
    expected = 0
    for a, b in combinations(NAMES, 2):
        before = sum(answers[a] != answers[b] for answers in asked[1:])
        if asked[0][a] != asked[0][b]:
            expected += WEIGHTS[min(before, len(WEIGHTS) - 1)]

    assert tally.gain(tally.apart(asked[0])) == 2 * expected


def test_it_stops_when_nothing_more_can_be_told() -> None:
    """As few questions as reach it: two that say the same are both needed for twice, a third is not."""
    one = {"right": "0", "a": "1", "b": "2"}

    assert choose_separating([one] * 5, ("right", "a", "b"), 5) == [0, 1]
    assert choose_separating([{"right": "0", "a": "0"}], ("right", "a"), 5) == []


def test_a_way_that_does_not_answer_is_told_from_none() -> None:
    """A belief about subtraction has nothing to say on an addition."""
    tally = Tally(("right", "a", "b"))

    assert tally.apart({"right": "0", "b": "1"}) == [0b100, 0, 0b001]


@pytest.mark.parametrize("names", [("right", "a"), ("right", "a", "b")])
def test_classes_are_ways_that_answer_alike(names: tuple[str, ...]) -> None:
    """Only groups of two or more are named."""
    answers = [{"right": "0", "a": "0", "b": "1"}]

    assert classes_of(answers, names) == (("right", "a"),)

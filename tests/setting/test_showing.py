"""Questions on which beliefs can show, and show as themselves."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.setting.showing import DIFFERS, SHOWS, UNLIKE, choose_showing

POOL = [
    {"own": "1", "other": "1", "x": "1", "y": "1"},
    {"own": "1", "other": "1", "x": "2", "y": "1"},
    {"own": "1", "other": "1", "x": "2", "y": "3"},
    {"own": "1", "other": "2", "x": "2", "y": "1"},
]
RIGHT, BELIEFS = ("own", "other"), ("x", "y", "z")
questions = st.lists(
    st.fixed_dictionaries({name: st.sampled_from("012") for name in (*RIGHT, *BELIEFS)}),
    min_size=1,
    max_size=6,
)


def worth(asked: list[dict[str, str]]) -> int:
    """Return what a set is worth, pair by pair."""
    total = 0
    for a, b in combinations((*RIGHT, *BELIEFS), 2):
        times = sum(answers[a] != answers[b] for answers in asked)
        each = SHOWS if a == "own" else DIFFERS if a == "other" else UNLIKE
        total += sum(each[:times]) if b in BELIEFS else 0
    return total


@given(questions)
def test_each_choice_is_worth_most(asked: list[dict[str, str]]) -> None:
    """Every next question adds as much as any other could have; none is left that adds something."""
    chosen: list[int] = []
    for at in choose_showing(asked, RIGHT, BELIEFS, len(asked)):
        before = [asked[one] for one in chosen]
        best = max(worth([*before, answers]) for one, answers in enumerate(asked) if one not in chosen)
        chosen.append(at)
        assert worth([asked[one] for one in chosen]) == best > worth(before)
    assert worth([asked[one] for one in chosen]) == worth(asked)


def test_the_question_that_shows_most_comes_first() -> None:
    """Both beliefs show on the third question, so it is chosen first."""
    assert choose_showing(POOL, ["own", "other"], ["x", "y"], 2)[0] == 2


def test_a_question_that_shows_nothing_is_never_chosen() -> None:
    """Where nothing differs from the right way there is nothing to gain."""
    assert 0 not in choose_showing(POOL, ["own", "other"], ["x", "y"], 4)


def test_no_more_than_asked_for() -> None:
    """The most questions is kept to."""
    assert len(choose_showing(POOL, ["own"], ["x", "y"], 1)) == 1


def test_what_is_to_be_seldom_fills_no_more_than_half() -> None:
    """Of three questions that all show something, one of those that are to be seldom is left out."""
    assert choose_showing(POOL, ["own"], ["x", "y"], 2, seldom=[2, 3]) == [2, 1]


def test_a_choice_among_some_goes_on_from_what_is_chosen() -> None:
    """What is chosen already stays, and the rest comes from the places allowed."""
    assert choose_showing(POOL, ["own"], ["x", "y"], 2, start=[2], among=[0, 1]) == [2, 1]

"""Questions on which beliefs can show."""

from chalkpoint.setting.showing import choose_showing

POOL = [
    {"own": "1", "other": "1", "x": "1", "y": "1"},
    {"own": "1", "other": "1", "x": "2", "y": "1"},
    {"own": "1", "other": "1", "x": "2", "y": "3"},
    {"own": "1", "other": "2", "x": "2", "y": "1"},
]


def test_the_question_that_shows_most_comes_first() -> None:
    """Both beliefs show on the third question, so it is chosen first."""
    assert choose_showing(POOL, ["own", "other"], ["x", "y"], 2)[0] == 2


def test_a_question_that_shows_nothing_is_never_chosen() -> None:
    """Where nothing differs from the right way there is nothing to gain."""
    assert 0 not in choose_showing(POOL, ["own", "other"], ["x", "y"], 4)


def test_no_more_than_asked_for() -> None:
    """The most questions is kept to."""
    assert len(choose_showing(POOL, ["own"], ["x", "y"], 1)) == 1

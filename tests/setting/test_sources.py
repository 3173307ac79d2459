"""Questions drawn: those asked for, different, by seed; counted against brute force on a small format."""

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.sources import draw, key_of, parse_where
from chalkpoint.working.course import Course

SMALL = Course(format="4+2")


@pytest.mark.parametrize(
    ("operation", "where"),
    [
        ("subtract", ["align-shift = 1", "carry-dropped"]),
        ("add", ["mantissa-overflow", "not exact-result"]),
        ("normalise", ["norm-shift = 1", "sign-pattern = -"]),
        ("decode", ["exponent-signs = negative"]),
    ],
)
def test_all_there_are_can_be_drawn(operation: str, where: list[str]) -> None:
    """Asking for more than there are gives each question once, whatever the seed."""
    every = [
        {key_of(question) for question in draw(operation, SMALL, where, 5000, seed)} for seed in ("a", "b")
    ]

    assert every[0] == every[1]
    assert len(every[0]) == len(draw(operation, SMALL, where, 5000, "a")) > 3


def test_what_goes_without_saying_is_left_out_unless_said() -> None:
    """Nobody is asked to normalise what is normal, or what an exact store costs."""
    assert all(
        not question.float_format.is_normalised(question.patterns[0])
        for question in draw("normalise", SMALL, [], 50, "n")
    )
    assert draw("error", Course(), ["exact-result"], 3, "e")


def test_a_format_has_one_range() -> None:
    """However many are asked for; and it has no traits."""
    assert len(draw("range", SMALL, [], 9, "r")) == 1
    with pytest.raises(EntryError, match="a format has one range"):
        parse_where(["exact-result"], "range")

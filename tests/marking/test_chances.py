"""Chances: shares that add up, and answers that are likelier the better a way explains them."""

from math import exp, isclose

import pytest

from chalkpoint.marking.chances import Item, Model, nearby, priors
from chalkpoint.marking.ways import Way, ways_for
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

WAYS = ways_for(Course(), frozenset({"subtract"}))


@pytest.fixture(scope="module")
def item() -> Item:
    """6.5 - 1.25, with every way's answer."""
    return Item(ask("subtract", "6.5", "1.25", course=Course()), WAYS, Model())


def test_shares_add_up_to_one() -> None:
    """Every way's share and that of the unexplained make one."""
    assert isclose(sum(map(exp, priors(WAYS, Model()))), 1)


def test_commoner_beliefs_have_larger_shares() -> None:
    """A belief of weight 3 is three times as likely beforehand as one of weight 1."""
    logs = dict(zip(WAYS, priors(WAYS, Model()), strict=False))
    assert isclose(exp(logs[Way("", ("invert-only",))] - logs[Way("", ("add-then-invert",))]), 3)


def test_own_answer_is_likeliest(item: Item) -> None:
    """A way makes its own answer far likelier than any other way does."""
    belief = WAYS.index(Way("", ("invert-only",)))
    logs = item.logs("01010011 0011")
    assert logs[belief] == max(logs) > logs[0] + 3


def test_a_slip_is_likelier_than_anything(item: Item) -> None:
    """One digit from a way's answer is likelier under it than an answer that is like nothing."""
    assert item.logs("01010100 0111")[0] > item.logs("11111111 1111")[0]


@pytest.mark.parametrize(
    ("one", "other", "near"),
    [
        ("01010100 0011", "01010100 0011", False),
        ("01010100 0011", "01010101 0011", True),
        ("01010100 0011", "01011000 0011", True),
        ("01010100 0011", "01010111 0011", False),
        ("01010100 0011", "0101010 0011", True),
        ("01010100 0011", "010101000 0011", True),
        ("01010100 0011", "010100 0011", False),
    ],
)
def test_nearby_is_one_slip(one: str, other: str, near: bool) -> None:
    """One digit changed, left out or doubled and neighbours exchanged are near; two digits are not."""
    assert nearby(one, other) is near

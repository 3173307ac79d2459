"""Draws from random lanes: fair, different, repeated by seed, and meeting their request one by one."""

from collections import Counter
from random import Random

import pytest

from asking import term
from chalkpoint.finding.atlas import atlas_for
from chalkpoint.finding.case import case_of
from chalkpoint.finding.find import find
from chalkpoint.finding.rejection import RandomPairs, draw_in_lanes
from chalkpoint.finding.selection import Selection
from chalkpoint.working.course import Course

WIDE = Course(format="24+8")
COMMON = (
    ("carry-dropped",),
    ("at-most-d-places <= 6", "not exact-result"),
    ("exposes:invert-only", "variant-stable"),
    ("exposes:align-skip",),
)


@pytest.mark.parametrize("texts", COMMON, ids=" and ".join)
@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_what_is_drawn_meets_its_request(operation: str, texts: tuple[str, ...]) -> None:
    """Every draw is different and in normal form, and does what was asked for when it is worked by itself."""
    if operation == "add" and "exposes:invert-only" in texts:
        texts = ("exposes:norm-skipped",)
    terms = [term(text, operation) for text in texts]
    drawn = draw_in_lanes(operation, WIDE, terms, 200, Random(5))
    assert drawn is not None
    assert len(set(drawn)) == 200
    for pair in drawn:
        case = case_of(operation, WIDE, *pair)
        assert all(WIDE.float_format.is_normalised(pattern) for pattern in pair)
        assert all(one.meets(case) for one in terms)
    assert drawn == draw_in_lanes(operation, WIDE, terms, 200, Random(5))
    assert drawn != draw_in_lanes(operation, WIDE, terms, 200, Random(6))


def test_those_that_do_not_meet_it_are_left_out_and_no_others() -> None:
    """Of the pairs in a batch, the mask has just those that meet the request one by one."""
    terms = [term("lost-ones >= 3", "subtract"), term("not carry-dropped", "subtract")]
    pairs = RandomPairs(WIDE, 300, Random(8))
    mask = pairs.meeting("subtract", terms)
    alone = [case_of("subtract", WIDE, *pair) for pair in pairs.pairs((1 << 300) - 1)]
    assert [bool(mask >> at & 1) for at in range(300)] == [
        all(one.meets(case) for one in terms) for case in alone
    ]


def test_every_pattern_is_as_likely_as_any_other() -> None:
    """Chi-squared of the exponents and of the top digits stays within five deviations of what chance gives."""
    pairs = RandomPairs(WIDE, 1 << 14, Random(9))
    drawn = pairs.pairs(pairs.lanes.yes)
    for seen, kinds in (
        (Counter(pair[0].exponent for pair in drawn), 256),
        (Counter(pair[1].mantissa >> 18 for pair in drawn), 32),
    ):
        wanted = len(drawn) / kinds
        squared = sum((seen[kind] - wanted) ** 2 / wanted for kind in seen)
        assert len(seen) == kinds
        assert abs(squared - (kinds - 1)) < 5 * (2 * (kinds - 1)) ** 0.5


def test_a_rare_request_is_left_to_diagrams() -> None:
    """One that hardly any pair meets is drawn by diagrams, and says so; so is one of a small format."""
    rare = find("subtract", format="24+8", where=["align-shift = 5", "lost-ones = 5", "sign-pattern = ++"])
    assert len(rare.draw(5, 1)) == 5
    assert rare.to_dict()["road"] == {"count": "diagrams", "questions": "diagrams"}
    small = find("subtract", format="6+4", where=["carry-dropped"])
    small.draw(5, 1)
    assert small.to_dict()["road"]["questions"] == "diagrams"


def test_a_draw_from_lanes_knows_its_number_and_says_its_road() -> None:
    """The number of a question is its place in the documented order, whichever road drew it."""
    found = find("subtract", format="24+8", where=["carry-dropped"])
    drawn = found.draw(20, 3)
    assert found.to_dict()["road"] == {"count": "diagrams", "questions": "random lanes"}
    for one in drawn:
        assert one.number is not None
        assert found[one.number].given == one.given


def test_numbers_and_questions_belong_together() -> None:
    """The number of each question is where it stands in the list of all of them."""
    selection = Selection(atlas_for("subtract", Course(format="4+5")), [term("lost-ones = 1", "subtract")])
    numbers = range(0, selection.count, 97)
    assert [selection.number_of(*pair) for pair in selection.pairs(numbers)] == list(numbers)


def test_all_pairs_are_drawn_in_lanes_too() -> None:
    """Where patterns need not be normalised they are drawn so."""
    found = find("add", format="24+8", space="all", where=["operand-not-normalised"])
    drawn = found.draw(30, 2)
    assert all(one.number is None for one in drawn)
    assert len({one.given for one in drawn}) == 30

"""Fair questions: one answer under every accepted method, none of it by accident."""

from dataclasses import replace

import pytest

from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.fairness import judge
from chalkpoint.setting.sources import draw
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import ask
from second_road import answer as second_answer
from second_road import stored_bits

EVERY = Course(accepts=tuple(name for name in METHODS if name != "align-then-negate"))
STRICT = Blueprint("Levels", EVERY)


def test_methods_that_part_ways_on_a_lost_bit_are_seen() -> None:
    """6.5 - 0.7109375 has three defensible answers."""
    fair = judge(ask("subtract", "6.5", "0.7109375", course=EVERY))

    assert not fair.same_answer
    assert fair.answers["negate-then-align"] == "01011100 0011"
    assert fair.answers["align-then-negate"] == "01011101 0011"


def test_each_method_s_answer_is_the_second_road_s() -> None:
    """Seven methods on drawn questions of 6+4, against the definitions."""
    course = replace(EVERY, format="6+4")
    for question in draw("subtract", course, [], 60, "fair"):
        for method, answer in judge(question).answers.items():
            (first, second) = question.patterns
            numbers = ((first.mantissa, first.exponent), (second.mantissa, second.exponent))
            expected = second_answer("subtract", method, numbers, 6, 4)
            assert answer in {stored_bits(expected, 6, 4), expected.outcome}


def test_a_question_on_which_methods_differ_is_refused_with_the_reason() -> None:
    """The reason names the methods that differ from the course's own."""
    said = judge(ask("subtract", "6.5", "0.7109375", course=EVERY)).refusal(STRICT)

    assert said.startswith("the accepted methods differ")
    assert "negate-then-align" in said


@pytest.mark.parametrize("methods", ["name the method", "list the answers"])
def test_such_a_question_may_be_asked_where_the_blueprint_says_how(methods: str) -> None:
    """The paper names the method, or the scheme lists the answers."""
    fair = judge(ask("subtract", "6.5", "0.7109375", course=EVERY))

    assert "differ" not in fair.refusal(replace(STRICT, methods=methods))


def test_a_common_belief_that_is_right_by_wrong_working_is_refused() -> None:
    """A pupil who only inverts reaches the answer: the last place is cut again by the repair."""
    course = Course(format="5+3")
    found = [
        fair
        for question in draw("subtract", course, ["mantissa-overflow"], 300, "accidents")
        if "invert-only" in (fair := judge(question)).common_accidents
    ]

    assert found
    plain = Blueprint("Levels", course)
    assert all("right by wrong working" in fair.refusal(plain) for fair in found)
    assert all(fair.refusal(replace(plain, accidental="needs working")) == "" for fair in found)


def test_beliefs_are_wrong_accidental_or_untested_and_never_two_of_them() -> None:
    """Every belief about the operation stands in one of the three lists."""
    fair = judge(ask("subtract", "8.875", "3.6875", course=Course()))
    lists = [*fair.wrong, *fair.accidental, *fair.untested]

    assert len(lists) == len(set(lists))
    assert fair.exposed == len(fair.wrong) > 20
    assert fair.answers["align-then-negate"] not in fair.wrong.values()

"""Wrong answers on purpose: each from a belief, each wrong."""

import pytest

from chalkpoint.teaching.choosing import Request, find_questions, first_wrong, hinge_choices, with_belief
from chalkpoint.working.adding import written_answer
from chalkpoint.working.beliefs.catalogue import parse_belief
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import method_named
from chalkpoint.working.work import work, work_by
from chalkpoint.working.working import Working

LOSSY = work("subtract", "8.875", "3.6875")
QUESTIONS = [LOSSY, work("add", "3.25", "2.75"), work("subtract", "-5.25", "7"), work("add", "0.375", "-6.5")]
questions = pytest.mark.parametrize("working", QUESTIONS, ids=lambda working: working.title)


@questions
def test_one_choice_is_right_and_three_are_beliefs_answers(working: Working) -> None:
    """Each wrong choice is what its belief's own method writes for the question."""
    choices = hinge_choices(working)

    assert [choice.letter for choice in choices] == list("ABCD")
    assert len({choice.answer for choice in choices}) == 4
    assert [choice.answer for choice in choices if choice.right] == [working.result.bits]
    for choice in choices:
        if not choice.right:
            question = working.question
            belief = parse_belief(choice.belief)
            base = method_named(question, question.course.method)
            method = belief.method_for(question.operation.name, base)
            assert method is not None
            faulty = work_by(question, method)
            assert choice.answer == written_answer(faulty.steps[-1].after, question.float_format)
            assert choice.says == belief.says


@questions
def test_the_order_of_choices_tells_nothing(working: Working) -> None:
    """They stand in the order of their digits."""
    answers = [choice.answer for choice in hinge_choices(working)]

    assert answers == sorted(answers)


def test_named_beliefs_are_used() -> None:
    """A teacher's own three."""
    named = ["invert-only", "align-skip", "carry-kept"]

    assert {choice.belief for choice in hinge_choices(LOSSY, named)} == {"", *named}


def test_a_mistake_is_in_the_beliefs_own_step() -> None:
    """The first line that differs is the one the belief gets wrong."""
    belief, wrong = with_belief(LOSSY, "invert-only")
    step, right = first_wrong(wrong, LOSSY)

    assert (belief.id, step.rule) == ("invert-only", "negate")
    assert right is not None
    assert right.rule == "negate"
    assert wrong.result.bits != LOSSY.result.bits


def test_questions_to_work_by_hand_have_short_decimals() -> None:
    """Of many with the same traits those are taken that a class can write down."""
    request = Request("subtract", ("align-shift = 2", "lost-ones >= 1"), parallels=5)
    found = find_questions(request, Course(format="8+4"))

    assert len(found) == 6
    assert max(len(shown) for question in found for shown in question.shown) <= 9

"""Reteaching: a counter-example on which the belief, and no right method, goes wrong."""

import pytest

from chalkpoint.marking.reteaching import fresh_question, reteach
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, other_methods, right_method

SUMS = frozenset({"add", "subtract"})


@pytest.mark.parametrize("belief", ["invert-only", "align-skip", "norm-skipped", "carry-kept"])
def test_the_counter_example_shows_the_belief(belief: str) -> None:
    """What the belief gives is wrong under every right method."""
    again = reteach(belief, Course(), SUMS)
    assert again is not None
    name = again.example.operation.name
    methods = [right_method(name, Course(), other) for other in other_methods(name, Course())]
    assert again.wrong not in {answer_by(method, again.example) for method in methods}
    assert again.right == answer_by(right_method(name, Course()), again.example)


def test_the_hinge_offers_the_right_answer() -> None:
    """The right answer is among at most four, no two alike."""
    again = reteach("invert-only", Course(), SUMS)
    assert again is not None
    right = answer_by(right_method(again.hinge.operation.name, Course()), again.hinge)
    assert right in again.choices
    assert len(set(again.choices)) == len(again.choices) <= 4


def test_a_belief_about_other_operations_has_none() -> None:
    """A belief that does not act in what was asked has no counter-example there."""
    assert reteach("invert-only", Course(), frozenset({"decode"})) is None


def test_fresh_questions_differ_by_seed() -> None:
    """Two pupils are given different questions."""
    one, other = (fresh_question(Course(), "subtract", seed) for seed in (1, 2))
    assert one is not None
    assert other is not None
    assert one.operands != other.operands

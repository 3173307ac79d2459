"""What helps a group that shares a belief: a counter-example in few digits, and a hinge question for the class."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from chalkpoint.marking.asking import question_pool
from chalkpoint.marking.ways import WORKABLE, Way, held_method
from chalkpoint.numbers.named import is_school
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, other_methods, right_method
from chalkpoint.working.question import Question

__all__ = ["Reteaching", "fresh_question", "reteach"]

CHOICES = 4


@dataclass(frozen=True, slots=True)
class Reteaching:
    """What helps with one belief.

    example  a question in few digits on which the belief goes wrong
    right    its right answer; *wrong* what the belief gives
    hinge    another such question, to ask a whole class
    choices  answers to choose from: the right one, this belief's and others', in a settled order
    """

    example: Question
    right: str
    wrong: str
    hinge: Question
    choices: tuple[str, ...]


@lru_cache(256)
def reteach(belief: str, course: Course, operations: frozenset[str]) -> Reteaching | None:
    """Return what helps with *belief*, in the operations a class was asked; None where it shows in none.

    >>> again = reteach("invert-only", Course(), frozenset({"subtract"}))
    >>> again.right != again.wrong, len(again.choices)
    (True, 4)
    """
    acting = [name for name in sorted(operations & set(WORKABLE)) if BELIEFS[belief].place_for(name)]
    shows = [
        question
        for question in question_pool(course, frozenset(acting))
        if _answer(question, Way("", (belief,))) not in _right_answers(question)
    ]
    if not shows:
        return None
    by_digits = sorted(shows, key=lambda question: (_ones(question), question.operands))
    example, hinge = by_digits[0], by_digits[min(1, len(by_digits) - 1)]
    return Reteaching(
        example, _answer(example, Way()), _answer(example, Way("", (belief,))), hinge, _choices(hinge, belief)
    )


def fresh_question(course: Course, operation: str, seed: int) -> Question | None:
    """Return a question of *operation* nobody was asked, in mantissa + exponent; another for another *seed*."""
    if operation not in WORKABLE or not is_school(course.number_format):
        return None
    pool = sorted(question_pool(course, frozenset({operation})), key=lambda one: (_ones(one), one.operands))
    return pool[seed % (len(pool) // 2)]


def _ones(question: Question) -> int:
    return sum(operand.count("1") for operand in question.operands)


def _answer(question: Question, way: Way) -> str:
    return answer_by(held_method(way, question.operation.name, question.course), question)


def _right_answers(question: Question) -> set[str]:
    """Return what every right method writes: a counter-example must not count one of them as wrong."""
    name, course = question.operation.name, question.course
    methods = [
        right_method(name, course),
        *(right_method(name, course, other) for other in other_methods(name, course)),
    ]
    return {answer_by(method, question) for method in methods}


def _choices(question: Question, belief: str) -> tuple[str, ...]:
    """Return the right answer, the belief's and others' that differ, sorted so that the place tells nothing."""
    own = [_answer(question, Way()), _answer(question, Way("", (belief,)))]
    others = sorted(beliefs_for(question.operation.name), key=lambda one: -one.weight)
    for other in others:
        answer = _answer(question, Way("", (other.id,)))
        if len(own) < CHOICES and answer not in own and answer not in _right_answers(question):
            own.append(answer)
    return tuple(sorted(own))

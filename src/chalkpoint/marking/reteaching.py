"""What helps a group that shares a belief: a counter-example in few digits, and a hinge question for the class."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from chalkpoint.marking.asking import ones, question_pool
from chalkpoint.marking.ways import WORKABLE, Way, held_method, is_workable
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.operations.declared import is_declared
from chalkpoint.working.procedures import answer_by, other_methods, part_of, parts_of, right_method
from chalkpoint.working.question import Question

__all__ = ["Reteaching", "fresh_question", "reteach", "reteach_anywhere"]

CHOICES = 4
WORDS = ("overflow", "underflow")
KEPT_ANSWERS = 512  # answers to those questions: the beliefs of a class are looked for among the same ones
KEPT_POOLS = 16  # pools of questions that nobody was asked, by course and operation
PARTS = {"answer": "the pattern stored", "absolute": "the absolute error", "relative": "the relative error"}


@dataclass(frozen=True, slots=True)
class Reteaching:
    """What helps with one belief.

    example  a question in few digits on which the belief goes wrong
    right    its right answer; *wrong* what the belief gives
    part     which of the answers it asks for goes wrong, in words; "" where it asks for one
    hinge    another such question, to ask a whole class
    choices  answers to choose from: the right one, this belief's and others', in a settled order
    """

    example: Question
    right: str
    wrong: str
    hinge: Question
    choices: tuple[str, ...]
    part: str = ""


@lru_cache(256)
def reteach(belief: str, course: Course, operations: frozenset[str]) -> Reteaching | None:
    """Return what helps with *belief*, in the operations a class was asked; None where it shows in none.

    >>> again = reteach("invert-only", Course(), frozenset({"subtract"}))
    >>> again.right != again.wrong, len(again.choices)
    (True, 4)
    """
    family = family_of(course.number_format)
    acting = [name for name in sorted(operations & set(WORKABLE)) if BELIEFS[belief].place_for(name, family)]
    shows = [
        question
        for question in question_pool(course, frozenset(acting))
        if is_workable(question) and _answer(question, Way("", (belief,))) not in _right_answers(question)
    ]
    if not shows:
        return None
    by_digits = sorted(shows, key=_simplicity)
    example = by_digits[0]
    part = _telling_part(example, belief)
    alike = [one for one in by_digits[1:] if _telling_part(one, belief) == part]
    hinge = alike[0] if alike else example
    right, wrong = (_part(_answer(example, way), example, part) for way in (Way(), Way("", (belief,))))
    words = PARTS.get(part, f"the {part} value") if part else ""
    return Reteaching(example, right, wrong, hinge, _choices(hinge, belief, part), words)


def reteach_anywhere(belief: str, course: Course) -> Reteaching | None:
    """Return what helps with *belief*, in whichever operation shows it, a sum before anything else."""
    acting = [name for name in reversed(WORKABLE) if BELIEFS[belief].place_for(name)]
    return next((again for name in acting if (again := reteach(belief, course, frozenset({name})))), None)


def _telling_part(question: Question, belief: str) -> str:
    """Return the first of the answers *question* asks for that *belief* gets wrong; "" where it asks for one."""
    right, wrong = _answer(question, Way()), _answer(question, Way("", (belief,)))
    parts = parts_of(question.operation.name, question.course)
    apart = (part for part in parts if _part(right, question, part) != _part(wrong, question, part))
    return next(apart, "")


def _part(answer: str, question: Question, part: str) -> str:
    return part_of(answer, question.operation.name, question.course, part) if part else answer


def fresh_question(course: Course, operation: str, seed: int, *, hard: bool = False) -> Question | None:
    """Return a question of *operation* nobody was asked; another for another *seed*.

    hard  one of those with most digits, for a pupil who needs no help
    """
    if operation not in WORKABLE or not is_declared(operation, course.number_format):
        return None
    pool = _simplest_first(course, operation)
    half = max(len(pool) // 2, 1)
    return pool[-1 - seed % half] if hard else pool[seed % half]


@lru_cache(KEPT_POOLS)
def _simplest_first(course: Course, operation: str) -> tuple[Question, ...]:
    """Return the questions that nobody was asked, those with fewest 1s first."""
    pool = question_pool(course, frozenset({operation}))
    return tuple(sorted(pool, key=lambda one: (ones(one), one.operands)))


def _simplicity(question: Question) -> tuple[bool, int, list[str]]:
    """Return what is least for the simplest question: digits in its answer, then few 1s in its operands."""
    return _answer(question, Way()) in WORDS, ones(question), question.operands


@lru_cache(KEPT_ANSWERS)
def _answer(question: Question, way: Way) -> str:
    return answer_by(held_method(way, question.operation.name, question.course), question)


@lru_cache(KEPT_ANSWERS)
def _right_answers(question: Question) -> frozenset[str]:
    """Return what every right method writes: a counter-example must not count one of them as wrong."""
    name, course = question.operation.name, question.course
    methods = [
        right_method(name, course),
        *(right_method(name, course, other) for other in other_methods(name, course)),
    ]
    return frozenset(answer_by(method, question) for method in methods)


def _choices(question: Question, belief: str, part: str) -> tuple[str, ...]:
    """Return the right answer, the belief's and others' that differ, sorted so that the place tells nothing."""
    catalogue = beliefs_for(question.operation.name, family_of(question.format))
    right = {_part(answer, question, part) for answer in _right_answers(question)}
    own = [_part(_answer(question, way), question, part) for way in (Way(), Way("", (belief,)))]
    others = sorted(catalogue, key=lambda one: -one.weight)
    for other in others:
        if len(own) == CHOICES:
            break
        answer = _part(_answer(question, Way("", (other.id,))), question, part)
        if answer and answer not in own and answer not in right:
            own.append(answer)
    return tuple(sorted(own))

"""Procedures end where workings do, in every family of formats; beliefs can be run in each."""

import random
from fractions import Fraction

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.answering import final_answer
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, has_methods, right_method
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.work import work_question

SPELLINGS = (
    "8+4",
    "1750A-32",
    "C3x-16",
    "8+4 excess-8",
    "1+4+3",
    "binary16",
    "E4M3",
    "8+4 sign-and-magnitude",
    "8",
    "8 unsigned",
    "8 ones-complement",
    "Q5.3",
)
NAMES = ("decode", "encode", "error", "negate", "add", "subtract", "multiply", "divide")


def questions(operation: str, course: Course, n: int) -> list[Question]:
    """Return questions on random bits or values, those that are worked."""
    rng, fmt = random.Random(f"{operation} {course.format}"), course.number_format
    found = []
    for _ in range(n):
        if OPERATIONS[operation].takes == "values":
            operands = [str(Fraction(rng.randrange(-6000, 6000), 100))]
        else:
            operands = [
                f"{rng.getrandbits(fmt.bits):0{fmt.bits}b}" for _ in range(OPERATIONS[operation].operands)
            ]
        try:
            question = ask(operation, *operands, course=course)
            work_question(question)
        except EntryError:
            continue
        if operation != "divide" or not work_question(question).check.special:
            found.append(question)
    return [one for one in found if operation != "divide" or one.values[1]]


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_procedures_end_where_workings_do(spelling: str) -> None:
    """What ends in the answer's place by the rules alone is what the working ends in."""
    course, seen = Course(format=spelling), 0
    for operation in NAMES:
        if not has_methods(operation, course):
            continue
        for question in questions(operation, course, 40):
            answer = answer_by(right_method(operation, course), question)
            expected = final_answer(work_question(question))
            assert answer == expected.removeprefix("minus ")
            seen += 1
    assert seen > 40


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_every_belief_of_a_family_can_be_run(spelling: str) -> None:
    """Each ends in something that can be written."""
    course = Course(format=spelling)
    family = family_of(course.number_format)
    for operation in NAMES:
        if not family or not has_methods(operation, course):
            continue
        base = right_method(operation, course)
        methods = [one.method_for(operation, base, family) for one in beliefs_for(operation, family)]
        for question in questions(operation, course, 8):
            assert all(answer_by(method, question) for method in methods if method is not None)

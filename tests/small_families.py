"""Whole small formats judged: right answers, what every belief writes, and answers with a bit changed.

Run: python tests/small_families.py [most questions of an operation] [format ...]
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence

import chalkpoint as cp
from chalkpoint.finding.familyspace import FamilySpace
from chalkpoint.finding.found import Found
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import Question, ask

__all__ = ["FORMATS", "astray", "questions"]

FORMATS = (
    "3",
    "3 unsigned",
    "3 ones-complement",
    "3 sign-and-magnitude",
    "3 excess-3",
    "Q2.1",
    "1+2+1",
    "2+2 sign-and-magnitude",
)
OPERATIONS = ("decode", "encode", "negate", "normalise", "add", "subtract", "multiply", "divide")


def questions(operation: str, spelling: str, most: int) -> list[Question]:
    """Return every question of an operation in a format, or *most* of them."""
    space = FamilySpace(operation, Course(format=spelling))
    try:
        space.refuse()
    except EntryError:
        return []
    numbers: Sequence[int] = range(space.count)
    if space.count > most:
        numbers = sorted(random.Random(spelling).sample(numbers, most))
    return [Found(None, operation, space.course, space.item(number)).question for number in numbers]


def astray(operation: str, spelling: str, most: int) -> Iterator[str]:
    """Yield what is judged otherwise than it should be."""
    course = Course(format=spelling)
    family = family_of(course.number_format)
    for question in questions(operation, spelling, most):
        base = right_method(operation, course)
        right = answer_by(base, question)
        if not cp.judge(question, answer=right).right:
            yield f"{operation} {question.operands}: {right} is right"
        for belief in beliefs_for(operation, family):
            if belief.of_values and not any(question.given):
                continue  # it shows only in operands that are given as values
            method = belief.method_for(operation, base, family)
            assert method is not None
            answer = answer_by(method, question)
            said = cp.judge(question, answer=answer)
            traced = said.right if answer == right else belief.id in said.among and not said.right
            if not traced and (said.verdict != "right elsewhere" or answer == right):
                yield f"{operation} {question.operands}: {answer} of {belief.id} is {said.verdict}, {said.among}"
        if operation != "decode":  # a number has no bits to be changed
            yield from _altered(question, right)


def _altered(question: Question, right: str) -> Iterator[str]:
    """Yield each answer with one bit changed that is neither told as such nor traced to a belief."""
    if set(right) - set("01 "):
        return
    for at, digit in enumerate(right):
        if digit == " ":
            continue
        written = f"{right[:at]}{'10'[int(digit)]}{right[at + 1 :]}"
        said = cp.judge(question, answer=written)
        if said.right and _is_zero(question, written) and _is_zero(question, right):
            continue  # either of a code's two zeros is taken
        slip = said.first_wrong.slip if said.first_wrong else ""
        if said.right or not (slip or said.among or said.elsewhere):
            yield f"{question.operation.name} {question.operands}: {written} for {right} is {said.verdict}"


def _is_zero(question: Question, written: str) -> bool:
    return ask("decode", written, course=question.course).values[0] == 0


if __name__ == "__main__":
    given = int(sys.argv[1]) if len(sys.argv) > 1 else 1 << 16
    for one in sys.argv[2:] or FORMATS:
        for name in OPERATIONS:
            found = list(astray(name, one, given))
            told = f"{one} {name}: {len(questions(name, one, given))} questions, {len(found)} astray"
            sys.stdout.write("\n  ".join([told, *found[:3]]) + "\n")

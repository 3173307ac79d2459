"""Whole small formats judged: right answers, what every belief writes, and answers with a bit changed.

Run: python tests/small_families.py [most questions of an operation] [format ...]
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress

import chalkpoint as cp
from chalkpoint.finding.familyspace import FamilySpace
from chalkpoint.finding.found import Found
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import value_or_none
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawn import draw_plain
from chalkpoint.working.beliefs.belief import Belief
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.chained import MADE_OF_PARTS, results_of_chain
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
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
    "3+2 excess-2",
    "c3x-16",
    "1750a-32",
)
OPERATIONS = (
    *("decode", "encode", "negate", "normalise", "add", "subtract", "multiply", "divide"),
    *("range", "error", "sum", "convert", "choose-format"),
)
INTO = ("4+3", "1+3+2", "4")  # what is converted into


def questions(operation: str, spelling: str, most: int) -> list[Question]:
    """Return every question of an operation in a format, or *most* of them."""
    course = Course(format=spelling)
    if operation == "range":
        return [ask("range", course=course)]
    if operation == "choose-format":
        if spelling != FORMATS[0]:
            return []  # it is the same whatever the course works in
        return [*draw_plain(BlueprintQuestion(operation, course), (), min(most, 80), spelling)]
    space = FamilySpace({"sum": "add", "convert": "decode"}.get(operation, operation), course)
    try:
        space.refuse()
    except EntryError:
        return []
    numbers: Iterable[int] = range(space.count)
    if space.count > most:
        rng = random.Random(spelling)
        numbers = sorted(rng.randrange(space.count) for _ in range(most))
    found = [Found(None, space.operation, space.course, space.item(number)).question for number in numbers]
    return [again for one in found for again in _made_of(operation, one)]


def _made_of(operation: str, one: Question) -> Iterator[Question]:
    """Yield the questions of *operation* that have the operands of *one*: a sum has the first of two once more.

    Zero is converted by a rule of its own, of which beliefs say nothing.
    """
    if operation == "sum":
        yield ask("sum", *one.operands, one.operands[0], course=one.course)
    elif operation == "convert" and value_or_none(one.format, one.patterns[0]):
        for spelling in INTO:
            with suppress(EntryError):  # an infinity has no place in some
                yield ask("convert", *one.operands, spelling, course=one.course)
    elif operation != "convert":
        yield one


def right_answer(question: Question) -> str:
    """Return what stands in the answer's place."""
    if question.operation.name in MADE_OF_PARTS:
        return results_of_chain(question, right_method)[-1]
    return answer_by(right_method(question.operation.name, question.course), question)


def answers_by_belief(question: Question) -> Iterator[tuple[str, str]]:
    """Yield each belief that acts in *question*, with what its holder writes."""
    name = question.operation.name
    worked = [(name, question.course)]
    if name in MADE_OF_PARTS:
        worked = [
            *zip(MADE_OF_PARTS[name], (question.course, question.target or question.course), strict=False)
        ]
    acting = dict.fromkeys(
        belief
        for operation, course in worked
        for belief in beliefs_for(operation, family_of(course.number_format))
    )
    for belief in acting:
        if belief.of_values and not any(question.given):
            continue  # it shows only in operands that are given as values

        def method_of(operation: str, course: Course, held: Belief = belief) -> Method:
            base = right_method(operation, course)
            return held.method_for(operation, base, family_of(course.number_format)) or base

        if name in MADE_OF_PARTS:
            yield belief.id, results_of_chain(question, method_of)[-1]
        else:
            yield belief.id, answer_by(method_of(name, question.course), question)


def astray(operation: str, spelling: str, most: int) -> Iterator[str]:
    """Yield what is judged otherwise than it should be."""
    for question in questions(operation, spelling, most):
        right = right_answer(question)
        if not cp.judge(question, answer=right).right:
            yield f"{operation} {question.operands}: {right} is right"
        for belief, answer in answers_by_belief(question):
            said = cp.judge(question, answer=answer)
            traced = said.right if answer == right else belief in said.among and not said.right
            if operation == "choose-format" and said.right:
                continue  # another format of as few bits serves as well
            if not traced and (said.verdict != "right elsewhere" or answer == right):
                yield f"{operation} {question.operands}: {answer} of {belief} is {said.verdict}, {said.among}"
        if operation not in {
            "decode",
            "choose-format",
            "range",
            "error",
        }:  # a number has no bits to be changed
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
    return ask("decode", written, course=question.target or question.course).values[0] == 0


if __name__ == "__main__":
    given = int(sys.argv[1]) if len(sys.argv) > 1 else 1 << 16
    for one in sys.argv[2:] or FORMATS:
        for name in OPERATIONS:
            found = list(astray(name, one, given))
            told = f"{one} {name}: {len(questions(name, one, given))} questions, {len(found)} astray"
            sys.stdout.write("\n  ".join([told, *found[:3]]) + "\n")

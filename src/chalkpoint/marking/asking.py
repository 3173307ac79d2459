"""Diagnosing what a pupil wrote, and the question to ask next: the one expected to leave least doubt."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from math import log2

from chalkpoint.marking.chances import Seen
from chalkpoint.marking.diagnosis import Diagnoser, Diagnosis
from chalkpoint.marking.spelling import one_spelling
from chalkpoint.marking.ways import WORKABLE, Way, held_method
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by
from chalkpoint.working.question import OPERATIONS, Question, ask, ask_line

__all__ = ["decide", "diagnose", "diagnoser_for", "expected_fall", "next_questions"]

POOL = 30  # questions of each operation to choose among
SEED = 2024
LIKELY = 0.01  # ways less likely than this are not told apart
MOST = 3


def expected_fall(question: Question, likely: Mapping[Way, float]) -> float:
    """Return by how many bits the doubt about the way of working is expected to fall.

    Every way's answer is known, so that is the doubt about the answer itself.

    >>> from chalkpoint.working.course import Course
    >>> sum_of = ask("subtract", "6.5", "1.25", course=Course())
    >>> expected_fall(sum_of, {Way(): 0.5, Way("", ("invert-only",)): 0.5})
    1.0
    """
    by_answer: dict[str, float] = defaultdict(float)
    for way, chance in likely.items():
        method = held_method(way, question.operation.name, question.course)
        by_answer[answer_by(method, question)] += chance
    total = sum(by_answer.values())
    return -sum(chance / total * log2(chance / total) for chance in by_answer.values())


def next_questions(
    diagnoser: Diagnoser, chances: Sequence[float], *, avoid: Sequence[Question] = ()
) -> tuple[Question, ...]:
    """Return up to three questions that would decide most, the best first; of equals the one with fewest 1s.

    avoid  questions already asked
    """
    asked = {(question.operation.name, *question.operands) for question in avoid}
    likely = {way: chance for way, chance in zip(diagnoser.ways, chances, strict=False) if chance > LIKELY}
    pool = [
        question
        for question in question_pool(diagnoser.course, diagnoser.operations)
        if (question.operation.name, *question.operands) not in asked
    ]
    falls = [(expected_fall(question, likely), question) for question in pool]
    ranked = sorted(falls, key=lambda pair: (-round(pair[0], 6), _ones(pair[1]), pair[1].operands))
    return tuple(question for fall, question in ranked[:MOST] if fall > 0)


def _ones(question: Question) -> int:
    """Return how many 1s a question is written with: fewer is simpler."""
    return sum(operand.count("1") for operand in question.operands)


@lru_cache(64)
def question_pool(course: Course, operations: frozenset[str]) -> tuple[Question, ...]:
    """Return questions with few 1s in their operands, the same for the same course."""
    rng = random.Random(f"{SEED} {course.format}")
    return tuple(
        ask(name, *(_operand(rng, course, name) for _ in range(OPERATIONS[name].operands)), course=course)
        for name in sorted(operations)
        for _ in range(POOL)
    )


def _operand(rng: random.Random, course: Course, operation: str) -> str:
    fmt = course.number_format
    top = fmt.places - 1
    mantissa = 1 << top
    for _ in range(rng.randrange(3)):
        mantissa |= 1 << rng.randrange(max(0, top - 4), top)
    mantissa |= rng.choice((0, 0, 1, 3))  # digits at the end, which an alignment may cost
    if rng.random() < 0.5:
        mantissa = -mantissa
    if operation == "normalise":
        mantissa >>= rng.randrange(1, 4)
    low = max(fmt.lowest_exponent, -3)
    pattern = Pattern(mantissa, rng.randint(low, min(fmt.highest_exponent, low + 6)))
    if OPERATIONS[operation].takes == "values":
        return str(fmt.value(pattern))
    return str(fmt.write(pattern))


def diagnose(answers: Sequence[tuple[Question | str, str]], *, course: Course | None = None) -> Diagnosis:
    """Return what a pupil's answers say, and the questions that would decide what they do not.

    answers  each a question, or a line such as "subtract 6.5, 1.25", and what the pupil wrote; "" for a blank

    >>> said = diagnose([
    ...     ("subtract 6.5, 1.25", "0.1010011 0011"),
    ...     ("subtract 5.5, -2.25", "0.1111011 0011"),
    ...     ("subtract 3.5, 1.25", "0.1000111 0010"),
    ...     ("add 2.5, 0.75", "0.1101000 0010"),
    ... ])
    >>> [(finding.misconception, finding.shown_on, finding.could_show_on) for finding in said.named]
    [('invert-only', (1, 2, 3), (1, 2, 3))]
    """
    conventions = course or Course()
    asked = [
        (ask_line(question, course=conventions) if isinstance(question, str) else question, text)
        for question, text in answers
    ]
    known = [
        (number, question, one_spelling(question, text))
        for number, (question, text) in enumerate(asked, start=1)
        if question.operation.name in WORKABLE
    ]
    conventions = asked[0][0].course if asked else conventions
    operations = frozenset(question.operation.name for _, question, _ in known)
    diagnoser = diagnoser_for(conventions, operations)
    return decide(diagnoser, [diagnoser.see(*one) for one in known])


def decide(diagnoser: Diagnoser, answers: Sequence[Seen]) -> Diagnosis:
    """Return the diagnosis of *answers*, with next questions where something waits to be decided."""
    diagnosis, chances = diagnoser.diagnose_with_chances(answers)
    if not diagnosis.undecided:
        return diagnosis
    questions = next_questions(diagnoser, chances, avoid=[seen.item.question for seen in answers])
    return replace(diagnosis, next_questions=questions)


@lru_cache(16)
def diagnoser_for(course: Course, operations: frozenset[str], *, pairs: bool = True) -> Diagnoser:
    """Return the diagnoser of a course, made once."""
    return Diagnoser(course, operations, pairs=pairs)

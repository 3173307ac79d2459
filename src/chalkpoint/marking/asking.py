"""Diagnosing what a pupil wrote, and the question to ask next: the one expected to leave least doubt."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from math import log2
from typing import Any

from chalkpoint.marking.chances import Seen
from chalkpoint.marking.diagnosis import Diagnoser, Diagnosis
from chalkpoint.marking.observed import observe_answer
from chalkpoint.marking.predictions import key_of
from chalkpoint.marking.ways import Way, held_method, is_workable, operations_in
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import FLOATING, WHOLE
from chalkpoint.numbers.formats import Pattern
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawn import draw_plain
from chalkpoint.working.beliefs.belief import SCALING
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, Question, ask, ask_line
from chalkpoint.working.tables import MethodTable

__all__ = [
    "decide",
    "diagnose",
    "diagnoser_for",
    "expected_falls",
    "near_formats",
    "next_questions",
    "ones",
    "other_courses",
]

POOL = 30  # questions of each operation to choose among
SEED = 2024
LIKELY = 0.01  # ways less likely than this are not told apart
MOST = 3
SHORTEST = 3  # bits of a field
EDGE = 0.3  # of the factors: the share with an exponent near an end of the range


def expected_falls(questions: Sequence[Question], likely: Mapping[Way, float]) -> list[float]:
    """Return by how many bits each of *questions* is expected to lessen the doubt about the way of working.

    Every way's answer is known, so that is the doubt about the answer itself. Questions of one operation are worked
    together.

    >>> from chalkpoint.working.course import Course
    >>> sum_of = ask("subtract", "6.5", "1.25", course=Course())
    >>> expected_falls([sum_of], {Way(): 0.5, Way("", ("invert-only",)): 0.5})
    [1.0]
    """
    return [_fall(answers, likely.values()) for answers in _answers(questions, likely)]


def _answers(questions: Sequence[Question], ways: Iterable[Way]) -> list[list[str]]:
    """Return, for each of *questions*, what each of *ways* writes."""
    groups: dict[tuple[str, Course], list[int]] = defaultdict(list)
    for at, question in enumerate(questions):
        groups[question.operation.name, question.course].append(at)
    found: dict[int, list[str]] = {}
    for (operation, course), places in groups.items():
        methods = [held_method(way, operation, course) for way in ways]
        table = MethodTable([questions[at] for at in places], methods)
        found |= {at: table.by_method(number) for number, at in enumerate(places)}
    return [found[at] for at in range(len(questions))]


def _fall(answers: Iterable[str], chances: Iterable[float]) -> float:
    """Return the doubt, in bits, about which of *answers* is given, each with its chance."""
    by_answer: dict[str, float] = defaultdict(float)
    for answer, chance in zip(answers, chances, strict=True):
        by_answer[answer] += chance
    total = sum(by_answer.values())
    return -sum(chance / total * log2(chance / total) for chance in by_answer.values())


def next_questions(
    diagnoser: Diagnoser, chances: Sequence[float], *, avoid: Sequence[Question] = ()
) -> tuple[Question, ...]:
    """Return up to three questions that would decide most, the best first; of equals the one with fewest 1s.

    avoid  questions already asked
    """
    asked = {key_of(question) for question in avoid}
    likely = {way: chance for way, chance in zip(diagnoser.ways, chances, strict=False) if chance > LIKELY}
    pools = _pools_like(avoid) or {diagnoser.course: diagnoser.operations}
    pool = [
        question for course, operations in pools.items() for question in question_pool(course, operations)
    ]
    columns = [
        [answer for course, operations in pools.items() for answer in _pool_answers(course, operations, way)]
        for way in likely
    ]
    falls = [
        (_fall((column[at] for column in columns), likely.values()), question)
        for at, question in enumerate(pool)
        if key_of(question) not in asked
    ]
    ranked = sorted(falls, key=lambda pair: (-round(pair[0], 6), ones(pair[1]), pair[1].operands))
    return tuple(question for fall, question in ranked[:MOST] if fall > 0)


def _pools_like(questions: Sequence[Question]) -> dict[Course, frozenset[str]]:
    """Return the operations of *questions* by the course, and so the format, that they are asked in."""
    found: dict[Course, frozenset[str]] = {}
    for question in questions:
        found[question.course] = found.get(question.course, frozenset()) | operations_in(question)
    return found


@lru_cache(1 << 9)
def _pool_answers(course: Course, operations: frozenset[str], way: Way) -> list[str]:
    """Return what *way* writes for each question of the pool."""
    return [answers[0] for answers in _answers(question_pool(course, operations), [way])]


def ones(question: Question) -> int:
    """Return how many 1s a question is written with: fewer is simpler."""
    return sum(operand.count("1") for operand in question.operands)


@lru_cache(64)
def question_pool(course: Course, operations: frozenset[str]) -> tuple[Question, ...]:
    """Return questions with few 1s in their operands, the same for the same course."""
    rng = random.Random(f"{SEED} {course.format}")
    found: list[Question] = []
    for name in sorted(operations):
        if name == "choose-format":  # its amounts are no numbers of the course's format
            found += draw_plain(BlueprintQuestion(name, course), (), POOL, f"{SEED}")
            continue
        for among in near_formats(course) if name == "range" else [course] * POOL:
            operands = [_operand(rng, course, name) for _ in range(OPERATIONS[name].operands)]
            found += filter(None, [_asked(name, operands, among)])
    return tuple(found)


def _asked(name: str, operands: list[str], course: Course) -> Question | None:
    """Return a question of these operands; None where the format has no answer to it."""
    try:
        question = ask(name, *operands, course=course)
    except EntryError:
        return None
    return question if is_workable(question) else None


def near_formats(course: Course) -> list[Course]:
    """Return *course* in its own format and in some near it: a format has one range."""
    fmt = course.number_format
    if fmt.family != FLOATING or fmt.name or fmt.exponent.kind == "excess":
        return [course]
    sizes = [
        (fmt.mantissa_bits + longer, fmt.exponent_bits + more) for more in (0, -1, 1) for longer in (0, -2, 2)
    ]
    return [course.with_(format=f"{m}+{e}") for m, e in sizes if m >= SHORTEST and e >= SHORTEST]


def _operand(rng: random.Random, course: Course, operation: str) -> str:
    fmt = course.number_format
    if fmt.family != FLOATING:
        return _in_family(rng, fmt, operation)
    if operation == "error":  # a decimal that is not stored exactly
        digits = 10 * rng.randrange(1, 99) + rng.choice((1, 3, 7, 9))
        return str(Fraction(rng.choice((1, 1, -1)) * digits, rng.choice((10, 100, 1000))))
    top = fmt.places - 1
    mantissa = 1 << top
    for _ in range(rng.randrange(3)):
        mantissa |= 1 << rng.randrange(max(0, top - 4), top)
    mantissa |= rng.choice((0, 0, 1, 3))  # digits at the end, which an alignment may cost
    if rng.random() < 0.5:
        mantissa = -mantissa
    if mantissa == -(1 << top):
        mantissa <<= 1  # in normal form: a pupil meets operands as papers give them
    if operation == "normalise":
        mantissa >>= rng.randrange(1, 4)
    low = max(fmt.lowest_exponent, -3)
    high = min(fmt.highest_exponent, low + 6)
    if operation in SCALING and rng.random() < EDGE:  # two of these leave the range
        low = high = rng.choice((fmt.lowest_exponent, fmt.highest_exponent - 1))
    pattern = Pattern(mantissa, rng.randint(low, high))
    if OPERATIONS[operation].takes == "values":
        return str(fmt.value(pattern))
    return str(fmt.write(pattern))


def _in_family(rng: random.Random, fmt: Any, operation: str) -> str:
    """Return an operand with few 1s in a format that is no mantissa and exponent: a pattern, or a value it holds."""
    if fmt.family == WHOLE:
        number = sum(1 << rng.randrange(fmt.bits - 1) for _ in range(3)) % (1 << (fmt.bits - 1))
        number = min(max(number or 1, fmt.field.lowest), fmt.field.highest)
        pattern = fmt.field.write(-number if fmt.field.holds(-number) and rng.random() < 0.5 else number)
        half = Fraction(rng.choice((0, 1, 1)), 2 if operation == "error" else 1)
        value = fmt.value(pattern) + half * fmt.unit_value * (operation == "error")
    else:
        low = max(fmt.lowest_exponent, -3)
        size = 1 << (fmt.digits - 1) | (1 << rng.randrange(fmt.digits - 1)) | rng.choice((0, 1, 3))
        exponent = rng.randint(low, min(fmt.highest_exponent, low + 6))
        pattern = fmt.pack(rng.randrange(2), min(size, (1 << fmt.digits) - 1), exponent)
        value = fmt.value(pattern) * (1 + Fraction(operation == "error", 100))
    return str(value) if OPERATIONS[operation].takes == "values" else str(fmt.write(pattern))


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
        (number, question, text)
        for number, (question, text) in enumerate(asked, start=1)
        if is_workable(question)
    ]
    conventions = asked[0][0].course if asked else conventions
    operations = frozenset[str]().union(*(operations_in(question) for _, question, _ in known))
    others = other_courses(conventions, (question for _, question, _ in known))
    diagnoser = diagnoser_for(conventions, operations, others=others)
    return decide(diagnoser, [seen for one in known for seen in observe_answer(diagnoser, *one)])


def decide(diagnoser: Diagnoser, answers: Sequence[Seen]) -> Diagnosis:
    """Return the diagnosis of *answers*, with next questions where something waits to be decided."""
    diagnosis, chances = diagnoser.diagnose_with_chances(answers)
    if not diagnosis.undecided:
        return diagnosis
    questions = next_questions(diagnoser, chances, avoid=[seen.item.question for seen in answers])
    return replace(diagnosis, next_questions=questions)


def other_courses(course: Course, questions: Iterable[Question]) -> frozenset[Course]:
    """Return the courses of *questions* in another format than that of *course*; conversions end in one."""
    every = (one for question in questions for one in (question.course, question.target) if one is not None)
    return frozenset(other for other in every if other.number_format != course.number_format)


@lru_cache(16)
def diagnoser_for(
    course: Course, operations: frozenset[str], *, pairs: bool = True, others: frozenset[Course] = frozenset()
) -> Diagnoser:
    """Return the diagnoser of a course, made once."""
    return Diagnoser(course, operations, pairs=pairs, others=others)

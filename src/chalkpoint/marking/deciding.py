<<<<<<< HEAD
"""Diagnosing what a pupil wrote, and the question to ask next: the one expected to leave least doubt."""
=======
"""The question whose answer would decide between courses."""
>>>>>>> beliefs

from __future__ import annotations

import random
<<<<<<< HEAD
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
from chalkpoint.setting.procedures import answer_by
from chalkpoint.working.course import Course
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
    mantissa = (1 << top) | (rng.getrandbits(top) & rng.getrandbits(top) | rng.getrandbits(2))
    if rng.random() < 0.5:
        mantissa = -mantissa
    if operation == "normalise":
        mantissa >>= rng.randrange(1, 4)
    low = max(fmt.lowest_exponent, -3)
    pattern = Pattern(mantissa, rng.randint(low, min(fmt.highest_exponent, low + 6)))
    if OPERATIONS[operation].takes == "values":
        return str(fmt.value(pattern))
    return fmt.write(pattern)


def diagnose(
    answers: Sequence[tuple[Question | str, str]], *, course: Course | None = None
) -> Diagnosis:
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


@lru_cache(8)
def diagnoser_for(course: Course, operations: frozenset[str]) -> Diagnoser:
    """Return the diagnoser of a course, made once."""
    return Diagnoser(course, operations)
=======
from collections.abc import Iterator

from chalkpoint.marking.courses import Asker, Choices, Item
from chalkpoint.working.question import OPERATIONS

__all__ = ["deciding_question"]

CANDIDATES = 40
NO_ANSWER = "no answer"


def deciding_question(
    items: list[Item], courses: list[Choices], opened: tuple[str, ...], asker: Asker, *, seed: int
) -> tuple[str, dict[str, list[int]]]:
    """Return the question that parts *courses* best among some drawn with *seed*, and its answers.

    Its answers do not depend on the choices *opened*: whatever those are, one of them is the answer.
    """
    rng = random.Random(seed)
    tried = [(text, _answers(text, courses, asker)) for text in _questions(items, asker, rng)]
    ranked = sorted(tried, key=lambda pair: sum(len(group) ** 2 for group in pair[1].values()))
    for text, answers in ranked:
        if len(answers) > 1 and NO_ANSWER not in answers and _steady(text, answers, courses, opened, asker):
            return text, answers
    return "", {}


def _answers(text: str, courses: list[Choices], asker: Asker) -> dict[str, list[int]]:
    """Return the answers to *text*, each with the numbers of the courses that give it."""
    answers: dict[str, list[int]] = {}
    for number, choices in enumerate(courses):
        answers.setdefault(_answer_by(text, choices, asker) or NO_ANSWER, []).append(number)
    return answers


def _steady(
    text: str, answers: dict[str, list[int]], courses: list[Choices], opened: tuple[str, ...], asker: Asker
) -> bool:
    """Tell whether every answer stays the same whatever the open choices are."""
    touched = [name for name in Item(text, "").touches if name in opened]
    for answer, numbers in answers.items():
        for number in numbers:
            for more in asker.combinations(touched):
                if _answer_by(text, courses[number] + more, asker) not in {answer, None}:
                    return False
    return True


def _answer_by(text: str, choices: Choices, asker: Asker) -> str | None:
    touches = Item(text, "").touches
    chosen = dict(choices)
    return asker.answer(text, tuple((name, chosen[name]) for name in touches if name in chosen))


def _questions(items: list[Item], asker: Asker, rng: random.Random) -> Iterator[str]:
    """Yield questions like those of the key, and a reading, on patterns as long as the key's."""
    sizes = sorted(set().union(*(item.sizes() for item in items)), key=len, reverse=True)
    if not sizes:
        return
    operations = list(dict.fromkeys(item.operation for item in items if item.operation != "error"))
    operations += [name for name in ("subtract", "decode", "encode") if name not in operations]
    for number in range(CANDIDATES):
        operation = operations[number % len(operations)]
        if operation == "encode":
            yield f"encode {rng.choice(('', '-'))}{rng.randrange(1, 60)}.{rng.randrange(1, 100):02d}"
            continue
        count = OPERATIONS[operation].operands
        yield f"{operation} {', '.join(_pattern(sizes[0], rng) for _ in range(count))}"


def _pattern(size: tuple[int, ...], rng: random.Random) -> str:
    """Return a pattern with fields of these sizes, normalised in its first, its second near zero."""
    total = sum(size)
    first = size[0]
    sign = rng.choice("01")
    digits = sign + ("1" if sign == "0" else "0") + "".join(rng.choice("01") for _ in range(total - 2))
    if len(size) == 2:
        second = format(rng.choice((0, 1, 2, 3, -1, -2)) & ((1 << size[1]) - 1), f"0{size[1]}b")
        digits = digits[:first] + second
        return f"{digits[:first]} {digits[first:]}"
    return digits
>>>>>>> beliefs

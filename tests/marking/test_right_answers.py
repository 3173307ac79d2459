"""A right answer is right: the engine's own, in every family and operation, as people write it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import pytest

import chalkpoint as cp
from chalkpoint.numbers.named import format_called
from chalkpoint.setting.answering import final_answer
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question, ask

FORMATS = (
    "5+3",
    "5+3 excess-4",
    "1750A-32",
    "1750A-48",
    "C3x-16",
    "C3x-32",
)
OPERANDS = {
    "decode": ("1.5",),
    "normalise": ("1.5",),
    "negate": ("1.5",),
    "encode": ("-2.5",),
    "error": ("1.3",),
    "range": (),
    "add": ("1.5", "1"),
    "subtract": ("1.5", "-1"),
    "multiply": ("1.5", "-1"),
    "divide": ("1.5", "-1"),
}
SMALL = ("3+2", "3+2 excess-2")


def manners(answer: str, spelling: str) -> Iterator[str]:
    """Yield *answer* with the spaces between its fields, without them, with more of them, and with its point."""
    yield answer
    patterns = answer.split("; ")
    fmt = format_called(spelling)
    if getattr(fmt, "bits", 0) == len(patterns[0].replace(" ", "")) and set(patterns[0]) <= set("01 "):
        runs = [pattern.replace(" ", "") if set(pattern) <= set("01 ") else pattern for pattern in patterns]
        yield "; ".join(runs)
        yield "; ".join(pattern.replace(" ", "  ") for pattern in patterns)
        at = getattr(fmt, "exponent_bits", 0) if getattr(fmt, "exponent_first", False) else 0
        if getattr(fmt, "low_bits", 0):  # a mantissa in two parts is written without its point
            return
        yield "; ".join(
            f"{pattern[: at + (at > 0) + 1]}.{pattern[at + (at > 0) + 1 :]}" if " " in pattern else pattern
            for pattern in patterns
        )


def wrongly_judged(question: Question, spelling: str) -> list[str]:
    """Return the manners of writing the right answer in which it is not taken for right."""
    answer = final_answer(cp.work_question(question))
    return [one for one in manners(answer, spelling) if not cp.judge(question, answer=one).right]


@pytest.mark.parametrize(("spelling", "operation"), list(product(FORMATS, OPERANDS)))
def test_the_right_answer_is_right_in_every_manner(spelling: str, operation: str) -> None:
    """The engine's own answer is taken for right."""
    question = ask(operation, *OPERANDS[operation], course=Course(format=spelling))
    assert wrongly_judged(question, spelling) == []


@pytest.mark.parametrize("spelling", SMALL)
def test_every_pattern_of_a_small_format(spelling: str) -> None:
    """So is that to every pattern."""
    course = Course(format=spelling)
    patterns = ["".join(bits) for bits in product("01", repeat=course.number_format.bits)]
    wrong = {
        (operation, pattern): found
        for operation in ("decode", "normalise", "negate")
        for pattern in patterns
        if (found := wrongly_judged(ask(operation, pattern, course=course), spelling))
    }
    assert wrong == {}

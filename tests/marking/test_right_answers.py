"""A right answer is right: the engine's own, in every family and operation, as people write it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import pytest

import chalkpoint as cp
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.named import format_called
from chalkpoint.setting.answering import final_answer
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question, ask
from chalkpoint.working.whole import CODES_ADDED

FORMATS = (
    "5+3",
    "5+3 excess-4",
    "1750A-32",
    "1750A-48",
    "C3x-16",
    "C3x-32",
    "1+4+3",
    "binary32",
    "E4M3",
    "5+3 sign-and-magnitude",
    "5",
    "5 unsigned",
    "5 ones-complement",
    "5 sign-and-magnitude",
    "5 excess-16",
    "Q3.2",
    "Q3.2 unsigned",
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
WHOLE = {"1.5": "3", "-2.5": "-3", "1.3": "3"}
SMALL = ("3+2", "3+2 excess-2", "1+3+2", "4", "4 ones-complement", "Q1.3", "Q2.2", "Q3.1")


def operands(operation: str, spelling: str) -> tuple[str, ...]:
    """Return operands that the format holds."""
    found = OPERANDS[operation]
    if "unsigned" in spelling:
        found = tuple(operand.lstrip("-") for operand in found)
    whole = spelling[0] == "5" and "+" not in spelling
    return tuple(WHOLE.get(operand, operand.replace("2.5", "3")) for operand in found) if whole else found


def is_judged(operation: str, spelling: str) -> bool:
    """Tell whether *operation* is worked in the format and its answers judged: see docs/coverage.md."""
    fmt = format_called(spelling)
    if operation == "normalise":
        return fmt.family == FLOATING or ("sign" in spelling and "+" in spelling)
    if isinstance(fmt, FixedFormat):
        scaled = fmt.field.kind in CODES_ADDED
        return {"negate": fmt.field.kind != "unsigned", "multiply": scaled, "divide": scaled}.get(
            operation, True
        )
    return True


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


@pytest.mark.parametrize(
    ("spelling", "operation"), [pair for pair in product(FORMATS, OPERANDS) if is_judged(pair[1], pair[0])]
)
def test_the_right_answer_is_right_in_every_manner(spelling: str, operation: str) -> None:
    """The engine's own answer is taken for right."""
    question = ask(operation, *operands(operation, spelling), course=Course(format=spelling))
    assert wrongly_judged(question, spelling) == []


@pytest.mark.parametrize("spelling", SMALL)
def test_every_pattern_of_a_small_format(spelling: str) -> None:
    """So is that to every pattern."""
    course = Course(format=spelling)
    patterns = ["".join(bits) for bits in product("01", repeat=course.number_format.bits)]
    wrong = {
        (operation, pattern): found
        for operation in ("decode", "normalise", "negate")
        if operation != "normalise" or spelling.startswith("3")
        for pattern in patterns
        if (found := wrongly_judged(ask(operation, pattern, course=course), spelling))
    }
    assert wrong == {}


@pytest.mark.parametrize("spelling", ["3", "3 unsigned", "3 ones-complement", "3 excess-4", "Q2.1", "1+2+1"])
def test_every_pair_of_a_small_format(spelling: str) -> None:
    """So are the sums, differences, products and quotients of every pair of patterns."""
    course = Course(format=spelling)
    patterns = ["".join(bits) for bits in product("01", repeat=course.number_format.bits)]
    wrong = []
    for operation in ("add", "subtract", "multiply", "divide"):
        for one, other in product(patterns, patterns):
            if not is_judged(operation, spelling) or (operation == "divide" and not int(other, 2)):
                continue
            question = ask(operation, one, other, course=course)
            if not cp.judge(question, answer=final_answer(cp.work_question(question))).right:
                wrong.append(question.operands)
    assert wrong == []

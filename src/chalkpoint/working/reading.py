"""Decoding: the rules that read a pattern as a value, and the working they write."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from chalkpoint.numbers.carriers import Number, wrap
from chalkpoint.numbers.formats import FloatFormat, scaled
from chalkpoint.working.check import check
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.reading import writer
from chalkpoint.working.working import Working

__all__ = ["READING", "ReadPage", "decode", "read_exponent", "read_mantissa", "scale"]


class ReadPage(NamedTuple):
    """A pattern being read: its two codes as unsigned numbers, then what each stands for.

    mantissa   M, in units of the mantissa's last place
    value      the exact value, once scaled
    """

    mantissa_code: Number
    exponent_code: Number
    exponent: Number = 0
    mantissa: Number = 0
    value: Fraction = Fraction(0)


ReadRule: TypeAlias = Callable[[ReadPage, FloatFormat], ReadPage]


def read_exponent(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Read the exponent: its leading bit has a negative weight, or the excess is taken away."""
    if fmt.exponent.kind == "excess":
        return page._replace(exponent=page.exponent_code - fmt.exponent.excess)
    return page._replace(exponent=wrap(page.exponent_code, fmt.exponent_bits))


def read_mantissa(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Read the mantissa: the leading bit weighs -1, the others 1/2, 1/4 and so on."""
    return page._replace(mantissa=wrap(page.mantissa_code, fmt.mantissa_bits))


def scale(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Multiply by two to the power of the exponent."""
    return page._replace(value=scaled(page.mantissa, page.exponent - fmt.places))


READING: dict[str, ReadRule] = {"exponent": read_exponent, "mantissa": read_mantissa, "scale": scale}


def decode(question: Question) -> Working:
    """Return the working that reads a pattern: exponent, mantissa, then the two together."""
    fmt = question.format
    (pattern,) = question.patterns
    page = ReadPage(
        int(fmt.mantissa.write(pattern.mantissa), 2), int(fmt.exponent.write(pattern.exponent), 2)
    )
    write = writer(question)
    steps: list[Step] = []
    for name, rule in READING.items():
        before, page = page, rule(page, fmt)
        steps.append(Step(len(steps) + 1, name, before, page, write))
    outcome = "in range" if pattern.mantissa else "zero"
    checked = check(page.value, outcome, pattern, question.course)
    return Working(question, "", tuple(steps), outcome, pattern, checked)

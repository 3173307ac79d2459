"""Decoding: the rules that read a pattern as a value."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.carriers import Number, wrap
from chalkpoint.numbers.formats import FloatFormat, scaled
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.question import Question

__all__ = ["DECODING", "ReadPage", "codes", "read_exponent", "read_mantissa", "scale"]


class ReadPage(NamedTuple):
    """A pattern being read: its two codes as unsigned numbers, then what each stands for.

    mantissa   M, in units of the mantissa's last place (a faulty reading may be a fraction of them)
    value      the exact value, once scaled
    """

    mantissa_code: Number
    exponent_code: Number
    exponent: Number = 0
    mantissa: Number = 0
    value: Fraction = Fraction(0)


def read_exponent(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Read the exponent: its leading bit has a negative weight, or the excess is taken away.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> read_exponent(ReadPage(0b10110000, 0b1110), parse_format("8+4")).exponent
    -2
    """
    if fmt.exponent.kind == "excess":
        return page._replace(exponent=page.exponent_code - fmt.exponent.excess)
    return page._replace(exponent=wrap(page.exponent_code, fmt.exponent_bits))


def read_mantissa(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Read the mantissa: the leading bit weighs -1, the others 1/2, 1/4 and so on.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> read_mantissa(ReadPage(0b10110000, 0b1110), parse_format("8+4")).mantissa
    -80
    """
    return page._replace(mantissa=wrap(page.mantissa_code, fmt.mantissa_bits))


def scale(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Multiply by two to the power of the exponent.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> scale(ReadPage(0b10110000, 0b1110, -2, -80), parse_format("8+4")).value
    Fraction(-5, 32)
    """
    return page._replace(value=page.mantissa * scaled(1, page.exponent - fmt.places))


DECODING = Method(
    "",
    "decode",
    (
        Line("exponent", ("fields", "exponent")),
        Line("mantissa", ("mantissa",)),
        Line("scale", ("scale",)),
    ),
    {"exponent": read_exponent, "mantissa": read_mantissa, "scale": scale},
)


def codes(question: Question) -> ReadPage:
    """Return the page before anything is read: the two fields as unsigned numbers.

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> codes(ask("decode", "10110000 1110", course=Course()))[:2]
    (176, 14)
    """
    fmt = question.float_format
    (pattern,) = question.patterns
    return ReadPage(
        int(fmt.mantissa.write(pattern.mantissa), 2), int(fmt.exponent.write(pattern.exponent), 2)
    )

"""Marking points of numbers with a sign, an exponent and a size: IEEE 754's, and others of those parts.

Splits of five and six marks are those of the step models of computing courses (common practice); the
rest are this project's own.
"""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.bits import scaled, to_bits, with_point
from chalkpoint.numbers.exact import write_value
from chalkpoint.setting.points import COSTS, Expected, Point, RowOf, answer_bits, given_for_moving
from chalkpoint.working.page import AnyPage
from chalkpoint.working.wording.words_marks import GIVEN
from chalkpoint.working.working import Working

__all__ = ["EXTREMES", "SIZE_POINTS", "read_value"]

#: The extremes of every such format; one with subnormals has the smallest normal number too.
EXTREMES = ("largest positive", "smallest normal", "smallest positive", "largest negative", "most negative")


def read_value(working: Working) -> str:
    """Return the value a reading comes to, or the word for what has none.

    >>> from chalkpoint.working.work import work
    >>> read_value(work("decode", "0 01111 1000000000", format="binary16"))
    '1.5'
    """
    check = working.check
    return check.special or write_value(check.exact, point=working.question.course.point)


def pages_of(working: Working, rule: str) -> AnyPage:
    """Return the page after a line, or None where it is not written."""
    return next((step.after for step in working.steps if step.rule == rule), None)


def number_after(rule: str, name: str) -> Expected:
    """Return what reads a whole number from the page after a line."""

    def read(working: Working) -> str:
        page = pages_of(working, rule)
        return "" if page is None else write_value(Fraction(getattr(page, name)))

    return read


def size_read(working: Working) -> str:
    """Return the size that a reading restores, as a number."""
    page = pages_of(working, "size")
    if page is None:
        return ""
    return write_value(
        scaled(page.size, -working.question.format.places), point=working.question.course.point
    )


def unpacked(working: Working) -> str:
    """Return both sizes with their exponents, as they are unpacked."""
    page, fmt = pages_of(working, "unpack"), working.question.size_format
    if page is None or page.special or working.check.special:
        return ""
    pairs = ((page.first, page.first_exponent), (page.second, page.second_exponent))
    return "; ".join(
        f"{with_point(to_bits(size, fmt.digits), fmt.places)} \u00d7 2^{write_value(Fraction(exponent))}"
        for size, exponent in pairs
    )


def rounded(working: Working) -> str:
    """Return the rounded size with its exponent."""
    page, fmt = pages_of(working, "round"), working.question.size_format
    if page is None:
        return ""
    size = with_point(to_bits(page.total, fmt.digits), fmt.places)
    return f"{size} \u00d7 2^{write_value(Fraction(page.exponent))}"


def part_bits(name: str) -> Expected:
    """Return what reads a part of the result, such as the remainder or one of the extreme values."""

    def read(working: Working) -> str:
        return working.result.values[name][0] if name in working.result.values else ""

    return read


def given_for_reading(usual: str, lowest: str) -> Expected:
    """Return what reads what reading a pattern is marked for: *usual*, or *lowest* where no 1 is hidden.

    >>> from chalkpoint.working.work import work
    >>> read = given_for_reading("fraction", "fraction-alone")
    >>> read(work("decode", "0 00000 1000000000", format="binary16"))
    'the fraction, which hides no one here'
    """

    def read(working: Working) -> str:
        fmt, (pattern,) = working.question.size_format, working.question.patterns
        return GIVEN[usual if fmt.kind(pattern) not in ("subnormal", "zero") else lowest]

    return read


UNPACK = Point("unpack", "M", GIVEN["unpacked"], unpacked, rank=2)
ROUNDED = Point("round", "A", GIVEN["rounded"], rounded, follows=True, rank=3)
ANSWER = Point("answer", "A", GIVEN["packed"], answer_bits, follows=True)
ALIGN = Point("align", "M", given_for_moving("size-moved", "sizes-shared"), RowOf("align"), rank=1)
COMBINE = Point("combine", "M", GIVEN["combined"], RowOf("combine"), follows=True, rank=4)
SIGN = Point("sign", "B", GIVEN["sign-of-two"], number_after("sign", "sign"), rank=5)


def _scaling(rule: str, exponents: str, gives: str) -> tuple[Point, ...]:
    return (
        SIGN,
        Point("exponents", "M", exponents, number_after("exponents", "exponent"), rank=2),
        Point(rule, "M", gives, RowOf(rule), rank=1),
        ROUNDED,
        ANSWER,
    )


SIZE_POINTS: dict[str, tuple[Point, ...]] = {
    "decode": (
        Point(
            "exponent",
            "M",
            given_for_reading("excess-off", "excess-off-lowest"),
            number_after("exponent", "exponent"),
            rank=1,
        ),
        Point("size", "M", given_for_reading("fraction", "fraction-alone"), size_read, rank=2),
        Point("answer", "A", GIVEN["size-scaled"], read_value, follows=True),
    ),
    "encode": (
        Point("sign", "B", GIVEN["sign-bit"], number_after("sign", "sign"), rank=3),
        Point("digits", "M", GIVEN["size"], RowOf("digits"), rank=1),
        Point("point", "M", GIVEN["behind-first-1"], number_after("point", "exponent"), rank=2),
        Point("answer", "A", GIVEN["excess-added"], answer_bits, follows=True),
    ),
    "normalise": (Point("answer", "B", GIVEN["size-left"], answer_bits),),
    "negate": (Point("answer", "B", GIVEN["sign-changed"], answer_bits),),
    "add": (UNPACK, ALIGN, COMBINE, ROUNDED, ANSWER),
    "subtract": (UNPACK, ALIGN, COMBINE, ROUNDED, ANSWER),
    "multiply": _scaling("product", GIVEN["true-exponents"], GIVEN["hidden-product"]),
    "divide": _scaling("quotient", GIVEN["exponents-taken"], GIVEN["past-last"]),
    "range": tuple(
        Point(name, "B", GIVEN["extreme"].format(name=name), part_bits(name)) for name in EXTREMES
    ),
    "error": COSTS,
}

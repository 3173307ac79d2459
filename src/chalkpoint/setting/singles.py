"""Questions on one number: their traits, and where they are drawn from."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from random import Random

from chalkpoint.finding.trait import Trait
from chalkpoint.numbers.exact import is_dyadic, write_decimal
from chalkpoint.numbers.formats import FloatFormat, Pattern, scaled
from chalkpoint.working.check import by_rule
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, Question

__all__ = ["SINGLE_OPERATIONS", "SINGLE_TRAITS", "draw_singles"]

MOST_PLACES = 5  # decimal places of a value to store
HANDY_EXPONENTS = (-4, 6)  # beyond them the decimals of a value run long


def _value(question: Question) -> Fraction:
    return question.values[0]


def _pattern(question: Question) -> Pattern:
    """Return the pattern given, or the one the value is stored as."""
    if question.patterns:
        return question.patterns[0]
    return by_rule(question.value, question.course) or question.format.zero


def left_shifts(question: Question) -> int:
    """Return the places a mantissa moves left to its normal form."""
    fmt, mantissa = question.format, _pattern(question).mantissa
    size = (mantissa if mantissa >= 0 else ~mantissa).bit_length()
    return fmt.places - size if mantissa else 0


def places(question: Question) -> int:
    """Return the digits after the decimal point of the value; a value that never ends counts as many."""
    text = write_decimal(_value(question))
    return 99 if text is None else len(text.partition(".")[2])


def stored_exactly(question: Question) -> bool:
    """Tell whether the value has a pattern of its own."""
    return question.format.value(_pattern(question)) == _value(question)


_PATTERNS = ("decode", "normalise", "negate")
_VALUES = ("encode", "error")
_ALL = (*_PATTERNS, *_VALUES)

TRAITS: tuple[tuple[Trait, tuple[str, ...]], ...] = (
    (Trait("negative", "the number is negative", "yes or no", lambda q: _value(q) < 0), _ALL),
    (
        Trait("exponent-negative", "its exponent is negative", "yes or no", lambda q: _pattern(q).exponent < 0),
        _ALL,
    ),
    (
        Trait("exponent-size", "the size of its exponent", "number", lambda q: abs(_pattern(q).exponent)),
        _ALL,
    ),
    (
        Trait("decimal-places", "digits after the decimal point of its value", "number", places),
        _ALL,
    ),
    (
        Trait(
            "minus-one",
            "its mantissa is -1.0",
            "yes or no",
            lambda q: _pattern(q).mantissa == -(1 << q.format.places),
        ),
        _ALL,
    ),
    (
        Trait("norm-shift", "places its mantissa is shifted left to normal form", "number", left_shifts),
        ("normalise",),
    ),
    (
        Trait("terminating", "its digits end in binary", "yes or no", lambda q: is_dyadic(_value(q))),
        _VALUES,
    ),
    (Trait("exact-result", "it is stored exactly", "yes or no", stored_exactly), _VALUES),
)

SINGLE_OPERATIONS = (*_ALL, "range")
SINGLE_TRAITS: dict[str, dict[str, Trait]] = {
    operation: {trait.name: trait for trait, operations in TRAITS if operation in operations}
    for operation in SINGLE_OPERATIONS
}


def _exponent(rng: Random, fmt: FloatFormat) -> int:
    low, high = HANDY_EXPONENTS
    return rng.randint(max(fmt.lowest_exponent, low), min(fmt.highest_exponent, high))


def _normal_mantissa(rng: Random, fmt: FloatFormat) -> int:
    half = 1 << (fmt.places - 1)
    mantissa = rng.randrange(half, 2 * half)
    return mantissa if rng.random() < 1 / 2 else ~mantissa


def _normalised(rng: Random, fmt: FloatFormat) -> Pattern:
    return Pattern(_normal_mantissa(rng, fmt), _exponent(rng, fmt))


def _not_normalised(rng: Random, fmt: FloatFormat) -> Pattern:
    shift = rng.randint(1, max(1, fmt.places - 2))
    mantissa = _normal_mantissa(rng, fmt) >> shift
    exponent = max(_exponent(rng, fmt), fmt.lowest_exponent + shift)
    return Pattern(mantissa or 1, exponent)


def _tidy_value(rng: Random, fmt: FloatFormat) -> Fraction:
    """Return a value to store: a pattern's own, or a short decimal of like size."""
    pattern = _normalised(rng, fmt)
    if rng.random() < 1 / 2:
        return scaled(pattern.mantissa, pattern.exponent - fmt.places)
    tenths = 10 ** rng.randint(1, 2)
    return Fraction(int(scaled(pattern.mantissa * tenths, pattern.exponent - fmt.places)), tenths)


PATTERNS: dict[str, Callable[[Random, FloatFormat], Pattern]] = {
    "decode": _normalised,
    "normalise": _not_normalised,
    "negate": _normalised,
}


def draw_singles(operation: str, course: Course, rng: Random) -> Iterator[Question]:
    """Yield questions of *operation* without end, by *rng*; the range of a format has one question only."""
    fmt, kind = course.number_format, OPERATIONS[operation]
    while True:
        if operation in PATTERNS:
            pattern = PATTERNS[operation](rng, fmt)
            yield Question(kind, course, fmt, (pattern,), given=(None,))
        elif operation == "range":
            yield Question(kind, course, fmt)
        else:
            value = _tidy_value(rng, fmt)
            question = Question(kind, course, fmt, value=value)
            tidy = value and by_rule(value, course) and len(write_decimal(value) or "") <= MOST_PLACES + 3
            if tidy and not (operation == "error" and stored_exactly(question)):
                yield question  # storing without an error leaves nothing to ask

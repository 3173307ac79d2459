"""Ruled lines to write on: by family of formats and operation, the mark each is for, and its words with gaps."""

from __future__ import annotations

from chalkpoint.numbers.families import SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat, is_school
from chalkpoint.setting.families import keeps_places
from chalkpoint.working.question import Question

__all__ = ["LINES_A_POINT", "MISTAKE_LINES", "lines_for"]

Lines = tuple[tuple[str, str], ...]

LINES_A_POINT = 2  # ruled right across, for each point of an explanation
MISTAKE_LINES: Lines = (("line", "The line that is wrong: {}"),)
DECIMAL: Lines = (
    ("decimal", "In decimal, your answer is {unit} and\u00a0the\u00a0exact\u00a0answer\u00a0is\u00a0{unit}."),
)
ERRORS: Lines = (
    ("absolute", "The absolute error is {unit}."),
    ("relative", "The relative error is {}."),
)
#: For mantissa and exponent.
LINES: dict[str, Lines] = {
    "decode": (
        ("exponent", "The exponent is {}."),
        ("mantissa", "The mantissa is {}."),
        ("answer", "The value is {unit}."),
    ),
    "encode": (("size", "The size in binary: {long}"), ("sign", "With its sign: {long}")),
    "add": DECIMAL,
    "subtract": DECIMAL,
    "multiply": (("exponents", "The exponents together make {}."), ("product", "The product: {long}")),
    "divide": (("exponents", "The exponents leave {}."), ("quotient", "The quotient: {long}")),
    "error": ERRORS,
}
#: Where bits are cut into fields in another way, rows that are moved and added have no boxes.
CUT_OTHERWISE: dict[str, Lines] = {
    "add": (("align", "The row moved: {long}"), ("add", "The sum: {long}"), *DECIMAL),
    "subtract": (
        ("align", "The row moved: {long}"),
        ("negate", "The second negated: {long}"),
        ("add", "The sum: {long}"),
        *DECIMAL,
    ),
    "negate": (("negate", "Every bit inverted, one added: {long}"),),
}
ROUNDED = ("round", "Normalised and rounded: {long} exponent {}")
SIGN = ("sign", "The sign bit is {}.")
ADDED: Lines = (
    ("unpack", "Unpacked: {long} and {long}"),
    ("align", "The size moved, with guard, round and sticky: {long}"),
    ("combine", "Sum or difference of the sizes: {long}"),
    ROUNDED,
)
SIZE_LINES: dict[str, Lines] = {
    "decode": (
        ("exponent", "The true exponent is {}."),
        ("size", "The size, with its hidden one, is {}."),
        ("answer", "The value is {unit}."),
    ),
    "encode": (
        SIGN,
        ("digits", "The size in binary: {long}"),
        ("point", "The exponent, before it is stored, is {}."),
    ),
    "add": ADDED,
    "subtract": ADDED,
    "multiply": (
        SIGN,
        ("exponents", "The true exponents together make {}."),
        ("product", "The product of the sizes: {long}"),
        ROUNDED,
    ),
    "divide": (
        SIGN,
        ("exponents", "The true exponents leave {}."),
        ("quotient", "The quotient of the sizes: {long}"),
        ROUNDED,
    ),
    "error": ERRORS,
}
WHOLE_LINES: dict[str, Lines] = {
    "decode": (("weigh", "The place values of the 1s: {long}"), ("answer", "The value is {unit}.")),
    "encode": (("size", "The size in binary: {long}"),),
    "add": DECIMAL,
    "subtract": DECIMAL,
    "multiply": (("product", "The product of the sizes: {long}"),),
    "divide": (("quotient", "The quotient of the sizes: {long}"),),
    "error": ERRORS,
}
COMPOSITE_LINES: dict[str, Lines] = {
    "convert": (
        ("value", "The value is {unit}."),
        ("size", "Its size in binary: {long}"),
        ("exponent", "Places the point is moved: {}"),
    ),
    "sum": DECIMAL,
    "choose-format": (
        ("mantissa", "Mantissa bits: {}  because {long}"),
        ("exponent", "Exponent bits: {}  because {long}"),
        ("answer", "The smallest format that serves is {}."),
    ),
}


def lines_for(question: Question) -> Lines:
    """Return the ruled lines of *question*, each with the mark it is for.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> [rule for rule, _ in lines_for(ask("decode", "-5", course=Course(format="8")))]
    ['weigh', 'answer']
    """
    operation, fmt = question.operation.name, question.format
    if operation in COMPOSITE_LINES:
        return COMPOSITE_LINES[operation]
    if fmt.family == SIZES and not fmt.hidden:
        return tuple(
            (rule, words.replace(", with its hidden one,", ""))
            for rule, words in SIZE_LINES.get(operation, ())
        )
    return (CUT_OTHERWISE if outgrows_boxes(question) else lines_in(fmt)).get(operation, ())


def outgrows_boxes(question: Question) -> bool:
    """Tell whether the lines of adding have more digits than a mantissa: a guard bit, or every place.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> [outgrows_boxes(ask("add", "6.5", "1.25", course=Course(method=name)))
    ...  for name in ("align-then-negate", "one-guard-bit")]
    [False, True]
    """
    return keeps_places(question.operation.name, question.course)


def lines_in(fmt: AnyFormat) -> dict[str, Lines]:
    """Return the lines of each operation in *fmt*."""
    if fmt.family == SIZES:
        return SIZE_LINES
    if fmt.family == WHOLE:
        return WHOLE_LINES
    return LINES if is_school(fmt) or fmt.plain else LINES | CUT_OTHERWISE

"""The marking points of each operation, by family of formats."""

from __future__ import annotations

from dataclasses import replace

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.exact import MINUS, write_value
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat, is_school
from chalkpoint.setting.composite_points import MOST_EXPLAINED, composite_points, sum_points
from chalkpoint.setting.points import COSTS, POINTS, Point, RowOf, SizeOf, answer_bits, decimal
from chalkpoint.setting.size_points import SIZE_POINTS, part_bits, read_value
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import right_method
from chalkpoint.working.question import Question
from chalkpoint.working.whole import CODES_ADDED
from chalkpoint.working.wording.words_marks import GIVEN
from chalkpoint.working.working import Working

__all__ = [
    "CODE_POINTS",
    "COMPOSITE",
    "EXTREMES",
    "WHOLE_POINTS",
    "keeps_places",
    "least_marks",
    "most_marks",
    "points_for",
]

EXTREMES = ("largest positive", "smallest positive", "largest negative", "most negative")


def weights(working: Working) -> str:
    """Return the place values under the 1s of a row in two's complement or unsigned, the first one's with its sign."""
    fmt = working.question.fixed_format
    if fmt.field.kind not in {"two's complement", "unsigned"}:
        return ""
    (bits,) = working.question.patterns
    values = [
        weight * fmt.unit_value for bit, weight in zip(bits, fmt.field.weights(), strict=True) if bit == "1"
    ]
    written = " + ".join(write_value(value, point=working.question.course.point) for value in values)
    return written.replace(f"+ {MINUS}", f"{MINUS} ")


def inverted(working: Working) -> str:
    """Return the row with every bit inverted, where negating goes by that."""
    for step in working.steps:
        for row in step.rows:
            if row.label == "invert":
                return with_point(row.bits, row.places) if row.places else row.bits
    return ""


DECIMAL = Point("decimal", "A", GIVEN["read-back"], decimal, follows=True, rank=1)
NEGATE = Point("negate", "M", GIVEN["inverted-plus-one"], RowOf("negate"), rank=2)
ANSWER = Point("answer", "A", GIVEN["columns"], answer_bits, follows=True)
CUT = Point("answer", "A", GIVEN["fitted"], answer_bits, follows=True)

WHOLE_POINTS: dict[str, tuple[Point, ...]] = {
    "decode": (
        Point("weigh", "M", GIVEN["weights"], weights, rank=1),
        Point("answer", "A", GIVEN["own-weights"], read_value, follows=True),
    ),
    "encode": (
        Point("size", "M", GIVEN["size-whole"], RowOf("size"), rank=1),
        Point("answer", "A", GIVEN["fitted-in-code"], answer_bits, follows=True),
    ),
    "negate": (
        Point("invert", "M", GIVEN["inverted"], inverted, rank=1, own_line=True),
        Point("answer", "A", GIVEN["one-added"], answer_bits, follows=True),
    ),
    "add": (ANSWER, DECIMAL),
    "subtract": (NEGATE, ANSWER, DECIMAL),
    "multiply": (Point("product", "M", GIVEN["of-sizes"], SizeOf("product"), rank=1), CUT),
    "divide": (
        Point("quotient", "M", GIVEN["of-sizes"], RowOf("quotient"), rank=1),
        CUT,
        Point("remainder", "A", GIVEN["remainder"], part_bits("remainder"), rank=2, own_line=True),
    ),
    "range": tuple(
        Point(name, "B", GIVEN["extreme"].format(name=name), part_bits(name)) for name in EXTREMES
    ),
    "error": COSTS,
}

#: What is awarded in ones' complement, sign and magnitude and excess codes, where that differs.
CODE_POINTS: dict[str, tuple[Point, ...]] = {
    "negate": (Point("answer", "A", GIVEN["in-code"], answer_bits),),
    "subtract": (Point("negate", "M", GIVEN["in-code"], RowOf("negate"), rank=2), ANSWER, DECIMAL),
}


COMPOSITE = ("convert", "sum", "choose-format", "explain")


def points_for(question: Question) -> tuple[Point, ...]:
    """Return every marking point that *question* may have.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> [point.rule for point in points_for(ask("add", "6.5", "1.25", course=Course(format="binary16")))]
    ['unpack', 'align', 'combine', 'round', 'answer']
    """
    if question.operation.name in COMPOSITE:
        return composite_points(question, rows=is_school(question.format))
    return family_points(question.operation.name, question.format)


def family_points(operation: str, fmt: AnyFormat) -> tuple[Point, ...]:
    """Return the points of *operation* in *fmt*; none where it is not worked there."""
    if fmt.family == SIZES:
        return SIZE_POINTS.get(operation, ())
    if fmt.family == WHOLE:
        further = {} if fmt.field.kind in CODES_ADDED else CODE_POINTS
        return further.get(operation) or WHOLE_POINTS.get(operation, ())
    return POINTS[operation] if is_school(fmt) else undivided(operation)


def keeps_places(operation: str, course: Course) -> bool:
    """Tell whether the lines of adding by the course's method have more digits than a mantissa.

    >>> keeps_places("add", Course()), keeps_places("add", Course(method="one-guard-bit"))
    (False, True)
    """
    if operation not in {"add", "subtract"} or course.number_format.family != FLOATING:
        return False
    return "places" in right_method(operation, course).rules


def undivided(operation: str) -> tuple[Point, ...]:
    """Return the points of a machine's format, whose patterns are marked whole: their fields are cut in other ways."""
    found: dict[str, Point] = {}
    for point in POINTS[operation]:
        if not point.part:
            found[point.rule] = point
        elif point.rule not in found:
            bits = answer_bits if point.rule == "answer" else part_bits(point.rule)
            gives = "the pattern, normalised" if point.rule == "answer" else f"the {point.rule} pattern"
            found[point.rule] = replace(point, part="", give=gives, expects=bits, rank=0)
    return tuple(found.values())


def most_marks(operation: str, fmt: AnyFormat, terms: int = 3) -> int:
    """Return the most marks a question of *operation* has: one a marking point.

    terms  of a sum

    >>> from chalkpoint.numbers.named import format_called
    >>> most_marks("subtract", format_called("8+4")), most_marks("decode", format_called("8"))
    (6, 2)
    """
    if operation == "explain":
        return MOST_EXPLAINED
    if operation == "sum":
        return len(sum_points(terms, rows=is_school(fmt)))
    if operation in COMPOSITE:
        return 4 if operation == "convert" else 3
    return len(family_points(operation, fmt))


def least_marks(operation: str, fmt: AnyFormat) -> int:
    """Return the fewest marks: 1, but for the extreme values, which are all asked for.

    >>> from chalkpoint.numbers.named import format_called
    >>> least_marks("add", format_called("binary16")), least_marks("range", format_called("binary16"))
    (1, 5)
    """
    return most_marks(operation, fmt) if operation == "range" else 1

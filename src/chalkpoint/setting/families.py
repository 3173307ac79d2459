"""The marking points of each operation, by family of formats."""

from __future__ import annotations

from dataclasses import replace

from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat, is_school
from chalkpoint.setting.composite_points import MOST_EXPLAINED, composite_points, sum_points
from chalkpoint.setting.points import POINTS, Point, answer_bits
from chalkpoint.setting.size_points import SIZE_POINTS, part_bits
from chalkpoint.setting.whole_points import CODE_POINTS, WHOLE_POINTS
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import right_method
from chalkpoint.working.question import Question
from chalkpoint.working.whole import CODES_ADDED

__all__ = ["COMPOSITE", "keeps_places", "least_marks", "most_marks", "points_for"]

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

"""Marking points of whole numbers and fixed point. Splits of one to three marks are common practice."""

from __future__ import annotations

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.exact import MINUS, write_value
from chalkpoint.setting.points import COSTS, Point, RowOf, answer_bits, decimal
from chalkpoint.setting.size_points import part_bits, read_value
from chalkpoint.working.working import Working

__all__ = ["CODE_POINTS", "EXTREMES", "WHOLE_POINTS"]

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


DECIMAL = Point(
    "decimal", "A", "their own answer read correctly, and the exact one", decimal, follows=True, rank=1
)
NEGATE = Point("negate", "M", "every bit inverted, one added", RowOf("negate"), rank=2)
ANSWER = Point("answer", "A", "every column; the word where it does not fit", answer_bits, follows=True)
CUT = Point("answer", "A", "their own digits, fitted to the width", answer_bits, follows=True)

WHOLE_POINTS: dict[str, tuple[Point, ...]] = {
    "decode": (
        Point("weigh", "M", "the place value of each 1", weights, rank=1),
        Point("answer", "A", "of their own place values", read_value, follows=True),
    ),
    "encode": (
        Point("size", "M", "the size in binary", RowOf("size"), rank=1),
        Point("answer", "A", "fitted to the width, in the format\u2019s code", answer_bits, follows=True),
    ),
    "negate": (
        Point("invert", "M", "every bit inverted", inverted, rank=1, own_line=True),
        Point("answer", "A", "of their own row: one added", answer_bits, follows=True),
    ),
    "add": (ANSWER, DECIMAL),
    "subtract": (NEGATE, ANSWER, DECIMAL),
    "multiply": (Point("product", "M", "of the sizes", RowOf("product"), rank=1), CUT),
    "divide": (
        Point("quotient", "M", "of the sizes", RowOf("quotient"), rank=1),
        CUT,
        Point(
            "remainder",
            "A",
            "what is left, with the dividend\u2019s sign",
            part_bits("remainder"),
            rank=2,
            own_line=True,
        ),
    ),
    "range": tuple(Point(name, "B", f"the {name} pattern", part_bits(name)) for name in EXTREMES),
    "error": COSTS,
}

#: What is awarded in ones' complement, sign and magnitude and excess codes, where that differs.
CODE_POINTS: dict[str, tuple[Point, ...]] = {
    "negate": (Point("answer", "A", "the opposite, in the format\u2019s code", answer_bits),),
    "subtract": (
        Point("negate", "M", "the opposite, in the format\u2019s code", RowOf("negate"), rank=2),
        ANSWER,
        DECIMAL,
    ),
}

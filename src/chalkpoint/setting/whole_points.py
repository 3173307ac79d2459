"""Marking points of whole numbers and fixed point. Splits of one to three marks are common practice."""

from __future__ import annotations

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.exact import MINUS, write_value
from chalkpoint.setting.points import COSTS, Point, RowOf, answer_bits, decimal
from chalkpoint.setting.size_points import part_bits, read_value
from chalkpoint.working.wording.words_marks import GIVEN
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
    "multiply": (Point("product", "M", GIVEN["of-sizes"], RowOf("product"), rank=1), CUT),
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

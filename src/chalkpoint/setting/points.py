"""Marking points: what each operation's working earns marks for, line by line.

Letters are the trade's: M for a method, A for accuracy that needs its method, B for what counts
alone; ft follows through from the pupil's own earlier line. Sources: the step models and typical
splits of computing mark schemes for decode, encode, normalise and the extreme values; those of add,
subtract and error are this project's own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from chalkpoint.numbers.bits import scaled, with_point
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.named import AnyFormat, is_school
from chalkpoint.working.extremes import EXTREMES
from chalkpoint.working.wording.words_marks import GIVEN
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row

__all__ = [
    "COSTS",
    "POINTS",
    "Aligned",
    "Expected",
    "Point",
    "RowOf",
    "SizeOf",
    "answer_bits",
    "decimal",
    "given_for_moving",
    "stored_error",
    "text_of",
    "value_of",
    "written_row",
]

Expected = Callable[[Working], str]


def text_of(row: Row, fmt: AnyFormat) -> str:
    """Return the digits of *row* as they are read aloud: with the extra sign place that counts, and their point.

    The point of a mantissa of the format's own width is where the format has it, and is left out.
    """
    lead = row.lead if row.lead_is == "kept" else ""
    plain = is_school(fmt) and not lead and len(row.bits) == fmt.mantissa_bits and row.places == fmt.places
    return row.bits if plain else with_point(lead + row.bits, row.places)


@dataclass(frozen=True, slots=True)
class RowOf:
    """Reads the row that a line of the working ends in: the one that moved, or the last."""

    rule: str

    def row(self, working: Working) -> Row | None:
        """Return the row; None where the working has no such line."""
        return written_row(working, self.rule)

    def is_in(self, working: Working) -> bool:
        """Tell whether there is such a row, without writing it: every such line ends in one."""
        return any(step.rule == self.rule for step in working.steps)

    def __call__(self, working: Working) -> str:
        """Return the row's digits; "" where there is no such row."""
        row = self.row(working)
        return text_of(row, working.question.format) if row else ""


@dataclass(frozen=True, slots=True)
class SizeOf(RowOf):
    """Reads the row of a size: the one before it is negated, where the signs differ.

    >>> from chalkpoint.working.work import work
    >>> SizeOf("product")(work("multiply", "-0.9375", "0.1875", format="Q4.4"))
    '0.00101101'
    """

    def row(self, working: Working) -> Row | None:
        """Return the row; None where the working has no such line."""
        rows = [row for step in working.steps if step.rule == self.rule for row in step.rows if row.bits]
        return next((row for row in reversed(rows) if row.value is not None and row.value >= 0), None)


@dataclass(frozen=True, slots=True)
class Aligned(RowOf):
    """Reads the mantissa that was moved; where none was, the exponent both share."""

    rule: str = "align"

    def __call__(self, working: Working) -> str:
        """Return the digits moved, or the exponent; "" where there is no such row."""
        row = self.row(working)
        if row is None:
            return ""
        return text_of(row, working.question.format) if row.moved else row.exponent_bits


@dataclass(frozen=True, slots=True)
class Point:
    """One marking point of an operation.

    rule      the line of working it is for, or "answer" or "decimal"
    kind      "M", "A" or "B"
    give      what it is given for; a function where that hangs on the working
    expects   what the working has there; "" where this working has no such line
    part      "mantissa" or "exponent" where the line has a mark for each, else ""
    follows   whether it follows through from the pupil's own earlier line
    needs     rules whose mark must be earned first
    rank      which points go first where a question has fewer marks: the highest
    own_line  whether it is for a line of the paper that is no line of the working by that name
    """

    rule: str
    kind: str
    give: str | Expected
    expects: Expected
    part: str = ""
    follows: bool = False
    needs: tuple[str, ...] = ()
    rank: int = 0
    own_line: bool = False

    def row(self, working: Working) -> Row | None:
        """Return the row of the working that is expected; None where no row of bits is."""
        return self.expects.row(working) if isinstance(self.expects, RowOf) else None

    def is_in(self, working: Working) -> bool:
        """Tell whether *working* has what is expected."""
        if isinstance(self.expects, RowOf):
            return self.expects.is_in(working)
        return bool(self.expects(working))

    def given_for(self, working: Working) -> str:
        """Return what the mark is given for in *working*."""
        return self.give if isinstance(self.give, str) else self.give(working)


def written_row(working: Working, rule: str) -> Row | None:
    """Return the row that a line of *working* ends in: the one that moved, or the last."""
    for step in working.steps:
        if step.rule == rule:
            rows = [row for row in step.rows if row.bits and not row.soft]
            moved = [row for row in rows if row.moved]
            return (moved or rows)[-1] if rows else None
    return None


def given_for_moving(moved: str, still: str) -> Expected:
    """Return what reads what matching the exponents is marked for: *moved*, or *still* where they are equal."""

    def read(working: Working) -> str:
        row = written_row(working, "align")
        return GIVEN[moved if row is None or row.moved else still]

    return read


def answer_mantissa(working: Working) -> str:
    """Return the answer's mantissa, or the word the working ends in.

    >>> from chalkpoint.working.work import work
    >>> answer_mantissa(work("add", "6.5", "1.25")), answer_mantissa(work("encode", "1000"))
    ('01111100', 'overflow')
    """
    fmt = working.question.float_format
    return working.outcome if working.pattern is None else fmt.mantissa.write(working.pattern.mantissa)


def answer_exponent(working: Working) -> str:
    """Return the answer's exponent, or nothing where the answer is a word.

    >>> from chalkpoint.working.work import work
    >>> answer_exponent(work("add", "6.5", "1.25"))
    '0011'
    """
    fmt = working.question.float_format
    return "" if working.pattern is None else fmt.exponent.write(working.pattern.exponent)


def answer_bits(working: Working) -> str:
    """Return the whole answer: bits or a word.

    >>> from chalkpoint.working.work import work
    >>> answer_bits(work("add", "6.5", "1.25")), answer_bits(work("encode", "1000"))
    ('01111100 0011', 'overflow')
    """
    return working.result.bits or working.outcome


def decimal(working: Working) -> str:
    """Return the answer in decimal, and the exact one where that is another.

    >>> from chalkpoint.working.work import work
    >>> decimal(work("add", "6.5", "1.25")), decimal(work("add", "64", "0.25"))
    ('7.75', '64 and 64.25')
    """
    point = working.question.course.point
    exact = write_value(working.check.exact, point=point)
    value = working.result.value
    if value is None or value == working.check.exact:
        return exact
    return f"{write_value(value, point=point)} and {exact}"


def value_of(name: str) -> Expected:
    """Return what reads the exponent, mantissa or value a decoding line ends in."""

    def read(working: Working) -> str:
        page = working.steps[-1].after
        if name == "mantissa":
            return write_value(scaled(page.mantissa, -working.question.format.places))
        return write_value(getattr(page, name), point=working.question.course.point)

    return read


def read_exponent(working: Working) -> str:
    """Return what reading the exponent is marked for."""
    excess = working.question.float_format.exponent.kind == "excess"
    return GIVEN["excess-off"] if excess else GIVEN["signed"]


def common_exponent(working: Working) -> str:
    """Return the exponent that adding or subtracting the two exponents gives."""
    return write_value(
        Fraction(next(step.after.exponent for step in working.steps if step.rule == "exponents"))
    )


def stored_error(name: str) -> Expected:
    """Return what reads one of the check's errors."""

    def read(working: Working) -> str:
        size = getattr(working.check, name)
        return "" if size is None else write_value(abs(size), point=working.question.course.point)

    return read


def extreme(name: str, part: str) -> Expected:
    """Return what reads a field of one of the extreme values."""

    def read(working: Working) -> str:
        fields: tuple[str, ...] = working.question.float_format.split(working.result.values[name][0])
        if working.question.float_format.exponent_first:
            fields = fields[::-1]
        return fields[part == "exponent"]

    return read


ANSWER = (
    Point("answer", "A", GIVEN["sum-normalised"], answer_mantissa, "mantissa", follows=True, rank=1),
    Point("answer", "A", GIVEN["own-move"], answer_exponent, "exponent", follows=True, rank=4),
    Point("decimal", "A", GIVEN["read-back"], decimal, follows=True, rank=5),
)
ALIGN = Point("align", "M", given_for_moving("moved", "shared"), Aligned(), rank=2)
ADD = Point("add", "M", GIVEN["added"], RowOf("add"), follows=True, rank=0)

#: What is stored, and what that costs, in any format.
COSTS = (
    Point("answer", "M", GIVEN["stored"], answer_bits),
    Point("absolute", "A", GIVEN["absolute"], stored_error("error"), follows=True, rank=1),
    Point(
        "relative",
        "A",
        GIVEN["relative"],
        stored_error("relative_error"),
        follows=True,
        needs=("absolute",),
        rank=2,
    ),
)
POINTS: dict[str, tuple[Point, ...]] = {
    "decode": (
        Point("exponent", "M", read_exponent, value_of("exponent"), rank=1),
        Point("mantissa", "M", GIVEN["mantissa"], value_of("mantissa"), rank=2),
        Point("answer", "A", GIVEN["scaled"], value_of("value"), follows=True),
    ),
    "encode": (
        Point("size", "M", GIVEN["size"], RowOf("size"), rank=2),
        Point("sign", "M", GIVEN["own-sign"], RowOf("sign"), follows=True, rank=3),
        Point("answer", "A", GIVEN["placed"], answer_mantissa, "mantissa", follows=True),
        Point("answer", "A", GIVEN["places-in-bits"], answer_exponent, "exponent", follows=True, rank=1),
    ),
    "normalise": (
        Point("answer", "B", GIVEN["moved-left"], answer_mantissa, "mantissa"),
        Point(
            "answer",
            "B",
            GIVEN["less-moved"],
            answer_exponent,
            "exponent",
            follows=True,
            needs=("answer mantissa",),
            rank=1,
        ),
    ),
    "negate": (
        Point("negate", "M", GIVEN["inverted-plus-one"], RowOf("negate"), rank=1),
        Point("answer", "A", GIVEN["row-normalised"], answer_bits, follows=True),
    ),
    "add": (ALIGN, ADD, *ANSWER),
    "subtract": (
        ALIGN,
        Point("negate", "M", GIVEN["opposite"], RowOf("negate"), follows=True, rank=3),
        ADD,
        *ANSWER,
    ),
    "multiply": (
        Point("exponents", "M", GIVEN["exponents-added"], common_exponent, rank=2),
        Point("product", "M", GIVEN["product"], RowOf("product"), rank=3),
        replace(ANSWER[0], give=GIVEN["product-normalised"]),
        ANSWER[1],
    ),
    "divide": (
        Point("exponents", "M", GIVEN["exponents-taken"], common_exponent, rank=2),
        Point("quotient", "M", GIVEN["quotient"], RowOf("quotient"), rank=3),
        replace(ANSWER[0], give=GIVEN["quotient-normalised"]),
        ANSWER[1],
    ),
    "range": tuple(
        Point(name, "B", GIVEN["extreme-part"].format(part=part, name=name), extreme(name, part), part)
        for name in EXTREMES
        for part in ("mantissa", "exponent")
    ),
    "error": COSTS,
}

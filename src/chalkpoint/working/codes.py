"""Rules of adding, subtracting and negating in ones' complement, in sign and magnitude, and in excess codes.

Numbers on the page are the patterns themselves, read as unsigned: two of the codes have two patterns for zero. Source
of the rules: common practice. Overflow is judged as each code shows it: by the signs, by the size's carry, or by the
code itself.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from chalkpoint.numbers.carriers import Number, Truth, opposite, where
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working.methods import NEGATE, READ, Line, Method, Rule
from chalkpoint.working.page import IN_RANGE, OVERFLOW

__all__ = ["CodePage", "code_method"]


class CodePage(NamedTuple):
    """The page while two numbers of one code are added.

    first, second  the patterns above the line, as unsigned numbers
    total          the row below the line; with its carry until that is brought round, or its excess twice or not at all
    overflowed     whether the answer does not fit
    outcome        index into OUTCOMES
    """

    first: Number
    second: Number
    total: Number = 0
    overflowed: Truth = False
    outcome: Number = IN_RANGE


def invert(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Invert every bit of the number taken away: in ones' complement that is its opposite."""
    return page._replace(second=((1 << fmt.bits) - 1) - page.second)


def add_columns(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Add column by column, the sign place too; a carry out of it is written in front."""
    return page._replace(total=page.first + page.second)


def bring_round(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Take the carry that left the sign place away in front, and add it in the last place."""
    carry = page.total >> fmt.bits
    return page._replace(total=page.total - (carry << fmt.bits) + carry)


def judge_signs(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Tell overflow by the signs: two numbers of one sign have a sum of that sign."""
    signs = [row >> (fmt.bits - 1) for row in (page.first, page.second, page.total)]
    return _judged(page, (signs[0] == signs[1]) & (signs[0] != signs[2]))


def change_sign(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Change the first bit of the number taken away, and no other."""
    return page._replace(second=page.second ^ (1 << (fmt.bits - 1)))


def combine_sizes(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Add the sizes where the signs are alike; where they differ, take the smaller from the larger, of its sign."""
    place = fmt.bits - 1
    sign, other = page.first >> place, page.second >> place
    size, second = page.first - (sign << place), page.second - (other << place)
    alike = sign == other
    total = where(alike, size + second, where(size < second, second - size, size - second))
    sign = where(alike | (second < size), sign, where(size < second, other, 0))
    over = opposite(total >> place == 0)
    return _judged(page._replace(total=total + (sign << place)), over)


def subtract_codes(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Take one code from the other, column by column: the excess is then in neither."""
    return page._replace(total=page.first - page.second)


def take_excess_off(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Take the excess, which is in both codes, off their sum once."""
    return _in_code(page._replace(total=page.total - fmt.field.excess), fmt)


def put_excess_back(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Add the excess, which is in neither, to the difference."""
    return _in_code(page._replace(total=page.total + fmt.field.excess), fmt)


def mirror(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Take the code from twice the excess: as far above the excess as it was below."""
    return page._replace(second=2 * fmt.field.excess - page.second)


def _in_code(page: CodePage, fmt: FixedFormat) -> CodePage:
    return _judged(page, (page.total < 0) | (page.total > (1 << fmt.bits) - 1))


def _judged(page: CodePage, over: Truth) -> CodePage:
    return page._replace(overflowed=over, outcome=where(over, OVERFLOW, page.outcome))


COLUMNS = Line("add", ("add",))
AROUND = Line("around", ("around",), optional=True)
JUDGE = Line("judge", ("judge",), optional=True)
ONES: dict[str, Rule] = {"negate": invert, "add": add_columns, "around": bring_round, "judge": judge_signs}
SIZES: dict[str, Rule] = {"negate": change_sign, "add": combine_sizes}
METHODS: dict[tuple[str, str], Method] = {
    ("negate", "ones' complement"): Method("", "negate", (NEGATE,), {"negate": invert}),
    ("negate", "sign and magnitude"): Method("", "negate", (NEGATE,), {"negate": change_sign}),
    ("negate", "excess"): Method("", "negate", (NEGATE,), {"negate": mirror}),
    ("add", "ones' complement"): Method("", "", (READ, COLUMNS, AROUND, JUDGE), ONES),
    ("subtract", "ones' complement"): Method("", "", (READ, NEGATE, COLUMNS, AROUND, JUDGE), ONES),
    ("add", "sign and magnitude"): Method("", "", (READ, COLUMNS), SIZES),
    ("subtract", "sign and magnitude"): Method("", "", (READ, NEGATE, COLUMNS), SIZES),
    ("add", "excess"): Method(
        "",
        "",
        (READ, COLUMNS, Line("excess", ("excess",))),
        {"add": add_columns, "excess": take_excess_off},
    ),
    ("subtract", "excess"): Method(
        "",
        "",
        (READ, Line("take_away", ("take_away",)), Line("excess", ("excess",))),
        {"take_away": subtract_codes, "excess": put_excess_back},
    ),
}


@cache
def code_method(operation: str, kind: str) -> Method | None:
    """Return how numbers of a code are added, subtracted or negated; None where this is not done in that code.

    >>> [line.name for line in code_method("subtract", "ones' complement").lines]
    ['read', 'negate', 'add', 'around', 'judge']
    """
    return METHODS.get((operation, kind))

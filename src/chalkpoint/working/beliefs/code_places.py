"""Where beliefs act in ones' complement, sign and magnitude, excess and unsigned numbers: their rules and places.

The page of these codes holds the patterns themselves (`working/codes.py`), but for unsigned numbers, which are added
and taken away as whole numbers (`working/whole.py`). Reading and storing are those of every whole number.
"""

from __future__ import annotations

from collections.abc import Callable

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import where
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working.beliefs.belief import (
    ADDING,
    EXCESS,
    FIXED,
    INTEGER,
    ONES,
    SIGNED,
    STORING,
    UNSIGNED,
    AnyRule,
    Place,
    acts,
)
from chalkpoint.working.codes import CodePage, combine_sizes
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import writes
from chalkpoint.working.page import IN_RANGE, OVERFLOW, TOO_LONG, AnyPage, Page
from chalkpoint.working.whole_values import WholeReadPage, WholeStorePage, write_code

__all__ = [
    "ADD_COLUMNS",
    "BIAS_KEPT",
    "BIAS_NOT_PUT_BACK",
    "BORROW_FORGOTTEN",
    "CARRY_IS_OVERFLOW",
    "CARRY_KEPT",
    "CARRY_NOT_BROUGHT_ROUND",
    "COMPLEMENT_BOTH",
    "INVERT_ALL",
    "KEEP_SIGN",
    "NOTHING_JUDGED",
    "NO_CARRY_NOT_NOTICED",
    "SIGNS_IGNORED",
    "SIGN_BIT",
    "SUB_ADDS",
    "SUB_REVERSED",
    "TWOS_COMPLEMENT",
    "XOR",
    "ends",
    "reads",
    "writes_code",
]


def _columns(fmt: FixedFormat) -> int:
    return (1 << fmt.bits) - 1


def _sign_place(fmt: FixedFormat) -> int:
    return 1 << (fmt.bits - 1)


# === Changing a sign: the pattern of the number taken away ===


def leave_second(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Leave the number taken away as it is."""
    return page


def invert_all(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Invert every bit."""
    return page._replace(second=_columns(fmt) - page.second)


def change_first_bit(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Change the first bit alone."""
    return page._replace(second=page.second ^ _sign_place(fmt))


def invert_behind_sign(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Keep the first bit and invert the others."""
    return page._replace(second=page.second ^ (_sign_place(fmt) - 1))


def complement(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Invert every bit and add one."""
    return page._replace(second=-page.second & _columns(fmt))


def invert_both(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Invert both numbers."""
    return page._replace(first=_columns(fmt) - page.first, second=_columns(fmt) - page.second)


def exchange(page: AnyPage, fmt: FixedFormat) -> AnyPage:
    """Take the first number from the second."""
    return page._replace(first=page.second, second=page.first)


def _negating(rule: AnyRule, said: str, *families: str) -> tuple[Place, ...]:
    """Return the places of a rule for changing a sign; in excess numbers are taken away without it."""
    return tuple(
        place
        for family in families
        for place in acts(
            ("negate",) if family == EXCESS else ("subtract", "negate"), "negate", rule, said, family
        )
    )


INVERT_ALL = _negating(invert_all, "Invert every bit.", SIGNED, EXCESS)
SIGN_BIT = _negating(
    change_first_bit, "Change the first bit. The other digits stay as they are.", ONES, EXCESS
)
KEEP_SIGN = _negating(invert_behind_sign, "Keep the first bit and invert the others.", ONES)
SUB_ADDS = acts(("subtract",), "negate", leave_second, "Bring the second number down as it is.", ONES, SIGNED)
COMPLEMENT_BOTH = acts(("subtract",), "negate", invert_both, "Invert every bit of both numbers.", ONES)
SUB_REVERSED = acts(
    ("subtract",),
    "order",
    exchange,
    "The first number is taken from the second.",
    ONES,
    SIGNED,
    EXCESS,
    UNSIGNED,
    line="read",
)


# === Adding ===


def drop_carry(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Drop the carry that left the sign place."""
    return page._replace(total=page.total & _columns(fmt))


def keep_carry(page: AnyPage, fmt: FixedFormat) -> AnyPage:
    """Leave the carry in front of the sum, a digit more than there is room for."""
    return page._replace(outcome=where(page.total >> fmt.bits == 0, IN_RANGE, TOO_LONG))


def overflow_on_carry(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Say overflow where a carry leaves the sign place."""
    return page._replace(outcome=where(page.total >> fmt.bits == 0, IN_RANGE, OVERFLOW))


def judge_nothing(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Ask nothing of the sum."""
    return page


def add_patterns(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Add the patterns column by column, signs and all, and drop the carry."""
    return page._replace(total=(page.first + page.second) & _columns(fmt))


def add_sizes(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Add the sizes whatever the signs, and write the first number's sign."""
    size, sign = _sizes_added(page, fmt)
    return page._replace(total=size + sign, outcome=where(size < _sign_place(fmt), IN_RANGE, OVERFLOW))


def _sizes_added(page: CodePage, fmt: FixedFormat) -> tuple[int, int]:
    rest = _sign_place(fmt) - 1
    return (page.first & rest) + (page.second & rest), page.first & _sign_place(fmt)


def _where_alike(rule: Callable[[CodePage, FixedFormat], CodePage]) -> AnyRule:
    """Return the right rule for sign and magnitude with *rule* where sizes are added."""

    def combine(page: CodePage, fmt: FixedFormat) -> CodePage:
        usual, other = combine_sizes(page, fmt), rule(page, fmt)
        alike = page.first & _sign_place(fmt) == page.second & _sign_place(fmt)
        return page._replace(
            total=where(alike, other.total, usual.total), outcome=where(alike, other.outcome, usual.outcome)
        )

    combine.__name__ = f"combine_{rule.__name__}"
    return combine


def size_carry_kept(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Write the carry of the sizes between the sign and the rest."""
    size, sign = _sizes_added(page, fmt)
    fits = size < _sign_place(fmt)
    return page._replace(
        total=where(fits, size + sign, size + 2 * sign), outcome=where(fits, IN_RANGE, TOO_LONG)
    )


def size_carry_dropped(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Drop the carry of the sizes."""
    size, sign = _sizes_added(page, fmt)
    return page._replace(total=(size & (_sign_place(fmt) - 1)) + sign)


def keep_codes(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Leave the excess in the sum as often as it is; past the last code it is overflow."""
    over = page.total > _columns(fmt)
    return page._replace(outcome=where(over, OVERFLOW, page.outcome))


def leave_difference(page: CodePage, fmt: FixedFormat) -> CodePage:
    """Take the difference of the codes for the answer, in two's complement where it is negative."""
    return page._replace(total=page.total & _columns(fmt))


def keep_columns(page: Page, fmt: FixedFormat) -> Page:
    """Write what the columns hold: the carry is dropped, and so is a borrow."""
    return page._replace(total=page.total & _columns(fmt))


def columns_alone(page: Page, fmt: FixedFormat) -> Page:
    """Work each column by itself: nothing is carried and nothing borrowed."""
    return page._replace(total=page.first ^ page.second)


def take_size_of_difference(page: Page, fmt: FixedFormat) -> Page:
    """Add the complement and read the columns, whether a carry left them or not."""
    return page._replace(total=(page.first - page.second) & _columns(fmt))


CARRY_NOT_BROUGHT_ROUND = acts(ADDING, "around", drop_carry, "Drop the carry.", ONES)
CARRY_KEPT = (
    Place(
        ADDING,
        {"around": keep_carry, "judge": judge_nothing},
        {"around": "Write the carry in front."},
        ONES,
    ),
    *acts(
        ADDING, "add", _where_alike(size_carry_kept), "Write the carry of the sizes behind the sign.", SIGNED
    ),
    *acts(("add",), "carry", keep_carry, "Write the carry in front.", UNSIGNED, line="add"),
)
CARRY_IS_OVERFLOW = (
    Place(
        ADDING,
        {"around": overflow_on_carry, "judge": judge_nothing},
        {"around": "A carry leaves the sign place, so the answer is the word overflow."},
        ONES,
    ),
)
NOTHING_JUDGED = (
    *acts(ADDING, "judge", judge_nothing, "Ask nothing of the sign.", ONES),
    *acts(ADDING, "add", _where_alike(size_carry_dropped), "Keep the columns that the sizes have.", SIGNED),
    *acts(("add",), "carry", keep_columns, "Keep the columns that there are.", UNSIGNED, line="add"),
)
ADD_COLUMNS = acts(ADDING, "add", add_patterns, "Add the patterns column by column, signs and all.", SIGNED)
SIGNS_IGNORED = acts(
    ADDING, "add", add_sizes, "Add the sizes and write the first number\u2019s sign.", SIGNED
)
BIAS_KEPT = acts(("add",), "excess", keep_codes, "The sum of the codes is the answer.", EXCESS)
BIAS_NOT_PUT_BACK = acts(
    ("subtract",), "excess", leave_difference, "The difference of the codes is the answer.", EXCESS
)
XOR = acts(("add",), "add", columns_alone, "Add each column by itself.", UNSIGNED)
BORROW_FORGOTTEN = acts(
    ("subtract",),
    "take away",
    columns_alone,
    "Take the smaller digit from the larger in each column.",
    UNSIGNED,
    line="take_away",
)
NO_CARRY_NOT_NOTICED = acts(
    ("subtract",),
    "take away",
    take_size_of_difference,
    "Add the complement and read what stands in the columns.",
    UNSIGNED,
    line="take_away",
)
#: Two's complement taken for granted, where a sign is changed: where numbers are added the carry is dropped too.
TWOS_COMPLEMENT = (
    *acts(("negate",), "negate", complement, "Invert every bit and add one.", ONES),
    Place(
        ("subtract",),
        {"negate": complement, "around": drop_carry},
        {"negate": "Invert every bit and add one.", "around": "Drop the carry."},
        ONES,
    ),
    *acts(("negate",), "negate", complement, "Invert every bit and add one.", SIGNED),
    Place(
        ("subtract",),
        {"negate": complement, "add": add_patterns},
        {"negate": "Invert every bit and add one.", "add": "Add column by column and drop the carry."},
        SIGNED,
    ),
    *acts(("negate",), "negate", complement, "Invert every bit and add one.", EXCESS),
)


# === Reading, writing and the range ===


def reads(read: Callable[[int, FixedFormat], int], said: str, *families: str) -> tuple[Place, ...]:
    """Return the places of *read*, (code, format) -> number in units of the last place."""

    def weigh(page: WholeReadPage, fmt: FixedFormat) -> WholeReadPage:
        return page._replace(number=read(int(page.bits, 2), fmt))

    weigh.__name__ = f"weigh_{read.__name__}"
    return acts(("decode",), "read", weigh, said, *families, line="weigh")


def writes_code(write: Callable[[int, FixedFormat], int], said: str, *families: str) -> tuple[Place, ...]:
    """Return the places of *write*, (number, format) -> code, where a number that fits is written."""

    def code(page: WholeStorePage, course: Course) -> WholeStorePage:
        fmt = course.fixed_format
        if not fmt.field.holds(page.number):
            return write_code(page, course)
        return page._replace(pattern=to_bits(write(page.number, fmt), fmt.bits))

    code.__name__ = f"code_{write.__name__}"
    return acts(STORING, "code", code, said, *families)


def ends(
    end: str, write: Callable[[FixedFormat], str], said: str, families: tuple[str, ...] = (INTEGER, FIXED)
) -> tuple[Place, ...]:
    """Return the places of *write*, which gives the pattern of one end of a range."""
    return acts(("range",), end, writes(end, write), said, *families)

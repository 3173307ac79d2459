"""Wrong rules for whole numbers: how a field is misread, a number written or widened wrongly.

The readings are rules for one field, so that the beliefs about mantissas and exponents use them too.
"""

from __future__ import annotations

from chalkpoint.numbers.bits import signed, to_bits
from chalkpoint.numbers.carriers import Number, Truth, fits, where, wrap
from chalkpoint.numbers.fixed import FixedFormat, code_past_range
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.working.course import Course
from chalkpoint.working.page import IN_RANGE, AnyPage, Page
from chalkpoint.working.whole_values import WholeStorePage

__all__ = [
    "every_bit_one",
    "every_bit_zero",
    "multiply_unextended",
    "one_and_zeros",
    "read_adding_bias",
    "read_as_decimal",
    "read_as_twos",
    "read_by_usual_bias",
    "read_flipped",
    "read_from_two",
    "read_leaving_bias",
    "read_ones_complement",
    "read_sign_magnitude",
    "read_unsigned",
    "read_without_minus",
    "rewrite_as_sizes",
    "size_alone",
    "take_the_last_digits",
    "twice",
    "usual_excess",
    "widen_with_zeros",
    "write_as_twos",
    "write_bias_less_number",
    "write_by_usual_bias",
    "write_halving_short",
    "write_past_the_range",
    "write_remainders_downwards",
]


# === Reading: the unsigned number of a field, its bits -> the number read ===


def _negative(code: Number, bits: int) -> Truth:
    return code >> (bits - 1) == 1


def read_unsigned(code: Number, bits: int) -> Number:
    """Give the leading bit a positive weight.

    >>> read_unsigned(0b1001, 4)
    9
    """
    return code


def read_sign_magnitude(code: Number, bits: int) -> Number:
    """Take a leading 1 for a minus and the rest for the size.

    >>> read_sign_magnitude(0b1001, 4), read_sign_magnitude(0b0101, 4)
    (-1, 5)
    """
    size = code & ((1 << (bits - 1)) - 1)
    return where(_negative(code, bits), -size, size)


def read_ones_complement(code: Number, bits: int) -> Number:
    """Where a 1 leads, invert for the size, without adding one."""
    return where(_negative(code, bits), code - ((1 << bits) - 1), code)


def read_flipped(code: Number, bits: int) -> Number:
    """Invert and add one whatever leads; a leading 0 leaves a positive."""
    size = -code & ((1 << bits) - 1)
    return where(_negative(code, bits), -size, size)


def read_without_minus(code: Number, bits: int) -> Number:
    """Where a 1 leads, invert and add one for the size, and leave it at that."""
    return where(_negative(code, bits), (1 << bits) - code, code)


def read_from_two(code: Number, bits: int) -> Number:
    """Give the last place the weight 2."""
    return wrap(code, bits) << 1


def size_alone(code: int, fmt: FixedFormat) -> int:
    """Find the size, and leave its minus out."""
    return abs(fmt.field.read(to_bits(code, fmt.bits)))


def twice(code: int, fmt: FixedFormat) -> int:
    """Give the last place the weight 2."""
    return 2 * fmt.field.read(to_bits(code, fmt.bits))


def read_as_twos(code: int, fmt: FixedFormat) -> int:
    """Read the row in two's complement, whatever its code."""
    return signed(to_bits(code, fmt.bits))


def read_as_decimal(code: int, fmt: FixedFormat) -> int:
    """Take the 0s and 1s for the digits of a decimal number.

    >>> from chalkpoint.numbers.named import format_called
    >>> read_as_decimal(0b0110, format_called("4"))
    110
    """
    return int(f"{code:b}")


def read_leaving_bias(code: int, fmt: FixedFormat) -> int:
    """Take the stored number for the number itself."""
    return code


def read_adding_bias(code: int, fmt: FixedFormat) -> int:
    """Add the excess to the stored number."""
    return code + fmt.field.excess


def usual_excess(bits: int) -> int:
    """Return the excess that most books give a field: one less than half its patterns."""
    return (1 << (bits - 1)) - 1


def read_by_usual_bias(code: int, fmt: FixedFormat) -> int:
    """Take the usual excess off."""
    return code - usual_excess(fmt.bits)


# === Writing and widening ===


def write_remainders_downwards(page: WholeStorePage, course: Course) -> WholeStorePage:
    """Write the remainders of halving in the order found; digits after the point stay."""
    size = abs(page.value)
    whole = size.numerator // size.denominator
    size += int(f"{whole:b}"[::-1], 2) - whole
    return page._replace(value=-size if page.value < 0 else size)


def write_halving_short(number: int) -> str:
    """Stop halving at 2 or less and write that in front of the remainders.

    >>> write_halving_short(20)
    '2100'
    """
    digits = ""
    while number > 2:
        number, digits = number >> 1, f"{number & 1}{digits}"
    return f"{number}{digits}"


def write_past_the_range(page: WholeStorePage, course: Course) -> WholeStorePage:
    """Write the last digits of the number, whether they hold it or not."""
    fmt = course.fixed_format
    return page._replace(pattern=to_bits(code_past_range(page.number, fmt), fmt.bits))


def take_the_last_digits(page: AnyPage, fmt: AnyFormat) -> AnyPage:
    """Take what is left of an operand past the range for that operand."""
    return page._replace(outcome=IN_RANGE)


def write_as_twos(number: int, fmt: FixedFormat) -> int:
    """Write a number in two's complement, whatever the code asked for."""
    return number


def write_by_usual_bias(number: int, fmt: FixedFormat) -> int:
    """Add the usual excess."""
    return number + usual_excess(fmt.bits)


def write_bias_less_number(number: int, fmt: FixedFormat) -> int:
    """Take the number off the excess."""
    return fmt.field.excess - number


def every_bit_one(fmt: FixedFormat) -> str:
    """Write a 1 in every place."""
    return "1" * fmt.bits


def every_bit_zero(fmt: FixedFormat) -> str:
    """Write a 0 in every place."""
    return "0" * fmt.bits


def one_and_zeros(fmt: FixedFormat) -> str:
    """Write a 1 and then 0s."""
    return "1".ljust(fmt.bits, "0")


def widen_with_zeros(pattern: str, bits: int) -> str:
    """Fill the new places on the left with 0s.

    >>> widen_with_zeros("101101", 8)
    '00101101'
    """
    return pattern.rjust(bits, "0")


def multiply_unextended(page: Page, fmt: FixedFormat) -> Page:
    """Multiply rows of half the width, every weight positive, where both numbers fit into that."""
    half = fmt.bits >> 1
    both = fits(page.first, half) & fits(page.second, half)
    digits = (1 << half) - 1
    first = where(both, page.first & digits, page.first)
    return page._replace(total=first * where(both, page.second & digits, page.second), extra=fmt.places)


def rewrite_as_sizes(page: Page, fmt: FixedFormat) -> Page:
    """Write the negative numbers of the question as a sign and a size, and add them as they stand."""
    top = 1 << (fmt.bits - 1)
    first, second = (where(number < 0, -top - number, number) for number in (page.first, page.second))
    return page._replace(first=first, second=second)

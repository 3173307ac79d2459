"""Traits of the operands as they are written, and of the decimals a class reads from them."""

from __future__ import annotations

from chalkpoint.finding.case import Case
from chalkpoint.finding.measures import ones_at_least, reads_the_same
from chalkpoint.finding.pick import by_number
from chalkpoint.finding.trait import Trait, by_steps
from chalkpoint.numbers.carriers import Number, Truth, fits, larger, smaller, where
from chalkpoint.numbers.formats import FloatFormat

__all__ = ["OPERANDS"]


def sign_pattern(case: Case) -> Number:
    """Return 0 to 3 for ++, +-, -+ and --; zero counts as positive."""
    return where(case.first < 0, 2, 0) + where(case.second < 0, 1, 0)


def not_normalised(case: Case) -> Truth:
    """Return whether some operand other than zero has its first two bits alike."""
    bits = case.format.places
    first = fits(case.first, bits) & (case.first != 0)
    return first | (fits(case.second, bits) & (case.second != 0))


def minus_one(case: Case) -> Truth:
    """Return whether some mantissa is -1.0."""
    lowest = -(1 << case.format.places)
    return (case.first == lowest) | (case.second == lowest)


def exponent_signs(case: Case) -> Number:
    """Return 0, 1 or 2: both exponents 0 or more, both negative, one of each."""
    larger_negative, smaller_negative = case.larger_exponent < 0, case.smaller_exponent < 0
    return where(larger_negative, 1, where(smaller_negative, 2, 0))


def exponent_edge(case: Case) -> Truth:
    """Return whether some exponent is the lowest or the highest there is."""
    lowest, highest = case.format.lowest_exponent, case.format.highest_exponent
    large, small = case.larger_exponent, case.smaller_exponent
    return (large == lowest) | (large == highest) | (small == lowest) | (small == highest)


def palindromic(case: Case) -> Truth:
    """Return whether a mantissa, or a whole pattern, is the same read backwards."""
    return _reversible(case, case.first, case.first_exponent) | _reversible(
        case, case.second, case.second_exponent
    )


def _reversible(case: Case, mantissa: Number, exponent: Number) -> Truth:
    fmt = case.format
    code = exponent & ((1 << fmt.exponent_bits) - 1)
    whole = ((mantissa & ((1 << fmt.mantissa_bits) - 1)) << fmt.exponent_bits) + code
    if fmt.exponent_first:
        whole = (code << fmt.mantissa_bits) + (mantissa & ((1 << fmt.mantissa_bits) - 1))
    return reads_the_same(mantissa, fmt.mantissa_bits) | reads_the_same(whole, fmt.bits)


def ones_in_all(case: Case, least: int) -> Truth:
    """Return whether both patterns together have *least* 1s or more, in mantissas and exponents."""
    bits, exponent_bits = case.format.mantissa_bits, case.format.exponent_bits
    mantissas = (case.first, bits), (case.second, bits)
    exponents = (case.larger_exponent, exponent_bits), (case.smaller_exponent, exponent_bits)
    return ones_at_least(least, *mantissas, *exponents)


# A fraction over 2**k has exactly k digits after the decimal point, because 1/2**k = 5**k / 10**k.


def answer_places_at_least(case: Case, least: int) -> Truth:
    """Return whether the exact answer has *least* digits or more after the decimal point."""
    return case.remember(
        f"answer has {least} places",
        lambda: _places_at_least(case, case.exact, case.smaller_exponent, least),
    )


def operand_places_at_least(case: Case, least: int) -> Truth:
    """Return whether some operand has *least* digits or more after the decimal point."""
    return case.remember(
        f"an operand has {least} places",
        lambda: (
            _places_at_least(case, case.first, case.first_exponent, least)
            | _places_at_least(case, case.second, case.second_exponent, least)
        ),
    )


def _places_at_least(case: Case, number: Number, exponent: Number, least: int) -> Truth:
    fmt = case.format
    most = fmt.mantissa_bits + (1 << fmt.exponent_bits)  # more bits than any exact answer has

    def some_one_low(exponent: Number) -> Truth:
        """Return whether there is a 1 as far down as the place in question."""
        low = smaller(larger(fmt.places - exponent - least + 1, 0), smaller(most, 62))
        return number & ((1 << low) - 1) != 0

    if least <= 0:
        return True
    return by_number(exponent, fmt.lowest_exponent, fmt.highest_exponent, some_one_low)


def all_places_at_least(case: Case, least: int) -> Truth:
    """Return whether the exact answer or an operand has *least* digits or more after the decimal point."""
    return operand_places_at_least(case, least) | answer_places_at_least(case, least)


def _most_places(fmt: FloatFormat) -> int:
    return fmt.places - fmt.lowest_exponent


OPERANDS = (
    Trait(
        "sign-pattern",
        "signs of the operands, zero counting as positive",
        "choice",
        sign_pattern,
        choices=("++", "+-", "-+", "--"),
    ),
    Trait(
        "operand-not-normalised",
        "some operand has its first two bits alike and is not zero",
        "yes or no",
        not_normalised,
    ),
    Trait("operand-minus-one", "some mantissa is -1.0", "yes or no", minus_one),
    Trait(
        "operand-zero",
        "some operand is zero",
        "yes or no",
        lambda case: (case.first == 0) | (case.second == 0),
    ),
    Trait(
        "exponent-signs",
        "signs of the exponents, 0 counting as positive",
        "choice",
        exponent_signs,
        choices=("both-positive", "both-negative", "mixed"),
    ),
    Trait(
        "exponent-edge",
        "some exponent is the lowest or the highest of the format",
        "yes or no",
        exponent_edge,
    ),
    Trait(
        "palindromic-bits",
        "a mantissa or a whole pattern is the same read backwards, which hides errors of order",
        "yes or no",
        palindromic,
        widest=12,
    ),
    Trait(
        "sparse",
        "1s in both patterns, mantissas and exponents: few are fast to mark",
        "number",
        holds=by_steps(ones_in_all),
        most=lambda fmt: 2 * fmt.bits,
        examples=("sparse <= 8",),
    ),
    Trait(
        "decimal-places",
        "digits after the decimal point of the exact answer",
        "number",
        holds=by_steps(answer_places_at_least),
        most=_most_places,
        examples=("decimal-places <= 3",),
    ),
    Trait(
        "operand-decimal-places",
        "most digits after the decimal point of the two operands",
        "number",
        holds=by_steps(operand_places_at_least),
        most=_most_places,
        examples=("operand-decimal-places <= 3",),
    ),
    Trait(
        "at-most-d-places",
        "most digits after the decimal point of the operands and the exact answer",
        "number",
        holds=by_steps(all_places_at_least),
        most=_most_places,
        examples=("at-most-d-places <= 3",),
    ),
)

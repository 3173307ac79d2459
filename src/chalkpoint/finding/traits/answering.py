"""Traits of the answer: whether it is right, how far off, its range, and whether methods agree on it."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.finding.case import Case, same_answer
from chalkpoint.finding.trait import COMPARISONS, Trait, by_steps
from chalkpoint.numbers.carriers import Number, Truth, larger, opposite, where
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.page import OVERFLOW, Page

__all__ = ["ANSWERING"]

HEADROOM = 2  # a method raises the common exponent by two at most: a spare place or repair, then a rounding


def representable_but_wrong(case: Case) -> Truth:
    """Return whether the exact answer has a pattern and the working gives another, or a word."""
    return case.exact_normal.fits & opposite(case.is_exact)


def variant_stable(case: Case) -> Truth:
    """Return whether every accepted method gives the same answer."""
    first, *others = case.variants
    stable: Truth = True
    for name in others:
        stable = stable & same_answer(case.last_page(first), case.last_page(name))
    return stable


def _before_range(case: Case) -> Page:
    return case.lines["range"][0]


def underflows(case: Case) -> Truth:
    """Return whether the normalised result's exponent is below the lowest."""
    page = _before_range(case)
    return (page.exponent + page.datum < case.format.lowest_exponent) & (page.total != 0)


def exponent_changes_sign(case: Case) -> Truth:
    """Return whether the result's exponent and the common one have different signs, 0 counting as positive."""
    page, common = _before_range(case), case.added
    changed = (page.exponent + page.datum < 0) ^ (common.exponent + common.datum < 0)
    return changed & (page.total != 0)


def error_size(case: Case) -> Number:
    """Return the size of the error, in units of the exact answer's made finer by the headroom."""
    page = case.worth
    # The result is total * 2**(spread + exponent) of the exact answer's units, and HEADROOM finer.
    down = where(page.total == 0, 0, HEADROOM - page.exponent)
    result = (page.total << (_spread(case) + 2 * HEADROOM)) >> down
    error = (case.exact << HEADROOM) - result
    return where(error < 0, -error, error)


def _spread(case: Case) -> Number:
    return case.first_apart + case.second_apart


def error_ulps(case: Case, comparison: str, value: Fraction) -> Truth:
    """Return how the error, in units in the last place of the result, compares with *value*."""
    size, page = error_size(case), case.answer
    # A unit in the last place is 2**(spread + exponent) of the exact answer's units.
    down = where(page.total == 0, 0, HEADROOM - page.exponent)
    number = (size << down) * value.denominator
    bound = value.numerator << (_spread(case) + 2 * HEADROOM)
    # Zero has no unit in the last place: there only "no error" can be told.
    zero = case.answer.total == 0
    met = where(zero, COMPARISONS[comparison](0, value) & (size == 0), COMPARISONS[comparison](number, bound))
    return met & Case.is_number(case.answer)


def error_relative(case: Case, comparison: str, value: Fraction) -> Truth:
    """Return how the size of the error against the size of the exact answer compares with *value*."""
    size = error_size(case)
    exact = case.exact << HEADROOM
    whole = where(exact < 0, -exact, exact)
    top, below = value.numerator, value.denominator
    # Powers of two settle most classes at once, before anything is multiplied out.
    surely_less = top > 0 and (size << below.bit_length()) < (whole << (top.bit_length() - 1))
    numbers = (0, 1) if surely_less is True else (size * below, whole * top)
    met = COMPARISONS[comparison](*numbers)
    return met & (case.exact != 0) & Case.is_number(case.answer)


def nearest_differs(case: Case) -> Truth:
    """Return whether the exact answer cut and the exact answer rounded to nearest are different."""
    return opposite(same_answer(case.last_page("exact-then-truncate"), case.last_page("exact-then-nearest")))


def is_tie(case: Case) -> Truth:
    """Return whether what lies past the mantissa is exactly half a place."""
    normal = case.exact_normal
    return normal.total & ((1 << normal.spare) - 1) == (1 << normal.spare) >> 1


def round_carries(case: Case) -> Truth:
    """Return whether rounding to nearest changes the exponent."""
    before, after = case.lines_by("exact-then-nearest")["cut"]
    return (before.exponent != after.exponent) & (after.total != 0)


def bits_needed_at_least(case: Case, least: int) -> Truth:
    """Return whether *least* mantissa bits or more are needed to hold the exact answer; zero needs 2."""
    if least <= 2:
        return True
    normal = case.exact_normal
    past = larger(case.format.mantissa_bits + normal.spare - (least - 1), 0)
    return normal.total & ((1 << past) - 1) != 0


def _reach(fmt: FloatFormat, value: Fraction) -> int:
    """Return a distance past which a tail is too small to change a comparison with *value*."""
    return fmt.mantissa_bits + value.numerator.bit_length() + value.denominator.bit_length() + 4


ANSWERING = (
    Trait("exact-result", "the answer is exactly right", "yes or no", lambda case: case.is_exact),
    Trait(
        "representable-but-wrong",
        "the exact answer has a pattern, and the working misses it",
        "yes or no",
        representable_but_wrong,
    ),
    Trait(
        "not-representable",
        "the exact answer has no normalised pattern in the format",
        "yes or no",
        lambda case: opposite(case.exact_normal.fits),
    ),
    Trait("variant-stable", "every accepted method gives the same answer", "yes or no", variant_stable),
    Trait(
        "error-ulps",
        "size of the error in units in the last place of the result",
        "number",
        holds=error_ulps,
        reach=_reach,
        examples=("error-ulps >= 1/2", "error-ulps >= 1"),
    ),
    Trait(
        "error-relative",
        "size of the error against the size of the exact answer",
        "number",
        holds=error_relative,
        reach=_reach,
        source="Goldberg 1991, on relative error",
        examples=("error-relative >= 1/100",),
    ),
    Trait(
        "exponent-overflow",
        "the result's exponent is above the highest",
        "yes or no",
        lambda case: case.answer.outcome == OVERFLOW,
    ),
    Trait(
        "exponent-underflow",
        "the normalised result's exponent is below the lowest",
        "yes or no",
        underflows,
    ),
    Trait(
        "needs-exponent-sign-change",
        "the result's exponent and the common exponent have different signs (0 is positive)",
        "yes or no",
        exponent_changes_sign,
    ),
    Trait(
        "truncate-vs-nearest-differ",
        "the exact answer cut and the exact answer rounded to nearest differ",
        "yes or no",
        nearest_differs,
    ),
    Trait("tie", "the exact answer lies halfway between two patterns", "yes or no", is_tie),
    Trait(
        "round-carries",
        "rounding to nearest reaches the next power of two, so the exponent changes",
        "yes or no",
        round_carries,
    ),
    Trait(
        "bits-needed",
        "least mantissa, in bits, that holds the exact answer",
        "number",
        holds=by_steps(bits_needed_at_least),
        most=lambda fmt: fmt.mantissa_bits + (1 << fmt.exponent_bits),
        reach=lambda fmt, value: fmt.mantissa_bits + int(value) + 4,
        examples=("bits-needed <= 8",),
    ),
)

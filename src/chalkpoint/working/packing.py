"""Packing: a rounded size and exponent written into a format's fields, and judged on the way."""

from __future__ import annotations

from functools import cache

from chalkpoint.numbers.carriers import Number, where
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.bringing import overflow_pattern
from chalkpoint.working.course import Course
from chalkpoint.working.page import IN_RANGE, INFINITY, NOT_A_NUMBER, OVERFLOW, UNDERFLOW, ZERO
from chalkpoint.working.sizes import NO_SPECIAL, TO_INFINITY, TO_NAN, TO_ZERO, SizePage, SizeRule

__all__ = ["pack_for"]


@cache
def pack_for(course: Course) -> SizeRule:
    """Return the rule that packs as *course* has it: its rounding, overflow and underflow say what is written."""
    fmt = course.size_format
    huge = [overflow_pattern(sign, fmt, course) for sign in (0, 1)]
    ends = [pattern or fmt.zero for pattern in huge]
    words = [_outcome_of(pattern, fmt) for pattern in huge]

    def pack(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
        """Drop the hidden one and write the fields; past either end write what the course says."""
        packed = _packed(page, fmt)
        over = _is_over(page, fmt)
        negative = page.sign == 1
        packed = _where(over, packed, *(where(negative, ends[1][at], ends[0][at]) for at in (1, 2)))
        outcome = where(over, where(negative, words[1], words[0]), packed.outcome)
        packed = packed._replace(outcome=outcome)
        if course.underflow != "un-normalised" or not fmt.gradual:
            packed = _small_refused(page, packed, fmt, UNDERFLOW if course.underflow == "word" else ZERO)
        return _special_written(packed, fmt)

    return pack


def _outcome_of(pattern: Fields | None, fmt: SignMagnitudeFormat) -> int:
    if pattern is None:
        return OVERFLOW
    kinds = {"infinity": INFINITY, "not a number": NOT_A_NUMBER}
    return kinds.get(fmt.kind(pattern), IN_RANGE)


def _where(condition: object, page: SizePage, stored: Number, fraction: Number) -> SizePage:
    return page._replace(
        stored=where(condition, stored, page.stored), fraction=where(condition, fraction, page.fraction)
    )


def _packed(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    outcome = where(page.total == 0, ZERO, IN_RANGE)
    if not fmt.hidden:
        stored = where(page.total == 0, fmt.exponent.lowest, page.exponent)
        return page._replace(stored=stored, fraction=page.total, outcome=outcome)
    bare = page.total >> fmt.fraction_bits == 0
    return page._replace(
        stored=where(bare, fmt.exponent.lowest, page.exponent),
        fraction=where(bare, page.total, page.total - (1 << fmt.fraction_bits)),
        outcome=outcome,
    )


def _is_over(page: SizePage, fmt: SignMagnitudeFormat) -> object:
    over = page.exponent > fmt.highest_exponent
    if fmt.specials == "one nan":
        over = over | ((page.exponent == fmt.highest_exponent) & (page.total == (1 << fmt.digits) - 1))
    return over & (page.total != 0)


def _small_refused(page: SizePage, packed: SizePage, fmt: SignMagnitudeFormat, outcome: int) -> SizePage:
    """Return the page with a word or zero for a size below the normal ones."""
    if fmt.gradual:
        small = page.total >> (fmt.digits - 1) == 0
    else:
        kept_for_zero = (page.exponent == fmt.lowest_exponent) & (page.total == 1 << fmt.fraction_bits)
        small = (page.exponent < fmt.lowest_exponent) | kept_for_zero
    small = small & (page.total != 0)
    packed = _where(small, packed, fmt.exponent.lowest, 0)
    return packed._replace(outcome=where(small, outcome, packed.outcome))


def _special_written(packed: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Return the page with the fields of what the operands alone decided."""
    if packed.special is NO_SPECIAL:
        return packed
    outcome = packed.outcome
    infinite = (fmt.infinity, INFINITY) if fmt.infinity else (fmt.nan, NOT_A_NUMBER)
    for special, pattern, word in (
        (TO_INFINITY, *infinite),
        (TO_NAN, fmt.nan, NOT_A_NUMBER),
        (TO_ZERO, fmt.zero, ZERO),
    ):
        if pattern is not None:
            packed = _where(packed.special == special, packed, pattern.exponent, pattern.fraction)
            outcome = where(packed.special == special, word, outcome)
    return packed._replace(outcome=outcome)

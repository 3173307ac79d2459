"""Traits of matching the exponents: how far, which operand, and what is lost."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import lru_cache

from chalkpoint.finding.case import Case
from chalkpoint.finding.measures import ones
from chalkpoint.finding.pick import by_number, is_in_diagrams, pick
from chalkpoint.finding.trait import Trait
from chalkpoint.numbers.carriers import Number, Truth, larger, opposite, where
from chalkpoint.numbers.formats import FloatFormat, scaled
from chalkpoint.working.changing import CHANGING
from chalkpoint.working.page import Page

__all__ = ["ALIGNING", "loses_bits", "lost_ones"]


def loses_bits(case: Case) -> Truth:
    """Return whether aligning shifts a 1 past the last place."""
    return case.tail != 0


def lost_ones(case: Case) -> Number:
    """Return how many 1s are lost: the mantissa's own, then the sign copies that follow them."""
    bits = case.format.mantissa_bits
    copies = where(case.shifted < 0, larger(case.shift - bits, 0), 0)
    return ones(case.tail, bits) + copies


def lost_value(case: Case, comparison: str, value: Fraction) -> Truth:
    """Return how the value of the lost digits compares with *value*."""
    if is_in_diagrams(case.distance):
        return _whole_mantissa_lost(case, comparison, value)
    digits = case.shifted & ((1 << case.shift) - 1)
    # The digits count in units of the smaller exponent's last place, so each exponent has its own bound.
    lowest, smaller = case.format.lowest_exponent, case.smaller_exponent
    if is_in_diagrams(case.smaller_exponent):
        bounds = _bounds(case.format, value, lowest)
        if isinstance(case.distance, int):  # the smaller exponent lies that far below the highest
            bounds = bounds[: len(bounds) - case.distance]
            most = 1 << case.distance
            bounds = tuple(min(bound, Fraction(most)) for bound in bounds)
    else:  # an operand that was not in normal form may lie lower than any that is
        lowest -= case.format.places
        ready = case.ready  # its exponents are counted from the larger one
        smaller = case.larger_exponent + larger(ready.first_exponent, ready.second_exponent) - case.shift
        bounds = _bounds(case.format, value, lowest)
    exponents = (smaller, lowest)
    whole = pick(*exponents, [int(bound.denominator == 1) for bound in bounds]) == 1
    floor = pick(*exponents, [math.floor(bound) for bound in bounds])
    return _as_asked(comparison, digits > floor, (digits == floor) & whole)


def _as_asked(comparison: str, above: Truth, level: Truth) -> Truth:
    """Return whether *comparison* holds of what is *above*, or *level* with, what it is compared with."""
    if comparison in {"=", "!="}:
        return level if comparison == "=" else opposite(level)
    if comparison in {">", "<="}:
        return above if comparison == ">" else opposite(above)
    return above | level if comparison == ">=" else opposite(above | level)


def _whole_mantissa_lost(case: Case, comparison: str, value: Fraction) -> Truth:
    """Return the same for a class of questions so far apart that every digit of the mantissa is lost.

    The digits lost are then the mantissa itself, and of a negative one 2**shift more: a number of just as
    many bits as it is shifted places.
    """
    bounds = _bounds(case.format, value, case.format.lowest_exponent)
    shift, shifted = case.shift, case.shifted
    negative = shifted < 0

    def met(exponent: int) -> Truth:
        bound = bounds[exponent - case.format.lowest_exponent]
        floor = math.floor(bound)
        if floor < 0:
            return _as_asked(comparison, above=True, level=False)
        bits = floor.bit_length()
        longer, as_long, rest = shift > bits, shift == bits, floor - (1 << bits)
        above = where(negative, longer | (as_long & (shifted > rest)), shifted > floor)
        level = where(negative, as_long & (shifted == rest), shifted == floor)
        return _as_asked(comparison, above, level & (bound.denominator == 1))

    return by_number(case.smaller_exponent, case.format.lowest_exponent, case.format.highest_exponent, met)


@lru_cache(maxsize=64)
def _bounds(fmt: FloatFormat, value: Fraction, lowest: int) -> tuple[Fraction, ...]:
    """Return *value* in units of the last place, for each exponent from the *lowest*."""
    exponents = range(lowest, fmt.highest_exponent + 1)
    return tuple(value / scaled(1, exponent - fmt.places) for exponent in exponents)


def shifted_operand(case: Case) -> Number:
    """Return 0, 1 or 2: no operand is shifted, the first, the second."""
    return where(case.first_shift > 0, 1, where(case.second_shift > 0, 2, 0))


def absorbed(case: Case) -> Truth:
    """Return whether the answer is the operand with the larger exponent, as if the other were zero.

    Two rows that are brought to normal form alike are compared before that, where nothing is cut after it.
    """
    ready = case.ready
    first = Page(0, 0, 0, 0, ready.first, ready.first_exponent)
    second = Page(0, 0, ready.second, ready.second_exponent, ready.second, ready.second_exponent)
    cut_last = case.worth is case.answer
    if case.subtracts:
        rules = CHANGING["negate"].rules
        for slot in ("negate", "carry", "repair", *(("normalise",) if cut_last else ())):
            second = rules[slot](second, case.format)
    # Choose the operand first: comparing the answer with the shifted one too would be in vain.
    kept_first = case.second_shift > 0
    total = where(kept_first, first.total, second.total)
    exponent = where(kept_first, first.exponent, second.exponent)
    same = (case.worth.total == total) & (case.worth.exponent == exponent)
    return same & (case.shift > 0) & Case.is_number(case.answer)


def subtrahend_minus_one(case: Case) -> Truth:
    """Return whether the subtrahend is -1.0 and is not shifted, so that its opposite needs one more place."""
    if not case.subtracts:
        return False
    lowest = -(1 << case.format.places)
    return (case.ready.second == lowest) & (case.second_shift == 0)


def _most_shift(fmt: FloatFormat) -> int:
    return (1 << fmt.exponent_bits) - 1


ALIGNING = (
    Trait(
        "align-shift",
        "places one mantissa is shifted to match the exponents",
        "number",
        lambda case: case.shift,
        most=_most_shift,
    ),
    Trait("equal-exponents", "the exponents are equal", "yes or no", lambda case: case.shift == 0),
    Trait("align-loses-bits", "aligning shifts a 1 past the last place", "yes or no", loses_bits),
    Trait(
        "lost-ones",
        "how many 1s aligning shifts past the last place",
        "number",
        lost_ones,
        most=lambda fmt: max(_most_shift(fmt), fmt.mantissa_bits),
    ),
    Trait(
        "lost-value",
        "what the digits lost in aligning were worth",
        "number",
        holds=lost_value,
        examples=("lost-value >= 1/8",),
    ),
    Trait(
        "absorbed",
        "the answer is the operand with the larger exponent, though the other is not zero",
        "yes or no",
        absorbed,
    ),
    Trait(
        "shifted-operand",
        "which operand is shifted to match the exponents",
        "choice",
        shifted_operand,
        choices=("none", "first", "second"),
    ),
    Trait(
        "shifted-negative",
        "a negative mantissa is shifted, so the sign bit is copied into the new places",
        "yes or no",
        lambda case: case.shifted < 0,
    ),
    Trait(
        "subtrahend-minus-one",
        "the subtrahend is -1.0 and not shifted: its opposite needs the extra sign place",
        "yes or no",
        subtrahend_minus_one,
    ),
)

"""Bringing a value into a format, against every pattern of the format laid out in order."""

from bisect import bisect_left, bisect_right
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.numbers.fitting import fit, nearest_patterns, normal_exponent
from chalkpoint.numbers.formats import FloatFormat, Pattern, parse_format
from chalkpoint.numbers.rounding import ROUNDINGS


def every_value(fmt: FloatFormat) -> dict[Fraction, Pattern]:
    """Return every normalised pattern and zero, by value, in order."""
    limit = 1 << fmt.places
    patterns = [
        Pattern(mantissa, exponent)
        for mantissa in range(-limit, limit)
        for exponent in range(fmt.lowest_exponent, fmt.highest_exponent + 1)
        if mantissa and fmt.is_normalised(Pattern(mantissa, exponent))
    ]
    return dict(sorted((fmt.value(pattern), pattern) for pattern in [*patterns, fmt.zero]))


@pytest.mark.parametrize("spelling", ["2+2", "3+2", "4+3", "5+3"])
def test_nearest_is_the_least_distance_over_every_pattern(spelling: str) -> None:
    """For points on and between all patterns, and past both ends, by measuring every distance near them."""
    fmt = parse_format(spelling)
    table = every_value(fmt)
    ordered = list(table)
    points = {(a + b) / 2 for a, b in pairwise(ordered)} | set(ordered)
    points |= {x + Fraction(1, 999) for x in points} | {2 * ordered[0], 2 * ordered[-1]}
    for x in points:
        near = ordered[max(bisect_left(ordered, x) - 2, 0) : bisect_right(ordered, x) + 2]
        least = min(abs(x - value) for value in near)

        assert nearest_patterns(x, fmt) == tuple(table[value] for value in near if abs(x - value) == least)


@pytest.mark.parametrize("rounding", list(ROUNDINGS))
def test_a_rounding_lands_on_the_pattern_its_name_says(rounding: str) -> None:
    """In the middle of 5+3, every rounding against the two patterns on either side."""
    fmt = parse_format("5+3")
    table = {
        value: pattern for value, pattern in every_value(fmt).items() if Fraction(1, 16) <= abs(value) <= 4
    }
    positive = [value for value in table if value > 0]
    for sign in (1, -1):
        for low, high in pairwise(positive):
            for part in (Fraction(1, 4), Fraction(1, 2), Fraction(3, 4)):
                x = sign * (low + (high - low) * part)
                below, above = sorted((sign * low, sign * high))
                expected = {
                    "cut": below,
                    "cut size": sign * low,
                    "nearest": nearer(x, below, above, table, away=False),
                    "nearest away": nearer(x, below, above, table, away=True),
                }[rounding]
                fitted = fit(x, fmt, ROUNDINGS[rounding])

                assert fmt.value(Pattern(fitted.mantissa, fitted.exponent)) == expected


def nearer(
    x: Fraction, below: Fraction, above: Fraction, table: dict[Fraction, Pattern], *, away: bool
) -> Fraction:
    """Return the nearer of two values; a tie by the rule."""
    if x - below != above - x:
        return below if x - below < above - x else above
    if away:
        return max(below, above, key=abs)
    # The units differ on either side of a power of two; there the coarser pattern's last bit decides.
    unit = above - below
    return below if (below / unit) % 2 == 0 else above


@given(st.fractions().filter(bool))
def test_the_normal_exponent_brings_the_size_home(x: Fraction) -> None:
    """The value over 2**E lies in [1/2, 1) or [-1, -1/2)."""
    scaled = x / Fraction(2) ** normal_exponent(x.numerator, x.denominator)

    assert Fraction(1, 2) <= scaled < 1 or -1 <= scaled < Fraction(-1, 2)

"""Guard digits and exact differences, in small binary systems looked all the way through.

Sources: D. Goldberg, What Every Computer Scientist Should Know About Floating-Point Arithmetic,
ACM Computing Surveys 23(1), 1991; P. Sterbenz, Floating-Point Computation, 1974; N. Higham,
Accuracy and Stability of Numerical Algorithms, 2002. p digits are a mantissa of p + 1 bits. A
subtraction without a guard digit is align-then-negate; with one, one-guard-bit, which cuts at the
end where the paper rounds. The decimal examples of the paper do not run here.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise, product

import pytest

import chalkpoint as cp
from published.sources import Entry, cases, entries

SYSTEMS = entries("goldberg", "exhaustive")
TOYS = entries("goldberg", "toy_system")
EXPONENT_BITS = 5


def pattern(mantissa: int, exponent: int, digits: int) -> str:
    """Return a positive number's bits: a sign, its digits, then the exponent."""
    return f"0{mantissa:0{digits}b} {exponent % 2**EXPONENT_BITS:0{EXPONENT_BITS}b}"


def differences(digits: int) -> Iterator[tuple[str, str]]:
    """Yield every x > y > 0 with x at exponent 0, y shifted up to digits + 2 places."""
    significands = range(2 ** (digits - 1), 2**digits)
    for shift, x, y in product(range(digits + 3), significands, significands):
        if shift or x > y:
            yield pattern(x, 0, digits), pattern(y, -shift, digits)


def largest_relative_error(system: Entry, method: str) -> Fraction:
    """Return the largest relative error of a difference in the system."""
    form = f"{system['p'] + 1}+{EXPONENT_BITS}"
    errors = [
        cp.work("subtract", x, y, format=form, method=method).check.relative_error
        for x, y in differences(system["p"])
    ]
    return max(error for error in errors if error is not None)


@pytest.mark.parametrize("system", cases(SYSTEMS, "beta", "p"))
def test_the_systems_are_whole(system: Entry) -> None:
    """The pairs looked through are as many as the source of the figures counts."""
    assert len(list(differences(system["p"]))) == system["pairs"]


@pytest.mark.parametrize("system", cases(SYSTEMS, "beta", "p"))
def test_theorem_1_without_a_guard_digit_all_can_be_wrong(system: Entry) -> None:
    """Without a guard digit the relative error reaches beta - 1 = 1 and no more (theorem verified)."""
    worst = largest_relative_error(system, "align-then-negate")

    assert worst == Fraction(system["max_relative_error_no_guard"]) == system["beta"] - 1


@pytest.mark.parametrize("system", cases(SYSTEMS, "beta", "p"))
def test_theorem_1_where_the_worst_case_is(system: Entry) -> None:
    """It is reached by 1.0...0 less the largest number below it: twice the exact difference."""
    digits = system["p"]
    x, y = pattern(2 ** (digits - 1), 0, digits), pattern(2**digits - 1, -1, digits)
    working = cp.work("subtract", x, y, format=f"{digits + 1}+{EXPONENT_BITS}")

    assert working.result.value == 2 * working.check.exact


@pytest.mark.parametrize("system", cases(SYSTEMS, "beta", "p"))
def test_theorem_2_one_guard_digit_bounds_the_error(system: Entry) -> None:
    """With one guard digit it is below 2 epsilon (theorem from memory), and no worse than the paper's."""
    worst = largest_relative_error(system, "one-guard-bit")

    assert worst < 2 * Fraction(system["epsilon"])
    assert worst <= Fraction(system["max_relative_error_one_guard"])


@pytest.mark.parametrize("system", cases(SYSTEMS, "beta", "p"))
def test_epsilon_bounds_one_rounding(system: Entry) -> None:
    """One rounding to nearest costs at most epsilon = 2^-p, one cut less than twice that (verified)."""
    epsilon = Fraction(system["epsilon"])

    assert epsilon == Fraction(1, 2 ** system["p"])
    assert largest_relative_error(system, "exact-then-nearest") <= epsilon
    assert largest_relative_error(system, "exact-then-truncate") < 2 * epsilon


def positive_numbers(form: str, exponents: range) -> dict[str, Fraction]:
    """Return the normalised positive patterns of a format with these exponents, and their values."""
    m, e = (int(bits) for bits in form.split("+"))
    patterns = [
        f"{mantissa:0{m}b} {exponent % 2**e:0{e}b}"
        for exponent in exponents
        for mantissa in range(2 ** (m - 2), 2 ** (m - 1))
    ]
    values = {bits: cp.work("decode", bits, format=form).result.value for bits in patterns}
    return {bits: value for bits, value in values.items() if value is not None}


@pytest.mark.parametrize("method", ["one-guard-bit", "exact-then-truncate", "exact-then-nearest"])
def test_sterbenz_near_numbers_differ_exactly(method: str) -> None:
    """If y/2 <= x <= 2y then x - y is a number of the system, and a guard bit finds it (verified)."""
    numbers = positive_numbers("5+4", range(-2, 3))
    near = [(x, y) for x, y in product(numbers, numbers) if numbers[y] <= 2 * numbers[x] <= 4 * numbers[y]]

    assert near
    for x, y in near:
        working = cp.work("subtract", x, y, format="5+4", method=method)
        assert working.result.value == numbers[x] - numbers[y]


@pytest.mark.parametrize(
    ("name", "exponents"),
    [
        pytest.param("higham", range(-1, 4), id="higham (from memory)"),
        pytest.param("goldberg_fig1", range(4), id="goldberg_fig1 (from memory)"),
    ],
)
def test_a_toy_system_number_by_number(name: str, exponents: range) -> None:
    """Three digits and a sign, decoded, give the printed numbers in order.

    Goldberg writes 1.dd with exponents -1 to 2, which are 0.1dd with exponents 0 to 3.
    """
    (toy,) = [toy for toy in TOYS if toy["id"] == name]
    printed = [Fraction(value) for value in toy["values"] if value != "0"]

    assert sorted(positive_numbers("4+3", exponents).values()) == printed
    assert len(toy["values"]) == toy["count"]


def test_half_way_is_half_a_last_place() -> None:
    """Half way to the next number of the toy system is half a last place off (verified definition of ulp)."""
    numbers = sorted(positive_numbers("4+3", range(-1, 4)).values())
    for low, high in pairwise(numbers):
        middle = cp.work("encode", (low + high) / 2, format="4+3")

        assert middle.result.value == low
        assert middle.check.error_ulps == Fraction(1, 2)

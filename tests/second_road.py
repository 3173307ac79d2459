"""A second road to every answer of the engine's add, subtract, encode and check.

Written from the definitions alone and sharing no code with the engine: a number is a
`fractions.Fraction`, never a row of bits, and each rule of hand working is restated as a sentence
about values. Shifting right and dropping the bits becomes "the floor of the value over the unit";
normalising becomes "the smallest exponent whose mantissa range holds the value"; the sum that did
not fit its mantissa becomes "the floor at twice the unit". Slow and plain on purpose: it is here
to be believed.

    decode, place_value_of            what a pattern is worth
    normal_exponent, brought_to       a value's own exponent; a value in m bits by a rounding
    by_rule, floor_pattern, nearest   a value in a format: by rounding, from below, closest
    encode                            the same, as the two orders of cutting and negating say it
    answer                            add and subtract by each of the seven methods
    check                             the verdict and the errors of a result

A *number* here is a pair (mantissa, exponent) of signed integers in a format of m mantissa bits
and e exponent bits, worth mantissa / 2^(m-1) * 2^exponent.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from typing import NamedTuple

Number = tuple[int, int]

METHODS = (
    "align-then-negate",
    "negate-then-align",
    "one-guard-bit",
    "exact-then-truncate",
    "exact-then-nearest",
    "size-and-sign",
    "spare-place-first",
)
OPERATIONS = ("add", "subtract")


class Answer(NamedTuple):
    """How a calculation ended.

    outcome  "in range", "zero", "overflow" or "underflow"
    number   the normalised (mantissa, exponent); None unless the outcome is "in range"
    """

    outcome: str
    number: Number | None


ZERO = Answer("zero", None)


# === What a pattern is worth ================================================================


def place_value_of(bits: str) -> int:
    """Return what a two's complement integer is worth, adding up its place values.

    "The leftmost weight is negative": -2^(n-1), then 2^(n-2) down to 1.

    >>> place_value_of("1110"), place_value_of("0011")
    (-2, 3)
    """
    weights = [2**place for place in reversed(range(len(bits)))]
    weights[0] = -weights[0]
    return sum(weight for weight, bit in zip(weights, bits, strict=True) if bit == "1")


@cache
def power_of_two(exponent: int) -> Fraction:
    """Return 2^exponent exactly, whatever its sign.

    >>> power_of_two(-3)
    Fraction(1, 8)
    """
    return Fraction(2**exponent) if exponent >= 0 else Fraction(1, 2**-exponent)


def value_of(number: Number, m: int) -> Fraction:
    """Return mantissa / 2^(m-1) * 2^exponent.

    >>> value_of((0b0110100, 3), 8)
    Fraction(13, 4)
    """
    mantissa, exponent = number
    return Fraction(mantissa, 2 ** (m - 1)) * power_of_two(exponent)


def split(pattern: int, m: int, e: int) -> Number:
    """Return the signed mantissa and exponent of a pattern written mantissa first.

    >>> split(0b01101000_0011, 8, 4)
    (104, 3)
    """
    bits = format(pattern, f"0{m + e}b")
    return place_value_of(bits[:m]), place_value_of(bits[m:])


def decode(m: int, e: int, pattern: int) -> Fraction:
    """Return the value of a pattern of m + e bits, normalised or not.

    >>> decode(8, 4, 0b10110000_1110)
    Fraction(-5, 32)
    """
    return value_of(split(pattern, m, e), m)


def lowest_exponent(e: int) -> int:
    """Return the most negative e-bit two's complement integer."""
    return -int(2 ** (e - 1))


def highest_exponent(e: int) -> int:
    """Return the largest e-bit two's complement integer."""
    return int(2 ** (e - 1)) - 1


def bits_of(number: Number, m: int, e: int) -> str:
    """Return the number's pattern, written mantissa first with one space between the fields.

    >>> bits_of((-80, 3), 8, 4)
    '10110000 0011'
    """
    mantissa, exponent = number
    return f"{mantissa % 2**m:0{m}b} {exponent % 2**e:0{e}b}"


def patterns(m: int, e: int) -> list[Number]:
    """Return every pattern of the format, in the order of its bits."""
    return [split(code, m, e) for code in range(2 ** (m + e))]


# === A value's own exponent and its m bits ==================================================


def normal_exponent(value: Fraction) -> int:
    """Return the exponent of a value that is not zero, in normal form.

    "Normalised when the first two mantissa bits differ" says that no smaller exponent would do:
    it is the smallest E for which -1 <= value / 2^E < 1, the whole range of a mantissa. So the
    size 1/2 has exponent 0, yet -1/2 is -1.0 with exponent -1.

    >>> normal_exponent(Fraction(1, 2)), normal_exponent(Fraction(-1, 2))
    (0, -1)
    """

    def holds(exponent: int) -> bool:
        edge = power_of_two(exponent)
        return -edge <= value < edge

    # The size is below 2^exponent here, by the lengths of its two parts; then look downwards.
    exponent = value.numerator.bit_length() - value.denominator.bit_length() + 1
    assert value != 0
    while holds(exponent - 1):
        exponent -= 1
    return exponent


@cache
def unit(exponent: int, m: int) -> Fraction:
    """Return what the last place of an m-bit mantissa is worth at an exponent.

    >>> unit(3, 8)
    Fraction(1, 16)
    """
    return power_of_two(exponent - (m - 1))


def toward_zero(x: Fraction) -> int:
    """Return the whole number next to x on the side of zero."""
    size: int = math.floor(abs(x))
    return size if x >= 0 else -size


def nearest_even(x: Fraction) -> int:
    """Return the whole number nearest to x; of two equally near, the even one."""
    below: int = math.floor(x)
    if x - below == Fraction(1, 2):
        return below if below % 2 == 0 else below + 1
    return below if x - below < Fraction(1, 2) else below + 1


def nearest_away(x: Fraction) -> int:
    """Return the whole number nearest to x; of two equally near, the larger in size."""
    size: int = math.floor(abs(x) + Fraction(1, 2))
    return size if x >= 0 else -size


ROUNDINGS: dict[str, Callable[[Fraction], int]] = {
    "cut": math.floor,
    "cut size": toward_zero,
    "nearest": nearest_even,
    "nearest away": nearest_away,
}


def brought_to(value: Fraction, m: int, rounding: str) -> Number:
    """Return a value that is not zero as a normalised m-bit number, exponents without limit.

    The value is counted in units of the last place at its own exponent and rounded to a whole
    number of them; where that rounding reaches the next power of two, the number is written in
    its new normal form (the value does not change by that).

    A tie goes to the even count of units at the value's own exponent. From three mantissa bits
    on that is the one whose mantissa is even; two-bit mantissas all have the same last bit.

    >>> brought_to(Fraction(-53, 10), 8, "cut"), brought_to(Fraction(-53, 10), 8, "cut size")
    ((-85, 3), (-84, 3))
    >>> brought_to(Fraction(255, 256), 8, "nearest")
    (64, 1)
    """
    last_place = unit(normal_exponent(value), m)
    rounded = ROUNDINGS[rounding](value / last_place) * last_place
    exponent = normal_exponent(rounded)
    mantissa = rounded / unit(exponent, m)
    assert mantissa.denominator == 1
    return int(mantissa), exponent


def judged(number: Number, e: int) -> Answer:
    """Return a normalised number, or the word for where its exponent went.

    "Exponent overflow and underflow are judged on the working's own result."
    """
    _, exponent = number
    if exponent > highest_exponent(e):
        return Answer("overflow", None)
    if exponent < lowest_exponent(e):
        return Answer("underflow", None)
    return Answer("in range", number)


def by_rule(x: Fraction, m: int, e: int, rounding: str) -> Answer:
    """Return x itself brought into the format by a rounding.

    >>> by_rule(Fraction(23, 5), 8, 4, "cut")
    Answer(outcome='in range', number=(73, 3))
    """
    return ZERO if x == 0 else judged(brought_to(x, m, rounding), e)


# === The numbers of a format ================================================================


@cache
def numbers_in_order(m: int, e: int) -> tuple[tuple[Fraction, Number], ...]:
    """Return every normalised number and zero, from the most negative up, with its value.

    "First two mantissa bits differ, zero excepted"; zero has the lowest exponent.
    """
    normalised = [
        mantissa
        for mantissa in range(-(2 ** (m - 1)), 2 ** (m - 1))
        if bits_of((mantissa, 0), m, e)[:2] in ("01", "10")
    ]
    exponents = range(lowest_exponent(e), highest_exponent(e) + 1)
    numbers = [(mantissa, exponent) for mantissa in normalised for exponent in exponents]
    numbers.append((0, lowest_exponent(e)))
    return tuple(sorted((value_of(number, m), number) for number in numbers))


def stored(result: Answer, e: int) -> Number | None:
    """Return what is written down for a result: zero as 0 at the lowest exponent, None for a word."""
    return (0, lowest_exponent(e)) if result.outcome == "zero" else result.number


def stored_bits(result: Answer, m: int, e: int) -> str | None:
    """Return the pattern of `stored`.

    >>> stored_bits(ZERO, 8, 4)
    '00000000 1000'
    """
    number = stored(result, e)
    return None if number is None else bits_of(number, m, e)


def floor_pattern(x: Fraction, m: int, e: int) -> Number | None:
    """Return the largest number of the format that is not above x, by looking through them all.

    None when every number is above x. Zero counts; for small formats only.
    """
    ordered = numbers_in_order(m, e)
    place = bisect_right(ordered, x, key=lambda entry: entry[0])
    return ordered[place - 1][1] if place else None


def extremes(m: int, e: int) -> dict[str, Number]:
    """Return the four ends of the normalised range.

    >>> value_of(extremes(8, 4)["largest positive"], 8)
    Fraction(127, 1)
    """
    high, low = highest_exponent(e), lowest_exponent(e)
    return {
        "largest positive": (2 ** (m - 1) - 1, high),
        "smallest positive": (2 ** (m - 2), low),
        "largest negative": (-(2 ** (m - 2)) - 1, low),
        "most negative": (-(2 ** (m - 1)), high),
    }


def nearest(x: Fraction, m: int, e: int) -> list[Number]:
    """Return the number of the format nearest to x, or both when two are equally near.

    Lower value first. The candidates are the neighbours of x at its own exponent, zero and the
    four ends of the range: nothing else in the format can be nearer than all of those. (The tests
    compare this with a look through all the numbers.)

    >>> nearest(Fraction(23, 5), 8, 4)
    [(74, 3)]
    """
    candidates = {(0, lowest_exponent(e)), *extremes(m, e).values()}
    if x != 0:
        last_place = unit(normal_exponent(x), m)
        for count in (math.floor(x / last_place), math.ceil(x / last_place)):
            if count != 0:
                found = judged(brought_to(count * last_place, m, "cut"), e)
                candidates |= {found.number} if found.number else set()
    distance = {number: abs(x - value_of(number, m)) for number in candidates}
    least = min(distance.values())
    return sorted(
        (number for number in candidates if distance[number] == least),
        key=lambda number: value_of(number, m),
    )


def encode(x: Fraction, m: int, e: int, rounding: str = "cut") -> Answer:
    """Return a value written in the format.

    "cut": the two's complement pattern is written as far as needed and cut, which leaves the
    value of the places kept and so goes toward minus infinity. "cut size": the size is cut, then
    negated, so the size never grows. "nearest" and "nearest away": the size goes to the nearest.

    >>> encode(Fraction(-53, 10), 8, 4, "cut size")
    Answer(outcome='in range', number=(-84, 3))
    """
    if x == 0:
        return ZERO
    if rounding == "cut":
        return judged(brought_to(x, m, "cut"), e)
    size = "cut" if rounding == "cut size" else rounding
    rounded_size = value_of(brought_to(abs(x), m, size), m)
    signed = rounded_size if x > 0 else -rounded_size
    # Exact: only -1/2 * 2^E, which is written -1 * 2^(E-1), changes its form here.
    return judged(brought_to(signed, m, "cut"), e)


# === Add and subtract =======================================================================


def exact_answer(operation: str, a: Fraction, b: Fraction) -> Fraction:
    """Return a + b or a - b."""
    return a + b if operation == "add" else a - b


def common_unit(first: Number, second: Number, m: int, operands: str) -> Fraction:
    """Return what the last place of both mantissas is worth once their exponents match.

    The larger exponent is kept; it is the operand's normal exponent, or the one it is written with
    where a course aligns operands "as written".
    """
    if operands == "as written":
        return unit(max(first[1], second[1]), m)
    return unit(max(normal_exponent(value_of(number, m)) for number in (first, second)), m)


def unfinished_sum(operation: str, method: str, a: Fraction, b: Fraction, last_place: Fraction) -> Fraction:
    """Return the value of the mantissa sum a method writes down, before it is brought to m bits.

    Neither operand is zero. *last_place* is what the last place of the larger exponent's mantissa
    is worth; aligning leaves each operand a whole number of them.
    """

    def cut_at(value: Fraction, place: Fraction) -> Fraction:
        """A shift right that drops bits goes toward minus infinity, at whatever place it cuts."""
        return math.floor(value / place) * place

    if method in ("exact-then-truncate", "exact-then-nearest"):
        # "Write both out in full": nothing is cut before the end.
        return exact_answer(operation, a, b)
    if method == "negate-then-align":
        # The subtrahend changes sign first, so it is the negative that is shifted and cut.
        addend = b if operation == "add" else -b
        return cut_at(a, last_place) + cut_at(addend, last_place)
    if method == "size-and-sign":
        # "Tails cut toward zero": the sizes are shifted, and signs put back afterwards.
        sizes = [toward_zero(value / last_place) * last_place for value in (a, b)]
        return exact_answer(operation, *sizes)
    place = {
        "align-then-negate": last_place,
        "one-guard-bit": last_place / 2,
        "spare-place-first": last_place * 2,
    }[method]
    return exact_answer(operation, cut_at(a, place), cut_at(b, place))


FINAL_ROUNDING = {"exact-then-nearest": "nearest", "size-and-sign": "cut size"}
"""How a method brings its sum to m bits, where that is not by a cut of the pattern."""


def total_of(
    operation: str, method: str, numbers: tuple[Number, Number], m: int, operands: str = "normalise first"
) -> Fraction:
    """Return the sum as `unfinished_sum` does, of operands that may be zero.

    "Zero operand: the answer is the other operand (negated if it was taken away)", no bit lost.
    """
    first, second = (value_of(number, m) for number in numbers)
    if first == 0 or second == 0:
        return exact_answer(operation, first, second)
    last_place = common_unit(*numbers, m, operands)
    return unfinished_sum(operation, method, first, second, last_place)


def answer(operation: str, method: str, numbers: tuple[Number, Number], m: int, e: int) -> Answer:
    """Return what a method arrives at for two operands, normalised or not.

    "Un-normalised operands are normalised first": that changes no value, and only the values are
    used here. The sum that is too long for m bits is repaired, and the one that is not normalised
    is shifted left: both say that it is brought to m bits at its own exponent. Range is judged at
    the end.

    >>> answer("subtract", "align-then-negate", ((0b010111, 3), (0b010100, 1)), 6, 4)
    Answer(outcome='in range', number=(18, 3))
    """
    return finished(total_of(operation, method, numbers, m), method, m, e)


def finished(total: Fraction, method: str, m: int, e: int) -> Answer:
    """Return a method's sum brought to m bits and judged."""
    if total == 0:
        return ZERO
    return judged(brought_to(total, m, FINAL_ROUNDING.get(method, "cut")), e)


def left_un_normalised(total: Fraction, m: int, e: int) -> Answer:
    """Return an underflowed sum as a course that keeps it writes it: at the lowest exponent.

    Nothing is lost by that. Every pattern is a whole number of the format's smallest unit, and so
    is what any method makes of two of them.
    """
    mantissa = total / unit(lowest_exponent(e), m)
    assert mantissa.denominator == 1
    return Answer("in range", (int(mantissa), lowest_exponent(e)))


# === The check ==============================================================================


class Check(NamedTuple):
    """What the exact answer says about a result.

    The errors are None beside the words overflow and underflow, which have no value. The relative
    error is None where the exact answer is zero, and an error is not counted in last places where
    the result is zero: "its exponent means nothing", so neither does its last place.
    """

    verdict: str
    exact: Fraction
    nearest: list[Number]
    by_rule: Answer
    error: Fraction | None
    unavoidable_error: Fraction
    relative_error: Fraction | None
    error_ulps: Fraction | None


def verdict(x: Fraction, result: Answer, m: int, e: int, rounding: str) -> str:
    """Return the one verdict that fits an exact answer x and a result.

    "exact; truncation error (x has a normalised pattern, the working missed it); representation
    error (x has none, and the result is nearest or by_rule); representation and truncation error
    (none, and the result is neither); overflow; underflow."
    """
    written = stored(result, e)
    if written is None:
        return result.outcome
    closest = nearest(x, m, e)
    if x == value_of(written, m):
        return "exact"
    if x == value_of(closest[0], m):
        return "truncation error"
    if written in closest or result == by_rule(x, m, e, rounding):
        return "representation error"
    return "representation and truncation error"


def check(x: Fraction, result: Answer, m: int, e: int, rounding: str = "cut") -> Check:
    """Return the verdict and the errors of a result whose exact answer is x.

    error            x - result
    unavoidable      |x - nearest|, "the part no pattern can avoid"
    relative_error   |error| / |x|
    error_ulps       |error| in units in the last place of the result
    """
    closest = nearest(x, m, e)
    error = relative = ulps = None
    written = stored(result, e)
    if written is not None:
        error = x - value_of(written, m)
        relative = abs(error) / abs(x) if x != 0 else None
        if error == 0:
            ulps = Fraction(0)
        elif result.number:
            ulps = abs(error) / unit(result.number[1], m)
    return Check(
        verdict=verdict(x, result, m, e, rounding),
        exact=x,
        nearest=closest,
        by_rule=by_rule(x, m, e, rounding),
        error=error,
        unavoidable_error=abs(x - value_of(closest[0], m)),
        relative_error=relative,
        error_ulps=ulps,
    )

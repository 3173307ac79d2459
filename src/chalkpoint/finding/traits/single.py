"""Traits of questions with one operand: a pattern read, normalised or negated, or a value stored."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.finding.measures import reads_the_same
from chalkpoint.finding.trait import COMPARISONS, Holds, Trait
from chalkpoint.numbers.fitting import fit
from chalkpoint.numbers.formats import Pattern
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.working import Working

__all__ = [
    "OPERAND_TRAITS",
    "PATTERN_TRAITS",
    "PRODUCT_TRAITS",
    "RESULT_TRAITS",
    "VALUE_TRAITS",
    "is_tie",
    "ones",
]


def _pattern(working: Working) -> Pattern:
    pattern: Pattern = working.question.patterns[0]
    return pattern


def decimal_places(value: Fraction) -> int | None:
    """Return the digits after the decimal point of *value*; None where they never end.

    >>> decimal_places(Fraction(13, 40)), decimal_places(Fraction(1, 3))
    (3, None)
    """
    twos, rest = _without(value.denominator, 2)
    fives, rest = _without(rest, 5)
    return max(twos, fives) if rest == 1 else None


def _without(number: int, factor: int) -> tuple[int, int]:
    times = 0
    while number % factor == 0:
        number //= factor
        times += 1
    return times, number


def recurring_period(value: Fraction) -> int:
    """Return how many binary digits of *value* repeat, 0 where they end.

    >>> recurring_period(Fraction(1, 10)), recurring_period(Fraction(3, 8))
    (4, 0)
    """
    _, odd = _without(value.denominator, 2)
    if odd == 1:
        return 0
    period, power = 1, 2 % odd
    while power != 1:
        period, power = period + 1, power * 2 % odd
    return period


def bits_needed(value: Fraction) -> int | None:
    """Return the least mantissa that holds *value*, in bits, 2 at least; None where none does.

    >>> bits_needed(Fraction(239, 4)), bits_needed(Fraction(-4)), bits_needed(Fraction(1, 10))
    (9, 2, None)
    """
    if _without(value.denominator, 2)[1] != 1:
        return None
    _, odd = _without(value.numerator, 2) if value else (0, 0)
    return max((odd if odd > 0 else ~odd).bit_length() + 1, 2)


def _roundings(working: Working) -> dict[str, tuple[int, int]]:
    value, fmt = working.question.value, working.question.float_format
    if value == 0:
        return dict.fromkeys(ROUNDINGS, (0, 0))
    fitted = {name: fit(value, fmt, rounding) for name, rounding in ROUNDINGS.items()}
    return {name: (one.mantissa, one.exponent) for name, one in fitted.items()}


def _differ(one: str, other: str) -> Callable[[Working], bool]:
    return lambda working: _roundings(working)[one] != _roundings(working)[other]


def is_tie(working: Working) -> bool:
    """Tell whether the exact answer lies half way between two patterns."""
    return len(working.check.nearest_patterns) == 2


def _round_carries(working: Working) -> bool:
    rounded = _roundings(working)
    return rounded["cut"][1] != rounded["nearest"][1]


def _number(measure: Callable[[Working], Fraction | int | None]) -> Holds:
    """Return how to compare a number that a question may lack; a question without it meets nothing."""

    def holds(working: Working, comparison: str, value: Fraction) -> bool:
        seen = measure(working)
        return seen is not None and bool(COMPARISONS[comparison](seen, value))

    return holds


def _norm_shift(working: Working) -> int:
    for step in working.steps:
        if step.rule == "normalise":
            return int(step.before.exponent - step.after.exponent)
    return 0


def ones(working: Working) -> int:
    """Return how many 1s the operands have."""
    return "".join(working.question.operands).count("1")


def _palindromic(working: Working) -> bool:
    bits = working.question.float_format.mantissa_bits
    return any(
        bool(reads_the_same(pattern.mantissa, bits)) or bool(whole == whole[::-1])
        for pattern, whole in zip(
            working.question.patterns,
            (operand.replace(" ", "") for operand in working.question.operands),
            strict=True,
        )
    )


def _loses_normal_form(working: Working) -> bool:
    normal: bool = working.question.float_format.is_normalised(_pattern(working))
    return not normal


def _sign_changes(working: Working) -> bool:
    result = working.pattern
    if result is None or result.mantissa == 0:
        return False
    return bool((result.exponent < 0) != (_pattern(working).exponent < 0))


def _exponent_edge(working: Working) -> bool:
    fmt = working.question.float_format
    return _pattern(working).exponent in {fmt.lowest_exponent, fmt.highest_exponent}


OPERAND_TRAITS = (
    Trait(
        "sign-pattern",
        "sign of the operand, zero counting as positive",
        "choice",
        lambda working: int(_pattern(working).mantissa < 0),
        choices=("+", "-"),
    ),
    Trait(
        "exponent-signs",
        "sign of the exponent, 0 counting as positive",
        "choice",
        lambda working: int(_pattern(working).exponent < 0),
        choices=("positive", "negative"),
    ),
    Trait(
        "exponent-edge",
        "the exponent is the lowest or the highest of the format",
        "yes or no",
        _exponent_edge,
    ),
    Trait(
        "operand-minus-one",
        "the mantissa is -1.0",
        "yes or no",
        lambda working: _pattern(working).mantissa == -(1 << working.question.format.places),
    ),
    Trait(
        "operand-zero", "the operand is zero", "yes or no", lambda working: _pattern(working).mantissa == 0
    ),
    Trait(
        "operand-not-normalised",
        "the operand's first two bits are alike and it is not zero",
        "yes or no",
        _loses_normal_form,
    ),
    Trait(
        "palindromic-bits",
        "the mantissa or the whole pattern is the same read backwards",
        "yes or no",
        _palindromic,
    ),
    Trait("sparse", "1s in the pattern", "number", ones, most=lambda fmt: fmt.bits),
)

RESULT_TRAITS = (
    Trait(
        "norm-shift",
        "places the mantissa is shifted left to bring it to normal form",
        "number",
        _norm_shift,
        most=lambda fmt: fmt.places,
    ),
    Trait(
        "mantissa-overflow",
        "the negated mantissa does not fit: one shift right",
        "yes or no",
        lambda working: any(step.rule == "repair" for step in working.steps),
    ),
    Trait(
        "needs-exponent-sign-change",
        "the result's exponent and the operand's have different signs (0 is positive)",
        "yes or no",
        _sign_changes,
    ),
    Trait(
        "exponent-overflow",
        "the result's exponent is above the highest",
        "yes or no",
        lambda w: w.outcome == "overflow",
    ),
    Trait(
        "exponent-underflow",
        "the result's exponent is below the lowest",
        "yes or no",
        lambda w: w.outcome == "underflow",
    ),
)

DECIMAL_TRAITS = (
    Trait(
        "decimal-places",
        "digits after the decimal point of the value",
        "number",
        holds=_number(lambda working: decimal_places(working.question.values[0])),
        most=lambda fmt: fmt.places - fmt.lowest_exponent,
    ),
    Trait(
        "bits-needed",
        "least mantissa, in bits, that holds the value",
        "number",
        holds=_number(lambda working: bits_needed(working.question.values[0])),
        most=lambda fmt: fmt.mantissa_bits,
    ),
)
PATTERN_TRAITS = (*OPERAND_TRAITS, *DECIMAL_TRAITS)
VALUE_TRAITS = (
    *DECIMAL_TRAITS,
    Trait(
        "sign-pattern",
        "sign of the value, zero counting as positive",
        "choice",
        lambda working: int(working.question.value < 0),
        choices=("+", "-"),
    ),
    Trait(
        "terminating",
        "the value's binary digits end",
        "yes or no",
        lambda working: recurring_period(working.question.value) == 0,
    ),
    Trait(
        "recurring-period",
        "how many binary digits repeat, 0 where they end",
        "number",
        holds=_number(lambda working: recurring_period(working.question.value)),
        most=lambda fmt: 100,
    ),
    Trait(
        "exact-result",
        "the pattern stored is exactly the value",
        "yes or no",
        lambda w: w.check.verdict == "exact",
    ),
    Trait(
        "not-representable",
        "the value has no normalised pattern in the format",
        "yes or no",
        lambda w: not w.check.fits,
    ),
    Trait(
        "truncate-vs-nearest-differ",
        "cutting and rounding to nearest differ",
        "yes or no",
        _differ("cut", "nearest"),
    ),
    Trait(
        "cut-order-sensitive",
        "cutting then negating differs from negating then cutting",
        "yes or no",
        _differ("cut", "cut size"),
    ),
    Trait("tie", "the value lies halfway between two patterns", "yes or no", is_tie),
    Trait("round-carries", "rounding to nearest changes the exponent", "yes or no", _round_carries),
    Trait(
        "error-ulps",
        "size of the error in units in the last place",
        "number",
        holds=_number(lambda working: working.check.error_ulps),
        examples=("error-ulps >= 1/2",),
    ),
    Trait(
        "error-relative",
        "size of the error against the size of the value",
        "number",
        holds=_number(lambda working: working.check.relative_error),
        examples=("error-relative >= 1/100",),
    ),
    *RESULT_TRAITS[-2:],
)


def _signs(working: Working) -> int:
    first, second = (pattern.mantissa < 0 for pattern in working.question.patterns)
    return 2 * int(first) + int(second)


def _some_mantissa(mantissa: Callable[[Working], int]) -> Callable[[Working], bool]:
    return lambda working: any(pattern.mantissa == mantissa(working) for pattern in working.question.patterns)


PRODUCT_TRAITS = (
    Trait(
        "sign-pattern",
        "signs of the operands, zero counting as positive",
        "choice",
        _signs,
        choices=("++", "+-", "-+", "--"),
    ),
    Trait(
        "operand-minus-one",
        "some mantissa is -1.0",
        "yes or no",
        _some_mantissa(lambda working: -(1 << working.question.format.places)),
    ),
    Trait("operand-zero", "some operand is zero", "yes or no", _some_mantissa(lambda working: 0)),
    *(trait for trait in OPERAND_TRAITS if trait.name in {"palindromic-bits", "sparse"}),
    Trait(
        "representable-but-wrong",
        "the exact answer has a pattern, and the working misses it",
        "yes or no",
        lambda w: w.check.fits and w.check.verdict != "exact",
    ),
    Trait("result-zero", "the answer is zero", "yes or no", lambda working: working.outcome == "zero"),
    Trait(
        "decimal-places",
        "digits after the decimal point of the exact answer, where they end",
        "number",
        holds=_number(lambda working: decimal_places(working.check.exact)),
        most=lambda fmt: 2 * (fmt.places - fmt.lowest_exponent),
        examples=("decimal-places <= 3",),
    ),
    Trait(
        "bits-needed",
        "least mantissa, in bits, that holds the exact answer, where one does",
        "number",
        holds=_number(lambda working: bits_needed(working.check.exact)),
        most=lambda fmt: 2 * fmt.mantissa_bits,
        examples=("bits-needed <= 8",),
    ),
    *(
        trait
        for trait in (*VALUE_TRAITS, *RESULT_TRAITS)
        if trait.name
        in {"exact-result", "not-representable", "tie", "error-ulps", "error-relative", "norm-shift"}
    ),
    *RESULT_TRAITS[-2:],
)

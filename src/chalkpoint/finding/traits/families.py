"""Traits of questions in formats that are not the school's: those every family has, and which each has besides.

They look at one worked question, or in whole numbers and fixed point at many pairs at once (`whole.py`). What has no
meaning in a family is not among its traits.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache

from chalkpoint.finding.case import case_of
from chalkpoint.finding.trait import COMPARISONS, AnyCase, Holds, Trait
from chalkpoint.finding.traits.aligning import ALIGNING
from chalkpoint.finding.traits.single import decimal_places, is_tie, ones, recurring_period
from chalkpoint.finding.traits.sizes import UNDERFLOW, traits_of_sizes
from chalkpoint.finding.traits.summing import SUMMING
from chalkpoint.finding.traits.whole import traits_of_columns, whole_exposes, whole_looks
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat, value_or_none
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import OPERATIONS, Question

__all__ = ["family_groups", "family_trait", "family_traits"]

EXPOSES = "exposes"
ADDING = ("add", "subtract")


# === What every family has ===


def _values(question: Question) -> list[Fraction | None]:
    """Return the value of each operand; None for an infinity and NaN."""
    if question.operation.takes == "values":
        return list(question.values)
    return [value_or_none(question.format, pattern) for pattern in question.patterns]


def _signs(case: AnyCase) -> int:
    question, number = case.question, 0
    for at, value in enumerate(_values(question)):
        if value is None:
            pattern = question.patterns[at]
            negative = question.format.kind(pattern) == "infinity" and bool(pattern.sign)
        else:
            negative = value < 0
        number = 2 * number + int(negative)
    return number


def _is_zero(case: AnyCase) -> bool:
    return any(value == 0 for value in _values(case.question))


def _number(measure: Callable[[AnyCase], int | None]) -> Holds:
    """Return how to compare a number that a question may lack; one without it meets nothing."""

    def holds(case: AnyCase, comparison: str, value: object) -> bool:
        seen = measure(case)
        return seen is not None and bool(COMPARISONS[comparison](seen, value))

    return holds


def _places(case: AnyCase) -> int | None:
    exact = case.check.exact
    return None if case.check.special else decimal_places(exact)


def _common(operation: str) -> tuple[Trait, ...]:
    two = OPERATIONS[operation].operands == 2 and operation != "convert"
    signs = ("++", "+-", "-+", "--") if two else ("+", "-")
    traits = [
        Trait(
            "sign-pattern",
            "signs of the operands, zero counting as positive",
            "choice",
            _signs,
            choices=signs,
        ),
        Trait("operand-zero", "some operand is zero", "yes or no", _is_zero),
        Trait("exact-result", "the answer is exact", "yes or no", lambda case: case.check.verdict == "exact"),
        Trait("result-zero", "the answer is zero", "yes or no", lambda case: case.outcome == "zero"),
        Trait(
            "overflow",
            "the answer lies past an end of the range",
            "yes or no",
            lambda case: case.check.verdict == "overflow" or case.outcome == "overflow",
        ),
        Trait(
            "decimal-places",
            "digits after the decimal point of the exact answer, where they end",
            "number",
            holds=_number(_places),
            most=lambda fmt: 64,
            examples=("decimal-places <= 3",),
        ),
    ]
    if OPERATIONS[operation].takes == "values":
        traits.append(
            Trait(
                "terminating",
                "the value's binary digits end",
                "yes or no",
                lambda case: recurring_period(case.question.value) == 0,
            )
        )
        traits.append(Trait("tie", "the value lies half way between two patterns", "yes or no", is_tie))
    else:
        traits.append(Trait("sparse", "1s in the patterns", "number", ones, most=lambda fmt: 2 * fmt.bits))
    return tuple(traits)


# === Mantissas in two's complement whose exponents, or fields, are not the school's ===


@cache
def _of_mantissas(operation: str) -> tuple[Trait, ...]:
    """Return what sums of mantissas do in matching the exponents, adding and normalising."""
    if operation not in ADDING:
        return ()
    return tuple(_of_working(trait) for trait in (*ALIGNING, *SUMMING) if trait.name != "result-zero")


def _of_working(trait: Trait) -> Trait:
    """Return *trait*, which looks at a pair of patterns, as it looks at their working."""
    look, holds = trait.look, trait.holds
    return replace(
        trait,
        look=None if look is None else lambda working: look(_pair(working)),
        holds=None if holds is None else lambda working, sign, value: holds(_pair(working), sign, value),
    )


def _pair(working: AnyCase) -> AnyCase:
    question = working.question
    return case_of(question.operation.name, question.course, *question.patterns)


# === Which there are ===


def family_groups(operation: str, fmt: AnyFormat) -> tuple[tuple[Trait, ...], tuple[Trait, ...]]:
    """Return the traits that every family has, and those of *fmt*'s own working."""
    own: tuple[Trait, ...] = (UNDERFLOW,) if operation == "convert" else ()
    common = _common(operation)
    if operation == "convert":
        return common, own
    if fmt.family == WHOLE:
        if operation in ADDING:
            common = whole_looks(common)
        own = traits_of_columns(operation, fmt.field.kind)
    elif fmt.family == SIZES:
        own = traits_of_sizes(operation)
    elif fmt.family == FLOATING:
        own = _of_mantissas(operation)
    return common, own


@cache
def family_traits(operation: str, fmt: AnyFormat) -> dict[str, Trait]:
    """Return the traits of *operation* in *fmt*, by name.

    >>> from chalkpoint.numbers.named import format_called
    >>> "end-around-carry" in family_traits("add", format_called("8 ones-complement"))
    True
    """
    common, own = family_groups(operation, fmt)
    return {trait.name: trait for trait in (*common, *own)}


def family_trait(name: str, operation: str, fmt: AnyFormat) -> Trait:
    """Return the trait called *name*, such as "carry-out" or "exposes:invert-only"; EntryError where there is none.

    >>> from chalkpoint.numbers.named import format_called
    >>> family_trait("carry-out", "add", format_called("8")).kind
    'yes or no'
    """
    kind, colon, belief = name.partition(":")
    if colon and kind == EXPOSES:
        known = [one.id for one in beliefs_for(operation, family_of(fmt))]
        if belief not in known:
            raise EntryError(
                f"{belief!r} is not a belief about {operation} in {fmt}; {near_misses(belief, known)}"
            )
        together = fmt.family == WHOLE and operation in ADDING
        look = whole_exposes(belief) if together else _exposes(belief)
        return Trait(name, f"{belief} gives a wrong answer", "yes or no", look)
    traits = family_traits(operation, fmt)
    if name not in traits:
        names = [*traits, f"{EXPOSES}:X"]
        raise EntryError(f"{name!r} is not a trait of {operation} in {fmt}; {near_misses(name, names)}")
    return traits[name]


def _exposes(name: str) -> Callable[[AnyCase], bool]:
    def look(case: AnyCase) -> bool:
        question = case.question
        right = right_method(question.operation.name, question.course)
        wrong = BELIEFS[name].method_for(question.operation.name, right, family_of(question.format))
        return wrong is not None and answer_by(wrong, question) != answer_by(right, question)

    return look

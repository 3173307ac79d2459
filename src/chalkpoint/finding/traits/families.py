"""Traits of questions in whole numbers, fixed point, and formats of a sign, an exponent and a size, by family.

They look at one worked question; what has no meaning in a family is not among its traits.
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
from chalkpoint.finding.traits.summing import SUMMING
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat, value_or_none
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.page import AnyPage
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import OPERATIONS, Question

__all__ = ["family_groups", "family_trait", "family_traits"]

EXPOSES = "exposes"
ADDING, SCALING = ("add", "subtract"), ("multiply", "divide")


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
    two = OPERATIONS[operation].operands == 2
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


# === Columns: whole numbers and fixed point ===


def _page(case: AnyCase, *rules: str) -> AnyPage:
    """Return the page after the first line that is one of *rules*; None where none is written."""
    return next((step.after for step in case.steps if step.rule in rules), None)


def _columns(case: AnyCase) -> tuple[int, int, int]:
    """Return both rows that are added or taken away, as unsigned numbers, and their width."""
    bits = case.question.format.bits
    page = _page(case, "add", "take_away")
    columns = (1 << bits) - 1
    return (page.first & columns, page.second & columns, bits) if page is not None else (0, 0, bits)


def _carries(case: AnyCase) -> int:
    """Return a 1 in each column that a carry came into, and one past the first place for the carry out."""
    first, second, _ = _columns(case)
    return first ^ second ^ (first + second)


def _borrows(case: AnyCase) -> int:
    """Return a 1 in each column that was borrowed from, and one past the first place."""
    first, second, bits = _columns(case)
    return (first ^ second ^ (first - second)) & ((2 << bits) - 1)


def _chain(carries: int) -> int:
    longest = 0
    while carries:
        longest, carries = longest + 1, carries & (carries >> 1)
    return longest


def _width(case: AnyCase) -> int:
    return int(case.question.format.bits)


CARRYING = (
    Trait(
        "carry-into-sign",
        "a carry comes into the first place",
        "yes or no",
        lambda case: _carries(case) >> (_width(case) - 1) & 1 == 1,
    ),
    Trait(
        "carry-out",
        "a carry leaves the first place",
        "yes or no",
        lambda case: _carries(case) >> _width(case) & 1 == 1,
    ),
    Trait(
        "carries",
        "columns that a carry comes into, the carry out among them",
        "number",
        lambda case: _carries(case).bit_count(),
        most=lambda fmt: fmt.bits,
    ),
    Trait(
        "carry-chain",
        "the most carries in a row",
        "number",
        lambda case: _chain(_carries(case)),
        most=lambda fmt: fmt.bits,
    ),
)
BORROWING = (
    Trait(
        "borrows",
        "columns that are borrowed from, one past the first among them",
        "number",
        lambda case: _borrows(case).bit_count(),
        most=lambda fmt: fmt.bits,
    ),
    Trait(
        "borrow-past-first",
        "something is borrowed past the first place",
        "yes or no",
        lambda case: _borrows(case) >> _width(case) & 1 == 1,
    ),
)
AROUND = Trait(
    "end-around-carry",
    "a carry comes round to the last place",
    "yes or no",
    lambda case: any(step.rule == "around" for step in case.steps),
)


def _of_columns(operation: str, kind: str) -> tuple[Trait, ...]:
    if operation not in ADDING or kind == "sign and magnitude":
        return ()
    if operation == "subtract" and kind in {"unsigned", "excess"}:
        return BORROWING
    return (*CARRYING, AROUND) if kind == "ones' complement" else CARRYING


# === A sign, an exponent and a size ===


def _step(case: AnyCase, rule: str) -> AnyCase:
    return next((step for step in case.steps if step.rule == rule), None)


def _apart(case: AnyCase) -> int:
    step = _step(case, "align")
    if step is None or not step.before.first or not step.before.second:
        return 0
    apart: int = abs(step.before.first_exponent - step.before.second_exponent)
    return apart


def _rest(case: AnyCase) -> int:
    """Return the digits that rounding takes, in units of the last place kept beyond the format's."""
    step = _step(case, "round")
    return 0 if step is None else step.before.total & ((1 << step.before.extra) - 1)


def _half(case: AnyCase) -> int:
    step = _step(case, "round")
    return 0 if step is None else (1 << step.before.extra) >> 1


def _kinds(case: AnyCase) -> list[str]:
    fmt = case.question.format
    return [fmt.kind(pattern) for pattern in case.question.patterns]


def _absorbed(case: AnyCase) -> bool:
    if case.pattern is None or case.question.operation.name not in ADDING:
        return False
    fmt = case.question.format
    answer = value_or_none(fmt, case.pattern)
    first, second = _values(case.question)
    if None in {answer, first, second} or not first or not second:
        return False
    other = second if case.question.operation.name == "add" else -second
    return answer in {first, other}


def _cancelled(case: AnyCase) -> int:
    step = _step(case, "renormalise")
    return 0 if step is None else max(0, step.before.exponent - step.after.exponent)


def _carried(case: AnyCase) -> bool:
    step = _step(case, "round")
    return step is not None and bool(step.after.carried)


SIZED = (
    Trait(
        "subnormal-operand",
        "some operand is subnormal",
        "yes or no",
        lambda case: "subnormal" in _kinds(case),
    ),
    Trait(
        "special-operand",
        "some operand is an infinity or no number",
        "yes or no",
        lambda case: bool({"infinity", "not a number"} & set(_kinds(case))),
    ),
)
ENDED = (
    Trait(
        "subnormal-result",
        "the answer is subnormal",
        "yes or no",
        lambda case: case.pattern is not None and case.question.format.kind(case.pattern) == "subnormal",
    ),
    Trait(
        "underflow",
        "the answer lies too near to zero",
        "yes or no",
        lambda case: case.check.verdict == "underflow" or case.outcome == "underflow",
    ),
)
ROUNDED = (
    Trait(
        "sticky",
        "1s are lost past the round place, so that only the sticky place tells of them",
        "yes or no",
        lambda case: _rest(case) & 1 == 1,
    ),
    Trait(
        "tie",
        "what is rounded off is just a half",
        "yes or no",
        lambda case: bool(_rest(case)) and _rest(case) == _half(case),
    ),
    Trait("rounding-carries", "rounding makes a digit more", "yes or no", _carried),
)
ALIGNED = (
    Trait(
        "align-shift",
        "places that the size with the smaller exponent is moved",
        "number",
        _apart,
        most=lambda fmt: 1 << fmt.exponent_bits,
    ),
    Trait("absorbed", "an operand that is not zero changes nothing", "yes or no", _absorbed),
    Trait(
        "cancelled",
        "places that the sum is moved left",
        "number",
        _cancelled,
        most=lambda fmt: fmt.digits,
    ),
)


def _of_sizes(operation: str) -> tuple[Trait, ...]:
    if OPERATIONS[operation].takes == "values":
        return ENDED
    if operation not in (*ADDING, *SCALING):
        return SIZED
    return (*SIZED, *ENDED, *ROUNDED, *(ALIGNED if operation in ADDING else ()))


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
    own: tuple[Trait, ...] = ()
    if fmt.family == WHOLE:
        own = _of_columns(operation, fmt.field.kind)
    elif fmt.family == SIZES:
        own = _of_sizes(operation)
    elif fmt.family == FLOATING:
        own = _of_mantissas(operation)
    return _common(operation), own


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
        return Trait(name, f"{belief} gives a wrong answer", "yes or no", _exposes(belief))
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

"""Traits of questions in formats of a sign, an exponent and a size: aligning, rounding, and the special values."""

from __future__ import annotations

from chalkpoint.finding.trait import AnyCase, Trait
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.question import OPERATIONS

__all__ = ["UNDERFLOW", "traits_of_sizes"]

ADDING, SCALING = ("add", "subtract"), ("multiply", "divide")


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
    first, second = (value_or_none(fmt, pattern) for pattern in case.question.patterns)
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
UNDERFLOW = Trait(
    "underflow",
    "the answer lies too near to zero",
    "yes or no",
    lambda case: case.check.verdict == "underflow" or case.outcome == "underflow",
)
ENDED = (
    Trait(
        "subnormal-result",
        "the answer is subnormal",
        "yes or no",
        lambda case: case.pattern is not None and case.question.format.kind(case.pattern) == "subnormal",
    ),
    UNDERFLOW,
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


def traits_of_sizes(operation: str) -> tuple[Trait, ...]:
    """Return the traits that *operation* has there and nowhere else.

    >>> [trait.name for trait in traits_of_sizes("encode")]
    ['subnormal-result', 'underflow']
    """
    if OPERATIONS[operation].takes == "values":
        return ENDED
    if operation not in (*ADDING, *SCALING):
        return SIZED
    return (*SIZED, *ENDED, *ROUNDED, *(ALIGNED if operation in ADDING else ()))

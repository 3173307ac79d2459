"""What each trait means, against workings and fractions: definitions written again, on nothing of ours but `work`."""

from collections.abc import Callable
from fractions import Fraction
from itertools import groupby

import pytest

import chalkpoint as cp
from asking import normalised, term
from chalkpoint.finding.case import case_of
from chalkpoint.working.course import Course

COURSE = Course(format="4+3")
PATTERNS = normalised(COURSE.float_format)
PAIRS = [(first, second) for first in PATTERNS for second in PATTERNS]
Definition = Callable[[cp.Working], object]


def page(working: cp.Working, rule: str) -> tuple[int, ...]:
    """Return the aligned rows, their sum and the exponent of a step."""
    step = next(step for step in working.steps if step.rule == rule)
    return step.after.first, step.after.second, step.after.total, step.after.exponent


def shift(working: cp.Working) -> int:
    """Return the first exponent minus the second."""
    first, second = working.question.patterns
    apart: int = first.exponent - second.exponent
    return apart


def lost(working: cp.Working, rule: str = "align") -> str:
    """Return the digits a step lost."""
    return "".join(loss.bits for loss in working.losses if loss.rule == rule)


def written(working: cp.Working, rule: str) -> bool:
    """Tell whether a step was written down."""
    return any(step.rule == rule for step in working.steps)


def carries(working: cp.Working) -> str:
    """Add the columns one by one, from the right; return the carry out of each, highest first."""
    first, second, _, _ = page(working, "add")
    carry, out = 0, ""
    for place in range(4):
        total = (first >> place & 1) + (second >> place & 1) + carry
        carry = total >> 1
        out = str(carry) + out
    return out


def triples(working: cp.Working) -> bool:
    """Tell whether some column adds 1, 1 and a carry."""
    first, second, _, _ = page(working, "add")
    into = carries(working)[1:] + "0"
    return any(first >> place & second >> place & int(into[3 - place]) for place in range(4))


def runs(bits: str) -> int:
    """Return the longest run of 1s."""
    return max((len(list(group)) for bit, group in groupby(bits) if bit == "1"), default=0)


def left_shift(working: cp.Working) -> int:
    """Return how far the sum was shifted left."""
    for step in working.steps:
        if step.rule == "normalise":
            return int(step.before.exponent - step.after.exponent)
    return 0


def places(value: Fraction) -> int:
    """Return the digits after the decimal point."""
    return next(count for count in range(60) if (value * 10**count).denominator == 1)


def fitting(value: Fraction, bits: int) -> bool:
    """Tell whether a mantissa of *bits* bits holds *value* with some exponent."""
    if value == 0:
        return True
    unit = Fraction(2) ** -40
    while value / unit % 2 == 0:
        unit *= 2
    return -(1 << (bits - 1)) <= value / unit < 1 << (bits - 1)


def has_pattern(value: Fraction) -> bool:
    """Tell whether a normalised pattern, or zero, has this value."""
    return value == 0 or value in {COURSE.float_format.value(pattern) for pattern in PATTERNS}


def answers(working: cp.Working, methods: tuple[str, ...]) -> set[str]:
    """Return the answers of several methods."""
    operation, operands = working.question.operation.name, working.question.operands
    results = (cp.work(operation, *operands, course=COURSE, method=name).result for name in methods)
    return {result.bits or result.outcome for result in results}


def other(working: cp.Working) -> Fraction:
    """Return the operand with the larger exponent as it enters the sum; a value no answer has where they are equal."""
    first, second = working.question.values
    if shift(working) == 0:
        return Fraction(10**9)
    sign = -1 if working.question.operation.name == "subtract" else 1
    return first if shift(working) > 0 else sign * second


def lost_value(working: cp.Working) -> Fraction:
    """Return what the digits lost in aligning were worth."""
    first, second = working.question.patterns
    small = min(first, second, key=lambda pattern: pattern.exponent)
    distance = abs(shift(working))
    worth: Fraction = Fraction(small.mantissa % (1 << distance)) * Fraction(2) ** (small.exponent - 3)
    return worth


def bits(working: cp.Working) -> str:
    """Return all bits of the question in a row."""
    return "".join(working.question.operands).replace(" ", "")


def final_exponent(working: cp.Working) -> int:
    """Return the exponent before its range is judged."""
    step = [step for step in working.steps if step.rule in {"add", "repair", "normalise"}][-1]
    return int(step.after.exponent)


YES_OR_NO: dict[str, Definition] = {
    "equal-exponents": lambda w: shift(w) == 0,
    "align-loses-bits": lambda w: "1" in lost(w),
    "absorbed": lambda w: w.result.value is not None and w.result.value == other(w),
    "shifted-operand = second": lambda w: shift(w) > 0,
    "shifted-operand = first": lambda w: shift(w) < 0,
    "shifted-negative": lambda w: (
        shift(w) != 0 and min(w.question.patterns, key=lambda pattern: pattern.exponent).mantissa < 0
    ),
    "subtrahend-minus-one": lambda w: (
        w.question.operation.name == "subtract" and w.question.patterns[1].mantissa == -8 and shift(w) <= 0
    ),
    "carry-dropped": lambda w: carries(w)[0] == "1" and not written(w, "repair"),
    "mantissa-overflow": lambda w: not -8 <= page(w, "add")[2] <= 7,
    "overflow-without-carry": lambda w: written(w, "repair") and carries(w)[0] == "0",
    "repair-loses-bit": lambda w: "1" in lost(w, "repair"),
    "cancellation": lambda w: left_shift(w) >= 2,
    "cancellation-amplifies": lambda w: left_shift(w) >= 1 and "1" in lost(w),
    "result-zero": lambda w: page(w, "add")[2] == 0,
    "triple-one-column": triples,
    "exact-result": lambda w: w.check.verdict == "exact",
    "representable-but-wrong": lambda w: has_pattern(w.check.exact) and w.result.value != w.check.exact,
    "not-representable": lambda w: not has_pattern(w.check.exact),
    "variant-stable": lambda w: (
        len(answers(w, ("align-then-negate", "negate-then-align", "exact-then-truncate"))) == 1
    ),
    "exponent-overflow": lambda w: w.outcome == "overflow",
    "exponent-underflow": lambda w: w.outcome == "underflow",
    "needs-exponent-sign-change": lambda w: (
        page(w, "add")[2] != 0 and (final_exponent(w) < 0) != (page(w, "add")[3] < 0)
    ),
    "truncate-vs-nearest-differ": lambda w: (
        len(answers(w, ("exact-then-truncate", "exact-then-nearest"))) == 2
    ),
    "sign-pattern = -+": lambda w: w.question.values[0] < 0 < w.question.values[1],
    "operand-minus-one": lambda w: any(pattern.mantissa == -8 for pattern in w.question.patterns),
    "exponent-signs = both-negative": lambda w: all(p.exponent < 0 for p in w.question.patterns),
    "exponent-signs = mixed": lambda w: len({p.exponent < 0 for p in w.question.patterns}) == 2,
    "exponent-edge": lambda w: any(pattern.exponent in {-4, 3} for pattern in w.question.patterns),
    "palindromic-bits": lambda w: any(
        text == text[::-1]
        for operand in w.question.operands
        for text in (operand.split()[0], operand.replace(" ", ""))
    ),
}
NUMBERS: dict[str, Callable[[cp.Working], Fraction | int | None]] = {
    "align-shift": lambda w: abs(shift(w)),
    "lost-ones": lambda w: lost(w).count("1"),
    "lost-value": lost_value,
    "norm-shift": left_shift,
    "carry-chain": lambda w: runs(carries(w)),
    "error-ulps": lambda w: w.check.error_ulps,
    "error-relative": lambda w: w.check.relative_error,
    "bits-needed": lambda w: next(count for count in range(2, 40) if fitting(w.check.exact, count)),
    "sparse": lambda w: bits(w).count("1"),
    "decimal-places": lambda w: places(w.check.exact),
    "operand-decimal-places": lambda w: max(map(places, w.question.values)),
    "at-most-d-places": lambda w: max(map(places, (*w.question.values, w.check.exact))),
}


@pytest.fixture(scope="module", params=["add", "subtract"])
def workings(request: pytest.FixtureRequest) -> list[cp.Working]:
    """Every third question of 4+3, worked."""
    fmt = COURSE.float_format
    return [
        cp.work(request.param, fmt.write(first), fmt.write(second), course=COURSE)
        for first, second in PAIRS[::3]
    ]


@pytest.mark.parametrize("text", YES_OR_NO)
def test_a_condition_means_what_it_says(text: str, workings: list[cp.Working]) -> None:
    """A yes-or-no trait or a choice is what one reads off the working."""
    for working in workings:
        operation = working.question.operation.name
        case = case_of(operation, COURSE, *working.question.patterns)
        assert term(text, operation).meets(case) == YES_OR_NO[text](working), working.title


@pytest.mark.parametrize("name", NUMBERS)
def test_a_number_means_what_it_says(name: str, workings: list[cp.Working]) -> None:
    """A number is what one reads off the working; where there is none, no comparison holds."""
    for working in workings:
        operation = working.question.operation.name
        case = case_of(operation, COURSE, *working.question.patterns)
        value = NUMBERS[name](working)
        for asked in (Fraction(1), Fraction(2), value or Fraction(0)):
            if term(f"{name} >= 1", operation).trait.is_whole and asked.denominator != 1:
                continue
            at_least = term(f"{name} >= {asked}", operation).meets(case)
            equal = term(f"{name} = {asked}", operation).meets(case)
            assert (at_least, equal) == (
                value is not None and value >= asked,
                value is not None and value == asked,
            ), working.title

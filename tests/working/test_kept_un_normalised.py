"""Courses that leave an underflow un-normalised: rounded once, where the digits end, and each loss on its step."""

from fractions import Fraction
from itertools import product

import pytest

import chalkpoint as cp
from chalkpoint.numbers.bits import scaled
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.work import work_question

ROUNDINGS = ("cut", "cut size", "nearest", "nearest away")


def kept(x: Fraction, m: int, e: int, rounding: str) -> Fraction:
    """Return *x* rounded once, to the last place it has in m bits or, below the normal ones, at the lowest exponent."""
    exponent = -(2 ** (e - 1))
    while not -(Fraction(2) ** exponent) <= x < Fraction(2) ** exponent:
        exponent += 1
    units = x / (Fraction(2) ** (exponent - m + 1))
    floor: int = units.numerator // units.denominator
    rest = units - floor
    up = {
        "cut": False,
        "cut size": rest > 0 and x < 0,
        "nearest": rest > Fraction(1, 2) or (rest == Fraction(1, 2) and floor % 2 == 1),
        "nearest away": rest > Fraction(1, 2) or (rest == Fraction(1, 2) and x > 0),
    }[rounding]
    return (floor + up) * scaled(1, exponent - m + 1)


def test_half_a_unit_at_the_lowest_exponent_goes_to_the_even_pattern() -> None:
    """31/16384 is 15 1/2 units of 2^-13 in 6+4; the even of 15 and 16 is 16, which is 0.10000 at exponent -8."""
    working = cp.work(
        "encode", "31/16384", course=cp.Course(format="6+4", rounding="nearest", underflow="un-normalised")
    )

    assert working.result.bits == "010000 1000"
    assert working.check.nearest == ["001111 1000", "010000 1000"]
    assert [step.rule for step in working.steps] == ["size", "point", "fit", "exponent"]
    assert [(loss.rule, loss.worth) for loss in working.losses] == [("fit", Fraction(-1, 2**14))]


@pytest.mark.parametrize("rounding", ROUNDINGS)
def test_storing_rounds_once(rounding: str) -> None:
    """Every 48th of a unit around the lowest exponent of 4+3, of both signs."""
    course = cp.Course(format="4+3", rounding=rounding, underflow="un-normalised")
    for count in range(-48 * 9, 48 * 9, 5):
        x = Fraction(count, 48) * Fraction(1, 2**7)
        working = cp.work("encode", x, course=course)

        assert working.result.value == kept(x, 4, 3, rounding) if x else working.result.value == 0
        assert sum((loss.worth for loss in working.losses), Fraction(0)) == working.check.error


@pytest.mark.parametrize("rounding", ROUNDINGS)
@pytest.mark.parametrize("operation", ["multiply", "divide"])
def test_scaling_rounds_once(operation: str, rounding: str) -> None:
    """Every pair of 4+2 patterns; what was lost is lost where it was cut."""
    course = cp.Course(format="4+2", rounding=rounding, underflow="un-normalised")
    fmt = course.float_format
    patterns = [fmt.read(f"{bits:06b}"[:4] + " " + f"{bits:06b}"[4:]) for bits in range(64)]
    for first, second in product(patterns, repeat=2):
        a, b = fmt.value(first), fmt.value(second)
        if operation == "divide" and not b:
            continue
        working = work_question(
            Question(OPERATIONS[operation], course, fmt, (first, second), given=(None, None))
        )
        x = a * b if operation == "multiply" else a / b
        if working.result.value is None:
            continue

        assert working.result.value == kept(x, 4, 2, rounding), (first, second)
        assert sum((loss.worth for loss in working.losses), Fraction(0)) == working.check.error
        assert all(loss.rule == "cut" for loss in working.losses)


@pytest.mark.parametrize(
    ("method", "rounding"),
    [("exact-then-truncate", "cut"), ("exact-then-nearest", "nearest"), ("size-and-sign", "")],
)
@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_adding_cuts_by_its_own_rule(operation: str, method: str, rounding: str) -> None:
    """Every pair of 4+2 patterns. Under size-and-sign what falls off at the end is cut toward zero too."""
    course = cp.Course(format="4+2", method=method, underflow="un-normalised")
    fmt = course.float_format
    patterns = [fmt.read(f"{bits:06b}"[:4] + " " + f"{bits:06b}"[4:]) for bits in range(64)]
    for first, second in product(patterns, repeat=2):
        a, b = fmt.value(first), fmt.value(second)
        working = work_question(
            Question(OPERATIONS[operation], course, fmt, (first, second), given=(None, None))
        )
        if working.result.value is None:
            continue
        if rounding:
            assert working.result.value == kept(a + b if operation == "add" else a - b, 4, 2, rounding)
        assert sum((loss.worth for loss in working.losses), Fraction(0)) == working.check.error


def test_an_underflow_to_zero_is_lost_on_the_step_that_wrote_zero() -> None:
    """1/8 times 1/8 of the smallest: the cut loses nothing, the range all of it."""
    course = cp.Course(format="6+4", underflow="zero")
    working = cp.work("multiply", "010000 1010", "010000 1100", course=course)

    assert working.result.value == 0
    assert [(loss.rule, loss.worth) for loss in working.losses] == [("range", working.check.exact)]

    stored = cp.work("encode", "1/4096", course=course)
    assert [(loss.rule, loss.worth) for loss in stored.losses] == [("exponent", Fraction(1, 4096))]
    assert "by writing zero" in " ".join(stored.check_words.reasons)

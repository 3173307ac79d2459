"""Adding and subtracting in ones' complement, sign and magnitude and excess codes."""

from fractions import Fraction
from itertools import product

import pytest

import chalkpoint as cp

CODES = ("4 ones-complement", "4 sign-and-magnitude", "4 excess-7", "Q2.2 ones-complement", "4 excess-8")


# format, operation, operands, bits or word, the rules of the lines; worked by hand
EXAMPLES = [
    ("5 ones-complement", "add", 3, -1, "00010", ["read", "add", "around"]),
    ("5 ones-complement", "subtract", 5, 3, "00010", ["read", "negate", "add", "around"]),
    ("5 ones-complement", "subtract", 3, 3, "11111", ["read", "negate", "add"]),
    ("5 ones-complement", "add", -7, -4, "10100", ["read", "add", "around"]),
    ("5 ones-complement", "add", 10, 9, "overflow", ["read", "add", "judge"]),
    ("5 sign-and-magnitude", "add", 3, -5, "10010", ["read", "add"]),
    ("5 sign-and-magnitude", "subtract", -3, 5, "11000", ["read", "negate", "add"]),
    ("5 sign-and-magnitude", "subtract", 5, 5, "00000", ["read", "negate", "add"]),
    ("5 sign-and-magnitude", "add", 10, 9, "overflow", ["read", "add"]),
    ("5 excess-15", "add", 3, -5, "01101", ["read", "add", "excess"]),
    ("5 excess-15", "subtract", 3, -5, "10111", ["read", "take_away", "excess"]),
    ("5 excess-15", "add", 10, 9, "overflow", ["read", "add", "excess"]),
    ("5 excess-15", "add", -10, -9, "overflow", ["read", "add", "excess"]),
]


@pytest.mark.parametrize("example", EXAMPLES, ids=str)
def test_by_hand(example: tuple[str, str, int, int, str, list[str]]) -> None:
    """Bits and lines as they were written down first."""
    spelling, operation, first, second, answer, rules = example
    working = cp.work(operation, first, second, format=spelling)

    assert (working.result.bits or working.result.outcome) == answer
    assert [step.rule for step in working.steps] == rules
    assert all(step.says and step.spoken for step in working.steps)


@pytest.mark.parametrize("spelling", CODES)
@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_every_pair_of_patterns(operation: str, spelling: str) -> None:
    """The exact answer wherever the code holds it, and overflow nowhere else, both zeros included."""
    fmt = cp.Course(format=spelling).fixed_format
    patterns = [f"{code:04b}" for code in range(16)]
    for first, second in product(patterns, repeat=2):
        a, b = fmt.value(first), fmt.value(second)
        exact: Fraction = a + b if operation == "add" else a - b
        working = cp.work(operation, first, second, format=spelling)
        held = fmt.field.holds(int(exact / fmt.unit_value))

        assert working.result.value == (exact if held else None)
        assert working.check.verdict == ("exact" if held else "overflow")
        assert all(step.detail for step in working.steps)


def test_the_carry_is_shown_on_its_way_round() -> None:
    """3 + -1: 1 leaves the sign place, and is added in the last."""
    add, around = cp.work("add", 3, -1, format="5 ones-complement").steps[1:]

    assert (add.rows[-1].lead, add.rows[-1].bits) == ("1", "00001")
    assert [row.bits for row in around.rows] == ["00001", "00001", "00010"]
    assert around.title == "End-around carry"


def test_the_second_zero_is_called_one() -> None:
    """3 - 3 in ones' complement leaves a row of 1s."""
    assert (
        "A row of 1s is zero too." in cp.work("subtract", 3, 3, format="5 ones-complement").steps[-1].detail
    )


def test_a_sum_of_several_numbers_goes_by_the_same_rules() -> None:
    """1 + 2 - 4 in sign and magnitude."""
    assert cp.work("sum", 1, 2, -4, format="5 sign-and-magnitude").result.value == -1


def test_a_course_may_write_the_end_of_the_range() -> None:
    """Two negatives past the lowest: the lowest."""
    course = cp.Course(format="5 sign-and-magnitude", overflow="largest")
    assert cp.work("add", -10, -9, course=course).result.value == -15

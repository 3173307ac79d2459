"""Every belief about whole numbers and fractions gives the answer its example says."""

from fractions import Fraction
from typing import Any

import pytest

from chalkpoint.numbers.bits import to_bits
from chalkpoint.working.beliefs.belief import INTEGER
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.integers import Width, integer_answer, integer_method, integer_page


def rule(belief: str, operation: str, slot: str, family: str) -> Any:
    """Return the rule that *belief* puts in a slot."""
    place = BELIEFS[belief].place_for(operation, family)
    assert place is not None
    return place.rules[slot]


# belief, pattern, what it reads
READ = [
    ("msb-unsigned", "10110110", 182),
    ("read-sign-mag", "10110110", -54),
    ("read-ones-comp", "10110110", -73),
    ("flip-everything", "01001010", 182),
    ("last-place-two", "10110110", -148),
]


@pytest.mark.parametrize(("belief", "pattern", "wrong"), READ)
def test_an_integer_is_read_as_its_example_says(belief: str, pattern: str, wrong: int) -> None:
    """The reading rule of the belief gives the number of its example."""
    assert rule(belief, "decode", "read", INTEGER)(int(pattern, 2), len(pattern)) == wrong


# belief, operation, operands in 8 bits, right, wrong
SUMS = [
    ("carry-kept", "add", 89, -26, "00111111", "100111111"),
    ("carry-means-overflow", "add", 89, -26, "00111111", "overflow"),
    ("wrap-accepted", "add", 89, 48, "overflow", "10001001"),
    ("sign-bits-left-out", "add", 89, 48, "overflow", "00001001"),
    ("xor-add", "add", 54, 30, "01010100", "00101000"),
    ("triple-one-zero", "add", 54, 30, "01010100", "01000000"),
    ("invert-only", "subtract", 89, 26, "00111111", "00111110"),
    ("sub-adds", "subtract", 54, 30, "00011000", "01010100"),
    ("sub-reversed", "subtract", 54, 30, "00011000", "11101000"),
    ("complement-both", "subtract", 54, 30, "00011000", "10101100"),
]


@pytest.mark.parametrize("example", SUMS, ids=lambda example: example[0])
def test_integers_are_added_as_the_example_says(example: tuple[Any, ...]) -> None:
    """The right method gives the right answer and the belief its own."""
    belief, operation, first, second, right, wrong = example
    page = integer_page(to_bits(first, 8), to_bits(second, 8))
    method = integer_method(operation)
    faulty = BELIEFS[belief].method_for(operation, method, INTEGER)
    assert faulty is not None
    assert integer_answer(method.finish(page, Width(8)), 8) == right
    assert integer_answer(faulty.finish(page, Width(8)), 8) == wrong


# belief, operation, family, what it is given, what it writes
WRITTEN = [
    ("complement-own-width", "subtract", "unsigned", ("1101", "011"), "0010"),
    ("pad-zeros-left", "widen", INTEGER, ("101101", 8), "00101101"),
    ("remainders-top-down", "encode", "unsigned", (13,), "1011"),
    ("halving-stops-early", "encode", "unsigned", (20,), "2100"),
    ("encode-range-ignored", "encode", INTEGER, (200, 8), "11001000"),
    ("frac-read-as-whole", "decode", "unsigned", ("11.101",), Fraction("3.5")),
    ("frac-tenths", "decode", "unsigned", ("11.101",), Fraction("3.101")),
    ("frac-weights-mirrored", "decode", "unsigned", ("10.110",), Fraction("2.375")),
    ("frac-starts-at-one", "decode", "unsigned", ("10.011",), Fraction("2.75")),
    ("frac-digits-as-integer", "encode", "unsigned", (Fraction("6.25"),), (0b11011001, 5)),
    ("frac-bits-bottom-up", "encode", "unsigned", (Fraction("5.375"),), (0b101110, 3)),
    ("recurring-stops", "encode", "unsigned", (Fraction("0.1"),), (0b00011, 5)),
    ("negate-whole-part-only", "negate", "fixed", ("00101.010",), "11011.010"),
    ("invert-add-one-at-point", "negate", "fixed", ("00101.010",), "11011.101"),
    ("fraction-not-inverted", "negate", "fixed", ("00101.010",), "11010.011"),
]


@pytest.mark.parametrize("example", WRITTEN, ids=lambda example: example[0])
def test_digits_are_read_and_written_as_the_example_says(example: tuple[Any, ...]) -> None:
    """The rule for digits gives what the example says."""
    belief, operation, family, given, wrong = example
    assert rule(belief, operation, "digits", family)(*given) == wrong

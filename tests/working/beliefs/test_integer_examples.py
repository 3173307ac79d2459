"""Every belief about whole numbers and fractions gives the answer its example says."""

from fractions import Fraction
from itertools import product
from typing import Any

import pytest

from chalkpoint.working.beliefs.belief import FIXED, INTEGER, UNSIGNED
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import ask
from chalkpoint.working.whole import whole_method
from chalkpoint.working.whole_values import WHOLE_NEGATING, WHOLE_READING, whole_storing_method
from chalkpoint.working.work import work_by

BYTE = Course(format="8")


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
    ("binary-as-decimal", "00010110", 10110),
]


@pytest.mark.parametrize(("belief", "pattern", "wrong"), READ)
def test_an_integer_is_read_as_its_example_says(belief: str, pattern: str, wrong: int) -> None:
    """The faulty working comes to the number of its example, and tells the belief on the line."""
    place = BELIEFS[belief].place_for("decode", INTEGER)
    faulty = BELIEFS[belief].method_for("decode", WHOLE_READING, INTEGER)
    assert place is not None
    assert faulty is not None
    working = work_by(ask("decode", pattern, course=BYTE), faulty)
    assert working.faulty
    assert working.steps[0].after.number == wrong
    assert working.steps[0].detail == place.says["weigh"]


def test_a_number_past_the_range_is_written_anyway() -> None:
    """200 in 8 bits of two's complement: an overflow, and its low digits under the belief."""
    question = ask("encode", "200", course=BYTE)
    faulty = BELIEFS["encode-range-ignored"].method_for("encode", whole_storing_method(), INTEGER)
    assert faulty is not None
    working = work_by(question, faulty)
    assert (work_by(question).result.outcome, working.result.bits) == ("overflow", "11001000")
    assert working.steps[-1].detail == "Write the last digits that fit."


# belief, the opposite of 00110100 (52)
NEGATED = [
    ("invert-only", "11001011"),
    ("sign-bit-only", "10110100"),
    ("keep-sign-invert-rest", "01001100"),
    ("add-then-invert", "11001010"),
]


@pytest.mark.parametrize(("belief", "wrong"), NEGATED)
def test_an_integer_is_negated_as_its_example_says(belief: str, wrong: str) -> None:
    """The right rule gives 11001100, and the faulty working the pattern of its example."""
    question = ask("negate", "00110100", course=BYTE)
    place = BELIEFS[belief].place_for("negate", INTEGER)
    faulty = BELIEFS[belief].method_for("negate", WHOLE_NEGATING, INTEGER)
    assert place is not None
    assert faulty is not None
    working = work_by(question, faulty)
    assert (work_by(question).result.bits, working.result.bits) == ("11001100", wrong)
    assert working.steps[0].detail == place.says["negate"]


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
    """The right working gives the right answer; the belief's gives its own, told on the line it spoils."""
    belief, operation, first, second, right, wrong = example
    question = ask(operation, first, second, course=BYTE)
    place = BELIEFS[belief].place_for(operation, INTEGER)
    faulty = BELIEFS[belief].method_for(operation, whole_method(operation), INTEGER)
    assert place is not None
    assert faulty is not None
    usual, working = work_by(question), work_by(question, faulty)
    assert (usual.result.bits or usual.result.outcome) == right
    assert answer_by(faulty, question) == wrong
    assert working.result.bits == wrong or working.result.outcome in {wrong, "too long"}
    board = {step.rule: step.detail for step in working.steps}
    assert any(board[line] == said for line, said in place.says.items())


def test_a_product_past_the_range_keeps_its_last_digits() -> None:
    """12 × 13 in 8 bits of two's complement: an overflow, and -100 under the belief."""
    question = ask("multiply", 12, 13, course=BYTE)
    faulty = BELIEFS["product-wraps"].method_for("multiply", whole_method("multiply"), INTEGER)
    assert faulty is not None
    working = work_by(question, faulty)
    assert (work_by(question).result.outcome, working.result.value) == ("overflow", Fraction(-100))
    assert any(step.detail == "Multiply, and keep the last digits that fit." for step in working.steps)


# belief, format, digits, what it reads
FRACTIONS_READ = [
    ("frac-read-as-whole", "Q2.3 unsigned", "11.101", "3.5"),
    ("frac-tenths", "Q2.3 unsigned", "11.101", "3.101"),
    ("frac-weights-mirrored", "Q2.3 unsigned", "10.110", "2.375"),
    ("frac-starts-at-one", "Q2.3 unsigned", "10.011", "2.75"),
]


@pytest.mark.parametrize("example", FRACTIONS_READ, ids=lambda example: example[0])
def test_a_fraction_is_read_as_its_example_says(example: tuple[str, ...]) -> None:
    """The faulty working comes to the value of the example, and tells the belief on its last line."""
    belief, spelling, digits, wrong = example
    place = BELIEFS[belief].place_for("decode", UNSIGNED)
    faulty = BELIEFS[belief].method_for("decode", WHOLE_READING, UNSIGNED)
    assert place is not None
    assert faulty is not None
    last = work_by(ask("decode", digits, course=Course(format=spelling)), faulty).steps[-1]
    assert (last.after.value, last.detail) == (Fraction(wrong), place.says["scale"])


# belief, format, value, right, wrong
UNSIGNED_WRITTEN = [
    ("remainders-top-down", "4 unsigned", "13", "1101", "1011"),
    ("frac-digits-as-integer", "Q3.5 unsigned", "6.25", "11001000", "11011001"),
    ("frac-bits-bottom-up", "Q3.3 unsigned", "5.375", "101011", "101110"),
    ("recurring-stops", "Q1.8 unsigned", "0.1", "000011001", "000011000"),
]


@pytest.mark.parametrize("example", UNSIGNED_WRITTEN, ids=lambda example: example[0])
def test_an_unsigned_number_is_written_as_its_example_says(example: tuple[str, ...]) -> None:
    """The right working gives the right digits; the belief's gives its own, told on its first line."""
    belief, spelling, value, right, wrong = example
    question = ask("encode", value, course=Course(format=spelling))
    place = BELIEFS[belief].place_for("encode", UNSIGNED)
    faulty = BELIEFS[belief].method_for("encode", whole_storing_method(), UNSIGNED)
    assert place is not None
    assert faulty is not None
    working = work_by(question, faulty)
    assert (work_by(question).result.bits, working.result.bits) == (right, wrong)
    assert working.steps[0].detail == place.says["size"]


# belief, the opposite of 00101.010 (5.25)
FIXED_NEGATED = [
    ("negate-whole-part-only", "11011010"),
    ("invert-add-one-at-point", "11011101"),
    ("fraction-not-inverted", "11010011"),
]


@pytest.mark.parametrize(("belief", "wrong"), FIXED_NEGATED)
def test_a_fixed_point_number_is_negated_as_its_example_says(belief: str, wrong: str) -> None:
    """The right rule gives 11010.110, and the faulty working the pattern of its example."""
    question = ask("negate", "00101.010", course=Course(format="Q5.3"))
    place = BELIEFS[belief].place_for("negate", FIXED)
    faulty = BELIEFS[belief].method_for("negate", WHOLE_NEGATING, FIXED)
    assert place is not None
    assert faulty is not None
    working = work_by(question, faulty)
    assert (work_by(question).result.bits, working.result.bits) == ("11010110", wrong)
    assert working.steps[0].detail == place.says["negate"]


# belief, operation, family, what it is given, what it writes
WRITTEN = [
    ("complement-own-width", "subtract", "unsigned", ("1101", "011"), "0010"),
    ("pad-zeros-left", "widen", INTEGER, ("101101", 8), "00101101"),
    ("halving-stops-early", "encode", "unsigned", (20,), "2100"),
]


@pytest.mark.parametrize("example", WRITTEN, ids=lambda example: example[0])
def test_digits_are_read_and_written_as_the_example_says(example: tuple[Any, ...]) -> None:
    """The rule for digits gives what the example says."""
    belief, operation, family, given, wrong = example
    assert rule(belief, operation, "digits", family)(*given) == wrong


def test_where_no_column_misleads_the_sum_is_right() -> None:
    """Of all pairs of 4-bit numbers: without three ones in a column, or without a carry, the right answer is given.

    Otherwise overflow is judged by the signs: -8 + -8 in columns without carries is 0000, of another sign.
    """
    course = Course(format="4")
    for first, second in product(range(-8, 8), repeat=2):
        question = ask("add", first, second, course=course)
        right = answer_by(right_method("add", course), question)
        carries = [0]
        for place in range(4):
            carries.append((((first >> place) & 1) + ((second >> place) & 1) + carries[-1]) >> 1)
        ones = [((first >> place) & 1) + ((second >> place) & 1) for place in range(4)]
        for belief, misled in (
            ("xor-add", any(carries)),
            ("triple-one-zero", any(one == 2 and carry for one, carry in zip(ones, carries, strict=False))),
        ):
            method = BELIEFS[belief].method_for("add", right_method("add", course), INTEGER)
            assert method is not None
            if not misled:
                assert answer_by(method, question) == right

    method = BELIEFS["xor-add"].method_for("add", right_method("add", course), INTEGER)
    assert method is not None
    assert answer_by(method, ask("add", -8, -8, course=course)) == "overflow"

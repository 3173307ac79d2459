"""Every belief about decoding, storing, errors and extremes gives the answer its example says."""

from fractions import Fraction
from typing import Any

import pytest

from chalkpoint.numbers.exact import parse_value
from chalkpoint.numbers.formats import parse_format
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import RANGING
from chalkpoint.working.procedures import method_named
from chalkpoint.working.question import ask
from chalkpoint.working.reading import DECODING, codes
from chalkpoint.working.storing import StorePage
from chalkpoint.working.work import work_by

# belief, pattern, its value, what the belief reads
READ = [
    ("exp-unsigned", "0.1010000 1110", "0.15625", "10240"),
    ("exp-sign-mag", "0.1010000 1110", "0.15625", "0.009765625"),
    ("exp-base-ten", "0.1100000 0011", "6", "750"),
    ("exp-doubles", "0.1100000 0011", "6", "4.5"),
    ("point-moves-backwards", "0.1100000 0011", "6", "0.09375"),
    ("mantissa-whole", "0.1100000 0011", "6", "768"),
    ("mantissa-unsigned", "1.0110000 0010", "-2.5", "5.5"),
    ("mantissa-sign-mag", "1.0110000 0010", "-2.5", "-1.5"),
    ("mantissa-sign-dropped", "1.0110000 0010", "-2.5", "1.5"),
    ("zero-fill-when-small", "1.0110000 1110", "-0.15625", "0.34375"),
    ("minus-one-as-zero", "1.0000000 0010", "-4", "0"),
    ("phantom-hidden-one", "0.1100000 0011", "6", "14"),
    ("point-after-second-bit", "0.1100000 0011", "6", "12"),
    ("point-before-first-bit", "0.1100000 0011", "6", "3"),
    ("decimal-standard-form", "0.1100000 0011", "6", "9600"),
    ("scale-one-short", "0.1100000 0011", "6", "3"),
    ("leading-zeros-dropped", "0.1100000 0011", "6", "-4"),
]


@pytest.mark.parametrize("example", READ, ids=lambda example: example[0])
def test_a_pattern_is_read_as_its_example_says(example: tuple[str, ...]) -> None:
    """The right rules give the value and the belief's its own."""
    belief, pattern, right, wrong = example
    question = ask("decode", pattern, course=Course())
    faulty = BELIEFS[belief].method_for("decode", DECODING)
    assert faulty is not None
    assert [method.finish(codes(question), question.format).value for method in (DECODING, faulty)] == [
        parse_value(right),
        parse_value(wrong),
    ]


# belief, value, rounding, right, wrong; all in 8+4
STORED = [
    ("set-sign-bit", "-5.25", "cut", "1.0101100 0011", "1.1010100 0011"),
    ("scientific-exponent", "5.25", "cut", "0.1010100 0011", "0.1010100 0010"),
    ("no-sign-place", "5.25", "cut", "0.1010100 0011", "1.0101000 0010"),
    ("exp-written-sign-mag", "0.15625", "cut", "0.1010000 1110", "0.1010000 1010"),
    ("exp-sign-flipped", "5.25", "cut", "0.1010100 0011", "0.1010100 1101"),
    ("drop-leading-bits", "43.1875", "cut", "0.1010110 0110", "0.0110011 0110"),
    ("rounds-when-told-to-cut", "4.6", "cut", "0.1001001 0011", "0.1001010 0011"),
    ("cuts-when-told-to-round", "4.6", "nearest", "0.1001010 0011", "0.1001001 0011"),
    ("mantissa-padded-left", "5.25", "cut", "0.1010100 0011", "0.0010101 0011"),
    ("encode-whole-mantissa", "5.25", "cut", "0.1010100 0011", "0.0010101 1110"),
    ("invert-before-padding", "-5.25", "cut", "1.0101100 0011", "1.0101000 0011"),
    ("invert-only", "-5.25", "cut", "1.0101100 0011", "1.0101011 0011"),
    ("keep-sign-invert-rest", "-5.25", "cut", "1.0101100 0011", "0.0101100 0011"),
    ("add-then-invert", "-5.25", "cut", "1.0101100 0011", "1.0101010 0011"),
    ("frac-digits-as-integer", "6.25", "cut", "0.1100100 0011", "0.1101100 0011"),
    ("frac-bits-bottom-up", "5.375", "cut", "0.1010110 0011", "0.1011100 0011"),
    ("recurring-stops", "0.1", "cut", "0.1100110 1101", "0.1100000 1101"),
    ("negate-whole-part-only", "-5.25", "cut", "1.0101100 0011", "1.0110100 0011"),
    ("invert-add-one-at-point", "-5.25", "cut", "1.0101100 0011", "1.0111000 0011"),
    ("fraction-not-inverted", "-5.25", "cut", "1.0101100 0011", "1.0101000 0011"),
]


def stored(value: str, rounding: str, belief: str) -> str | None:
    """Return the pattern *value* is stored as by the holder of *belief*, in 8+4."""
    question = ask("encode", value, course=Course(rounding=rounding))
    method = method_named(question)
    if belief:
        faulty = BELIEFS[belief].method_for("encode", method)
        assert faulty is not None
        method = faulty
    page = method.finish(StorePage(question.value), question.course)
    return None if page.pattern is None else question.format.write(page.pattern, point=True)


@pytest.mark.parametrize("example", STORED, ids=lambda example: example[0])
def test_a_value_is_stored_as_its_example_says(example: tuple[str, ...]) -> None:
    """The right rules give the pattern and the belief's its own."""
    belief, value, rounding, right, wrong = example
    assert stored(value, rounding, "") == right
    assert stored(value, rounding, belief) == wrong


@pytest.mark.parametrize("belief", ["exp-sign-flipped", "exp-written-sign-mag"])
def test_the_lowest_exponent_has_no_opposite(belief: str) -> None:
    """A value of exponent -8 comes out as overflow."""
    assert stored("1/512", "cut", "") == "0.1000000 1000"
    assert stored("1/512", "cut", belief) is None


@pytest.mark.parametrize("rounding", ["cut", "cut size", "nearest", "nearest away"])
def test_storing_goes_on_whatever_is_believed(rounding: str) -> None:
    """Every belief stores every value somehow, and its working can be written."""
    for belief in beliefs_for("encode"):
        for value in ("-5.25", "5.25", "-0.1", "43.1875", "-43.1875", "1000", "-0.0001", "7/3", "-8", "1/3"):
            question = ask("encode", value, course=Course(rounding=rounding))
            working = work_by(question, belief.method_for("encode", method_named(question)))
            assert all(step.title and step.detail and step.spoken for step in working.steps)


@pytest.mark.parametrize("belief", [belief.id for belief in beliefs_for("decode")])
def test_a_faulty_reading_can_be_written_on_the_board(belief: str) -> None:
    """Each step of it has a title, a sentence and words for the ear."""
    for pattern in ("0.1100000 0011", "1.0110000 1110", "1.0000000 0010", "0.0000000 1000"):
        working = work_by(
            ask("decode", pattern, course=Course()),
            BELIEFS[belief].method_for("decode", DECODING) or DECODING,
        )
        assert all(step.title and step.detail and step.spoken for step in working.steps)


# belief, extreme, what the belief writes in 8+4, its value
EXTREMES = [
    ("largest-all-ones", "largest positive", "1.1111111 1111", "-1/256"),
    ("smallest-one-at-end", "smallest positive", "0.0000001 1000", "1/32768"),
    ("mirror-range", "most negative", "1.0000001 0111", "-127"),
    ("exponent-range-mirrored", "largest positive", "0.1111111 1000", "254"),
    ("normal-form-one-point", "smallest positive", "1.0000000 1000", "1/256"),
]


@pytest.mark.parametrize("example", EXTREMES, ids=lambda example: example[0])
def test_an_extreme_is_as_its_example_says(example: tuple[str, ...]) -> None:
    """The belief's extreme has the bits and the value of its example."""
    belief, name, bits, value = example
    question = ask("range", course=Course())
    working = work_by(question, BELIEFS[belief].method_for("range", RANGING) or RANGING)
    pattern = working.extremes[name]
    assert question.format.write(pattern, point=True) == bits
    assert question.format.value(pattern) == Fraction(value)
    assert all(step.detail for step in working.steps)


# belief, operation, what it is given, what it claims
CLAIMS = [
    ("underflow-means-negative", "range", (Fraction(-200), parse_format("8+4")), True),
    ("order-never-matters", "sum", ([Fraction(8), *[Fraction("0.046875")] * 3],), True),
]


@pytest.mark.parametrize("example", CLAIMS, ids=lambda example: example[0])
def test_a_claim_is_as_its_example_says(example: tuple[Any, ...]) -> None:
    """The belief claims what its example says."""
    belief, operation, given, claim = example
    place = BELIEFS[belief].place_for(operation)
    assert place is not None
    assert place.rules["claim"](*given) == claim


def test_an_error_divided_by_what_is_stored() -> None:
    """4.6 is stored as 4.5625: 3/368 against the true value, 3/365 against the stored one."""
    assert errors("relative-over-stored") == (Fraction(3, 80), Fraction(3, 365))
    assert errors("") == (Fraction(3, 80), Fraction(3, 368))


def test_a_tidy_decimal_thought_exact() -> None:
    """The error of storing 4.6 is said to be nothing."""
    assert errors("exact-because-tidy") == (Fraction(0), Fraction(0))


def errors(belief: str) -> tuple[Fraction, Fraction]:
    """Return the absolute and the relative error of storing 4.6 in 8+4 as *belief* has them."""
    question = ask("error", "4.6", course=Course())
    method = method_named(question)
    if belief:
        method = BELIEFS[belief].method_for("error", method) or method
    working = work_by(question, method)
    last = working.steps[-1].after
    assert all(step.detail for step in working.steps)
    return last.absolute, last.relative


# belief, operands, right, wrong; in 8+4
PRODUCTS = [
    ("mul-exponents-multiplied", "5", "3", "0.1111000 0100", "0.1111000 0101"),
    ("mul-pattern-unsigned", "-5", "1.375", "1.0010010 0011", "0.1111001 0100"),
]


@pytest.mark.parametrize("example", PRODUCTS, ids=lambda example: example[0])
def test_a_product_goes_wrong_as_its_example_says(example: tuple[str, ...]) -> None:
    """The right rules give the product and the belief's its own, written on the board too."""
    belief, first, second, right, wrong = example
    question = ask("multiply", first, second, course=Course())
    assert work_by(question).result.bits == right.replace(".", "")
    usual = method_named(question)
    working = work_by(question, BELIEFS[belief].method_for("multiply", usual))
    assert working.result.bits == wrong.replace(".", "")
    assert working.faulty
    assert all(step.title and step.detail for step in working.steps)

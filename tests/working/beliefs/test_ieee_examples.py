"""Every belief about IEEE-style patterns gives the answer its example says (4-bit exponent, bias 7)."""

from fractions import Fraction
from typing import Any

import pytest

from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.ieee import parts, scientific


def rule(belief: str, operation: str, slot: str) -> Any:
    """Return the rule that *belief* puts in a slot."""
    place = BELIEFS[belief].place_for(operation, "IEEE")
    assert place is not None
    return place.rules[slot]


READ = [
    ("bias-added", "0 1001 101", "106496"),
    ("bias-power-of-two", "0 1001 101", "3.25"),
    ("hidden-one-missing", "0 1001 101", "2.5"),
    ("ieee-negative-complemented", "1 1001 010", "-7"),
    ("subnormal-as-normal", "0 0000 101", "0.0126953125"),
    ("all-ones-as-number", "0 1111 000", "256"),
    ("bias-not-removed", "0 1001 101", "832"),
    ("first-one-leads", "0 1001 011", "6"),
    ("subnormal-exponent-minus-bias", "0 0000 101", "0.0048828125"),
]


@pytest.mark.parametrize("example", READ, ids=lambda example: example[0])
def test_a_word_is_read_as_its_example_says(example: tuple[str, ...]) -> None:
    """The reading rule of the belief gives the value of its example."""
    belief, word, wrong = example
    assert rule(belief, "decode", "value")(parts(word)) == Fraction(wrong)


WRITTEN = [
    ("hidden-one-stored", "6.5", "0 1001 110"),
    ("cuts-when-told-to-round", "7.875", "0 1001 111"),
    ("bias-omitted", "6.5", "0 0010 101"),
    ("exponent-stores-power", "6.5", "0 0100 101"),
    ("below-one-no-exponent", "0.4375", "0 0111 011"),
    ("decimal-exponent-kept", "65", "0 1000 100"),
    ("sign-digit-counted", "-6.5", "1 1010 110"),
]


@pytest.mark.parametrize("example", WRITTEN, ids=lambda example: example[0])
def test_a_word_is_written_as_its_example_says(example: tuple[str, ...]) -> None:
    """The writing rule of the belief gives the word of its example."""
    belief, value, wrong = example
    assert rule(belief, "encode", "pattern")(Fraction(value), 4, 3) == wrong


def test_words_added_as_integers() -> None:
    """6.5 + 1.375: the two words added as whole numbers."""
    assert rule("words-added-as-integers", "add", "pattern")("0 1001 101", "0 0111 011") == "1 0001 000"


def test_both_biases_kept() -> None:
    """3.25 × 0.4375: 13 for the exponent, and 14 once the product is renormalised: 176."""
    stored = rule("bias-kept-twice", "multiply", "exponent")("0 1000 101", "0 0101 110")
    significand, up = scientific(Fraction("1.625") * Fraction("1.75"))
    assert (stored, up, stored + up) == (13, 1, 14)
    assert Fraction(int(significand * 8), 8) * 2 ** (14 - 7) == 176

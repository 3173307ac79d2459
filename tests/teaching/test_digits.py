"""Bits between ear and eye: the same digits, never split."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.teaching.digits import HELD, as_digits, count_words, hold, speaks_bits
from chalkpoint.working.speech import say_bits

bits = st.text("01", min_size=2, max_size=24)


@given(bits, st.data())
def test_spoken_bits_come_back_as_the_same_digits(pattern: str, data: st.DataObject) -> None:
    """Groups, counts of long runs and the point: every digit is there, in order."""
    places = data.draw(st.integers(0, len(pattern) - 1))
    spoken = f"after: mantissa {say_bits(pattern, places)}; exponent"

    written = as_digits(spoken)

    whole, fraction = pattern[: len(pattern) - places], pattern[len(pattern) - places :]
    expected = f"{whole}.{fraction}" if places else whole
    assert written.replace(HELD, "") == f"after: mantissa {expected}; exponent"


@given(bits, bits)
def test_a_pattern_in_a_sentence_has_no_space_to_break_at(mantissa: str, exponent: str) -> None:
    """The space between its fields is held."""
    assert hold(f"It is 0.{mantissa} {exponent}.") == f"It is 0.{mantissa}{HELD}{exponent}."


def test_ones_in_prose_stay_words() -> None:
    """A one among words is no bit string, and decimals spoken digit by digit are left alone."""
    sentence = "add one in the last place; 8 point one one"

    assert as_digits(sentence) == sentence


@pytest.mark.parametrize(
    ("written", "words"),
    [("0110", 4), ("0.1101 000", 9), ("6.5", 3), ("Match the exponents.", 3), ("1/83", 3)],
)
def test_every_spoken_digit_is_a_word(written: str, words: int) -> None:
    """As long as it takes to say."""
    assert count_words(written) == words


@given(bits)
def test_bits_take_as_many_words_as_digits(pattern: str) -> None:
    """Never fewer than there are digits to say."""
    assert count_words(f"mantissa {pattern};") == 1 + len(pattern)


def test_reading_out_bits_is_noticed() -> None:
    """The slower pace is for these."""
    assert speaks_bits("after: mantissa 0.0011 101")
    assert not speaks_bits("The exponents are 4 and 2.")
    assert not re.search("[01]{4}", "The exponents are 4 and 2.")

"""Words for the ear."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.working.speech import for_ear, say_bits, say_number


@pytest.mark.parametrize(
    ("pattern", "places", "said"),
    [
        ("01101000", 7, "zero point one one zero one, zero zero zero"),
        ("10000000", 7, "one point, then seven zeros"),
        ("01000000", 7, "zero point one, then six zeros"),
        ("0011", 0, "zero zero one one"),
        ("01111110", 7, "zero point, then six ones, zero"),
        ("101010110011\u2026", 9, "one zero one zero point one zero one one, zero zero one one, and so on"),
    ],
)
def test_bits_are_said_in_groups_and_long_runs_as_counts(pattern: str, places: int, said: str) -> None:
    """Groups of four from the point, runs of five and more as a count."""
    assert say_bits(pattern, places) == said


@given(st.text("01", min_size=1, max_size=30), st.integers(0, 29))
def test_no_digit_is_lost_on_the_ear(pattern: str, places: int) -> None:
    """The words, turned back into digits, are the pattern."""
    counts = dict(
        zip(["five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"], range(5, 13), strict=True)
    )
    heard, waiting = "", 0
    for word in say_bits(pattern, min(places, len(pattern) - 1)).replace(",", "").split():
        if word in counts or word.isdigit():
            waiting = counts.get(word) or int(word)
        elif word in {"zeros", "ones"}:
            heard += ("0" if word == "zeros" else "1") * waiting
        elif word in {"zero", "one"}:
            heard += "0" if word == "zero" else "1"

    assert heard == pattern


@pytest.mark.parametrize(
    ("text", "heard"),
    [
        ("8.5 \u2212 3.25 = 5.25", "8 point five minus 3 point two five equals 5 point two five"),
        ("64 + (\u22120.5)", "64 plus minus 0 point five"),
        ("1110 = \u22128 + 4 + 2 = \u22122", "one one one zero equals minus 8 plus 4 plus 2 equals minus 2"),
        ("as 1.0101100 0011.", "as one point zero one zero one, one zero zero; zero zero one one."),
        ("\u22125/8 × 2^\u22122", "minus 5 over 8 times two to the power minus 2"),
        ("about 1.2%", "about 1 point two percent"),
        ("100 places", "100 places"),
    ],
)  # fmt: skip
def test_a_sentence_is_turned_into_words(text: str, heard: str) -> None:
    """Signs become words; bits are said digit by digit, decimals too."""
    assert for_ear(text) == heard


def test_numbers() -> None:
    """Small and awkward values."""
    assert say_number(Fraction(-1, 3)) == "minus 1 over 3"
    assert say_number(7) == "7"

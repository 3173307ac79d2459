"""Bit strings: read as people write them, refused with the character and the rule."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.numbers.bits import group, looks_like_bits, parse_bits, shorten, signed, to_bits, with_point
from chalkpoint.numbers.errors import EntryError


@given(
    st.integers(1, 80).flatmap(
        lambda bits: st.tuples(st.just(bits), st.integers(-(1 << bits - 1), (1 << bits - 1) - 1))
    )
)
def test_writing_and_reading_are_inverse(case: tuple[int, int]) -> None:
    """Every integer that fits comes back from its bits."""
    bits, number = case

    assert signed(to_bits(number, bits)) == number


@pytest.mark.parametrize(
    "text", ["01101000", "0.1101000", "0110 1000", "0110_1000", "0.110|1000", "0\u00a01101000"]
)
def test_separators_and_a_point_are_taken(text: str) -> None:
    """Spaces, underscores, bars and one point may stand among the digits."""
    assert parse_bits(text, 8, "mantissa") == "01101000"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0110100", "'0110100' as mantissa has 7 bits; this format has 8, such as 01010101"),
        ("1", "'1' as mantissa has 1 bit; this format has 8, such as 01010101"),
        ("0110l000", "'0110l000' as mantissa: character 5 is 'l'; write 0 or 1, such as 01010101"),
        ("0.11.01000", "'0.11.01000' as mantissa has 8 bits; this format has 8, such as 01010101"),
    ],
)
def test_a_refusal_names_the_value_the_rule_and_an_example(text: str, said: str) -> None:
    """One sentence says what is wrong with a field and what would be taken."""
    with pytest.raises(EntryError) as refusal:
        parse_bits(text, 8, "mantissa")

    assert str(refusal.value) == said


@pytest.mark.parametrize(
    ("text", "bits"),
    [("0110", True), ("0.1 10", True), ("5.25", False), ("", False), ("..", False), ("1.0.1", False)],
)
def test_what_looks_like_bits(text: str, bits: bool) -> None:
    """Only 0s, 1s, separators and at most one point look like bits."""
    assert looks_like_bits(text) is bits


def test_groups_run_outwards_from_the_point() -> None:
    """Groups of four are counted from the point in both directions."""
    assert group("110101101", places=4) == ["1", "1010", "1101"]


def test_a_point_after_the_last_place_is_not_written() -> None:
    """An integer has no point."""
    assert with_point("0110", 0) == "0110"


@pytest.mark.parametrize("length", [1, 160, 161, 65_000])
def test_a_long_row_keeps_its_two_ends(length: int) -> None:
    """What is too long for a page loses its middle, and says so."""
    short = shorten("0" * (length - 1) + "1")

    assert len(short) <= 160
    assert short.endswith("1")
    assert ("\u2026" in short) == (length > 160)

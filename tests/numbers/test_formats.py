"""Formats: spelled, read, written, and refused with what would be taken."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.formats import Field, FixedFormat, Pattern, parse_format


@pytest.mark.parametrize("text", ["8+4", " 8 + 4 ", "08+04"])
def test_a_spelling_has_one_canonical_form(text: str) -> None:
    """Spaces and leading zeros do not make another format."""
    assert str(parse_format(text)) == "8+4"


@pytest.mark.parametrize("text", ["8", "8+", "+4", "8x4", "1+4", "8+1", "65+4", "8+17", "", "8+4+2", "-8+4"])
def test_what_is_no_format_is_refused_with_an_example(text: str) -> None:
    """A refusal quotes the entry and says which sizes are taken."""
    with pytest.raises(EntryError, match=r"from 2\+2 to 64\+16, such as 8\+4"):
        parse_format(text)


@pytest.mark.parametrize("exponent_first", [False, True])
def test_every_pattern_of_4_and_3_reads_back(exponent_first: bool) -> None:
    """All 128 patterns are written and read, with and without the point, parted or run together."""
    fmt = parse_format("4+3", exponent_first=exponent_first)
    for mantissa in range(-8, 8):
        for exponent in range(-4, 4):
            pattern = Pattern(mantissa, exponent)
            for text in (fmt.write(pattern), fmt.write(pattern, point=True)):
                assert fmt.read(text) == pattern
                assert fmt.read(text.replace(" ", "")) == pattern
            assert fmt.value(pattern) == Fraction(mantissa, 8) * Fraction(2) ** exponent


def test_exponent_first_changes_the_order_only() -> None:
    """With the exponent first, its field comes first."""
    fmt = parse_format("8+4", exponent_first=True)

    assert fmt.write(Pattern(104, 3)) == "0011 01101000"
    assert fmt.read("0011 0.1101000") == Pattern(104, 3)


@given(st.integers(2, 64), st.integers(2, 16), st.data())
def test_normalised_means_the_first_two_bits_differ(
    mantissa_bits: int, exponent_bits: int, data: st.DataObject
) -> None:
    """Judged on the written digits, zero apart."""
    fmt = parse_format(f"{mantissa_bits}+{exponent_bits}")
    mantissa = data.draw(st.integers(-(1 << mantissa_bits - 1), (1 << mantissa_bits - 1) - 1))
    written = fmt.write(Pattern(mantissa, 0))

    assert fmt.is_normalised(Pattern(mantissa, 0)) == (mantissa == 0 or written[0] != written[1])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0110100 0011", "'0110100' as mantissa has 7 bits; this format has 8, such as 01010101"),
        ("01101000 011", "'011' as exponent has 3 bits; this format has 4, such as 0101"),
        (
            "0110100011",
            "'0110100011' has 10 bits; 8+4 takes 8 for the mantissa and 4 for the exponent, such as '00000111 0001'",
        ),
    ],
)
def test_a_wrong_length_says_which_field_and_how_many(text: str, said: str) -> None:
    """The sentence names the field that is wrong."""
    with pytest.raises(EntryError) as refusal:
        parse_format("8+4").read(text)

    assert str(refusal.value) == said


def test_the_weights_of_a_field_add_up_to_its_ends() -> None:
    """All weights together are -1 in two's complement, and the largest number unsigned."""
    assert Field("two's complement", 4).weights() == (-8, 4, 2, 1)
    assert sum(Field("unsigned", 4).weights()) == Field("unsigned", 4).highest == 15


def test_fixed_point_reads_its_places() -> None:
    """The point stands a fixed number of bits from the right."""
    assert FixedFormat(Field("two's complement", 8), 3).value("11010110") == Fraction(-21, 4)
    assert FixedFormat(Field("unsigned", 4), 2).value("1101") == Fraction(13, 4)


def test_zero_may_have_exponent_zero() -> None:
    """A course chooses the exponent of the pattern for zero."""
    assert parse_format("8+4").zero == Pattern(0, -8)
    assert parse_format("8+4", zero_exponent=0).zero == Pattern(0, 0)

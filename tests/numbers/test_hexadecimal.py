"""Patterns in hexadecimal, in and out."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.hexadecimal import looks_like_hexadecimal, parse_hexadecimal, to_hexadecimal


@given(st.text("01", min_size=1, max_size=140))
def test_bits_come_back(bits: str) -> None:
    """Written in hexadecimal and read again, a row of bits of any length is what it was."""
    written = to_hexadecimal(bits)

    assert looks_like_hexadecimal(written)
    assert parse_hexadecimal(written, len(bits)) == bits
    assert parse_hexadecimal("#" + written[2:].lower(), len(bits)) == bits


@pytest.mark.parametrize(
    ("text", "bits", "said"),
    [
        ("0x12G4", 16, "hexadecimal digit 3 is 'G'; write 0 to 9 or A to F"),
        ("0x123", 16, "'0x123' has 3 hexadecimal digits; 16 bits take 4, such as 0x0123"),
        ("#", 8, "has 0 hexadecimal digits; 8 bits take 2"),
        ("0xFF", 6, "'0xFF' needs 8 bits; this format has 6"),
    ],
)
def test_wrong_digits_are_refused(text: str, bits: int, said: str) -> None:
    """One sentence says what is wrong, and what would be taken."""
    with pytest.raises(EntryError) as refusal:
        parse_hexadecimal(text, bits)
    assert said in str(refusal.value)

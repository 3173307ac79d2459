"""TMS320C3x floating point: exponent first, two's complement, one bit implied.

Source: Texas Instruments TMS320C3x User's Guide, chapter 5 (Data Formats and Floating-Point Operation).
Each figure in data/ti_c3x_c4x.toml has its status; two misprints there are listed as errata.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.numbers.named import format_called
from published.sources import Entry, cases, entries

SINGLE = entries("ti_c3x_c4x", "single32")
SHORT = entries("ti_c3x_c4x", "short16")
WORKED = {entry["id"]: entry for entry in entries("ti_c3x_c4x", "worked")}
ERRATA = entries("ti_c3x_c4x", "erratum")


def hexadecimal(text: str) -> Fraction:
    """Return the exact value of a hexadecimal floating-point figure."""
    return Fraction(*float.fromhex(text).as_integer_ratio())


@pytest.mark.parametrize("figure", cases(SINGLE, "hex"))
def test_single_precision_codes(figure: Entry) -> None:
    """Each 32-bit code has the value printed, its fields too, and the value has that code."""
    value = hexadecimal(figure["value_float_hex"])
    working = cp.work("decode", f"0x{figure['hex']}", format="C3x-32")

    assert working.result.value == value
    assert working.question.patterns[0].exponent == figure["exponent"]
    assert cp.work("encode", value, format="C3x-32").result.hexadecimal == f"0x{figure['hex']}"


@pytest.mark.parametrize("figure", cases(SHORT, "hex"))
def test_short_codes(figure: Entry) -> None:
    """Each 16-bit code has the value printed, and the value has that code."""
    value = Fraction(figure["value_exact"])

    assert value == Fraction(figure["value_decimal"])
    assert cp.work("decode", f"0x{figure['hex']}", format="C3x-16").result.value == value
    assert cp.work("encode", value, format="C3x-16").result.hexadecimal == f"0x{figure['hex']}"


def test_the_range_of_the_short_format() -> None:
    """The ends are those of the data book: 77FF, 9000, 7800."""
    found = cp.work("range", format="C3x-16").result.values

    assert found["largest positive"][1] == Fraction(4095, 16)
    assert found["smallest positive"][1] == Fraction(1, 128)
    assert found["most negative"][1] == -256


def test_addition_with_a_carry_into_the_next_place() -> None:
    """1.5 + 0.5 = 2: example 5-13."""
    assert WORKED["5-13 add"]["result"] == "01.0 x 2^1 (2.0)"
    working = cp.work("add", "1.5", "0.5", format="C3x-32")

    assert working.result.hexadecimal == "0x01000000"


def test_addition_that_shifts_left_32_places() -> None:
    """The largest and the most negative of the extended format leave -2^96: example 5-15."""
    assert WORKED["5-15 add, 32-bit shift"]["result"] == "10.0 x 2^95"
    fmt = format_called("C3x-40")
    ends = cp.work("range", format="C3x-40").result.values
    working = cp.work("add", ends["largest positive"][0], ends["most negative"][0], format="C3x-40")

    assert working.result.value == -(Fraction(2) ** 96)
    assert working.pattern.exponent == 95
    assert fmt.value(working.pattern) == -2 * Fraction(2) ** 95


@pytest.mark.parametrize(("first", "second"), [(0, 0), (3, -2), (-5, 7)])
def test_multiplication(first: int, second: int) -> None:
    """1.5 × 2^m times 1.5 × 2^n is 01.001 with the exponent m + n + 1: example 5-9."""
    assert WORKED["5-9 multiply"]["result"] == "01.001 x 2^(m+n+1)"
    operands = [Fraction(3, 2) * Fraction(2) ** power for power in (first, second)]
    working = cp.work("multiply", *operands, format="C3x-32")

    assert working.pattern == (0b01001 << 20, first + second + 1)


def test_multiplication_by_zero_and_underflow_give_the_zero_pattern() -> None:
    """Zero is written with the lowest exponent, and an underflow is written as zero: example 5-12."""
    assert WORKED["5-12 multiply"]["result"] == "zero: f=0, s=0, e=-128"
    assert WORKED["multiply underflow"]["result"] == "zero (e=-128)"
    for operands in (("3", "0"), ("0x81000000", "0.5")):
        working = cp.work("multiply", *operands, format="C3x-32")
        assert working.result.outcome == "zero"
        assert working.result.hexadecimal == "0x80000000"


def test_decoding_by_moving_the_point() -> None:
    """01.1 with the exponent -2 is 3/8."""
    assert cp.work("decode", "1110 010000000000", format="C3x-16").result.value == Fraction(
        WORKED["decode"]["result"]
    )


def test_errata_are_not_what_the_formats_hold() -> None:
    """The extended format's ends are the corrected ones: (2 - 2^-31) × 2^127 and 2^-127."""
    assert ERRATA[1]["should_be"].startswith("(2-2^-31) x 2^127")
    values = cp.work("range", format="C3x-40").result.values

    assert values["largest positive"][1] == (2 - Fraction(1, 2**31)) * Fraction(2) ** 127
    assert values["smallest positive"][1] == Fraction(1, 2**127)

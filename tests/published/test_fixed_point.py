"""Two's complement integers and fractions, powers of two, expansions, and a clock that cut 0.1.

Sources: MIL-STD-1750A tables I and II; Bryant and O'Hallaron, Computer Systems, chapter 2; US
General Accounting Office, GAO/IMTEC-92-26 (February 1992). A fixed-point number is worked here as
a floating-point one whose exponent stays put: 0 for a fraction, one less than the width for an
integer. The powers of two are from memory.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

import chalkpoint as cp
from published.sources import Entry, cases, entries

POWERS = entries("fixed_point", "power")
RANGES = entries("fixed_point", "range")
INTEGERS = entries("fixed_point", "integer32")
EXPANSIONS = entries("fixed_point", "expansion")
CLOCK = entries("fixed_point", "clock")


@pytest.mark.parametrize("power", cases(POWERS, "n"))
def test_powers_of_two(power: Entry) -> None:
    """2^n and 2^-n are 0.1 with the exponents n + 1 and 1 - n, and decode to the printed digits."""
    n = power["n"]
    for exponent, printed in ((n + 1, power["two_to_n"]), (1 - n, power["two_to_minus_n"])):
        pattern = f"01000000 {exponent % 2**8:08b}"

        assert cp.work("decode", pattern, format="8+8").result.value == Fraction(printed)
        assert cp.work("encode", printed, format="8+8").result.bits == pattern


@pytest.mark.parametrize("extremes", cases(RANGES, "bits"))
def test_ends_of_a_fraction(extremes: Entry) -> None:
    """With exponent 0 the mantissa runs from -1 to one step below 1."""
    width = extremes["bits"]
    for mantissa, printed in (
        ("1" + "0" * (width - 1), extremes["fraction_min"]),
        ("0" + "1" * (width - 1), extremes["fraction_max"]),
        ("0" * (width - 1) + "1", extremes["fraction_step"]),
    ):
        working = cp.work("decode", f"{mantissa} 0000", format=f"{width}+4")

        assert working.result.value == Fraction(printed)


@pytest.mark.parametrize("extremes", cases(RANGES, "bits"))
def test_ends_of_an_integer(extremes: Entry) -> None:
    """With the exponent one less than the width, the mantissa is an integer."""
    width = extremes["bits"]
    exponent = f"{width - 1:08b}"
    for mantissa, printed in (
        ("1" + "0" * (width - 1), extremes["integer_min"]),
        ("0" + "1" * (width - 1), extremes["integer_max"]),
    ):
        working = cp.work("decode", f"{mantissa} {exponent}", format=f"{width}+8")

        assert working.result.value == int(printed)


@pytest.mark.parametrize("integer", cases(INTEGERS, "hex"))
def test_32_bit_integers(integer: Entry) -> None:
    """Each 32-bit code is its integer."""
    mantissa = f"{int(integer['hex'], 16):032b}"

    assert cp.work("decode", f"{mantissa} 00011111", format="32+8").result.value == int(integer["integer"])


def expanded(printed: str, places: int) -> Fraction:
    """Return a printed expansion such as 0.0(0011) cut after *places* binary places."""
    whole, _, digits = printed.partition(".")
    start, _, block = digits.partition("(")
    block = block.rstrip(")") or "0"
    digits = (start + block * places)[:places]
    return Fraction(int(whole + digits, 2), 2**places)


@pytest.mark.parametrize("expansion", cases(EXPANSIONS, "x"))
def test_expansions_in_base_two(expansion: Entry) -> None:
    """A fraction cut to 24 bits is the printed expansion cut at the same place."""
    working = cp.work("encode", expansion["x"], format="24+8")
    assert working.result.bits is not None
    exponent = int(working.result.bits.split()[1], 2)
    places = 23 - (exponent - 256 if exponent >= 128 else exponent)

    assert working.result.value == expanded(expansion["expansion"], places)
    assert (working.check.verdict == "exact") == ("(" not in expansion["expansion"])


def test_a_tenth_cut_after_23_places() -> None:
    """0.1 cut after 23 places is 209715/2^21, short by 2^-20 / 10 (verified).

    Its first 1 stands in the fourth place, so 23 places are 20 digits and a sign: 21 bits.
    """
    stored, error = (Fraction(entry["value"]) for entry in CLOCK[:2])
    working = cp.work("error", "0.1", format="21+4")

    assert working.result.value == stored
    assert working.check.error == error


@pytest.mark.parametrize("entry", cases([entry for entry in CLOCK if entry["id"].endswith(" h")], "id"))
def test_the_clock_falls_behind(entry: Entry) -> None:
    """Ten cuts a second for so many hours add up to the printed seconds."""
    hours = int(entry["id"].split()[-2])
    error = cp.work("error", "0.1", format="21+4").check.error

    assert error is not None
    assert error * 10 * 3600 * hours == Fraction(entry["value"])


def test_a_tenth_cut_after_24_places() -> None:
    """The 24th place of 0.1 is a 1: with it the error is 3/83886080 (derived), not the clock's."""
    (trap,) = [entry for entry in CLOCK if "24 digits" in entry["id"]]

    assert cp.work("error", "0.1", format="22+4").check.error == Fraction(trap["value"])

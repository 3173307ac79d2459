"""The two OCP 8-bit formats and the IEEE-style one of the same sizes.

Source: OCP 8-bit Floating Point Specification (OFP8) revision 1.0 (2023). The figures are the eight_bit
table of data/ieee754.toml.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.numbers.named import format_called
from chalkpoint.numbers.signed import SignMagnitudeFormat
from published.sources import Entry, cases, entries

FIGURES = entries("ieee754", "eight_bit")
CODES = [figure for figure in FIGURES if figure["code"]]
PARAMETERS = [figure for figure in FIGURES if not figure["code"]]


def spelling(figure: Entry) -> str:
    """Return how the figure's format is spelt here."""
    name: str = figure["format"]
    return "1+4+3" if name.startswith("IEEE") else name


@pytest.mark.parametrize("figure", cases(CODES, "format", "code"))
def test_codes(figure: Entry) -> None:
    """Each code reads as printed; a number is stored as that code."""
    course = cp.Course(format=spelling(figure))
    working = cp.work("decode", f"0x{figure['code']}", course=course)

    if figure["value"] in {"nan", "inf"}:
        assert working.result.outcome == {"nan": "not a number", "inf": "infinity"}[figure["value"]]
    else:
        value = Fraction(figure["value"])
        assert working.result.value == value
        assert cp.work("encode", value, course=course).result.hexadecimal == f"0x{figure['code']}"


@pytest.mark.parametrize("figure", cases(PARAMETERS, "format"))
def test_parameters(figure: Entry) -> None:
    """Bias, largest and smallest exponent are those of the specification."""
    fmt = format_called(figure["format"])
    assert isinstance(fmt, SignMagnitudeFormat)

    assert (
        figure["what"]
        == f"bias {fmt.exponent.excess}, emax {fmt.highest_exponent}, emin {fmt.lowest_exponent}"
    )


def test_an_overflow_in_e4m3_is_no_number_or_the_largest() -> None:
    """The specification has both ways; a course says which."""
    assert cp.work("multiply", "448", "2", format="E4M3").result.hexadecimal == "0x7F"
    saturating = cp.Course(format="E4M3", overflow="largest")
    assert cp.work("multiply", "-448", "2", course=saturating).result.hexadecimal == "0xFE"

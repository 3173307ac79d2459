"""Patterns and values from published examinations at classroom sizes.

Source: Cambridge International 9608 and 9618 mark schemes 2015-2024, OCR and AQA questions; each
figure in data/classroom.toml says which, and whether the answer was seen there or computed.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

import chalkpoint as cp
from published.sources import Entry, cases, entries

CODES = entries("classroom", "code")
RANGES = entries("classroom", "range")
ADDITIONS = entries("classroom", "addition")


def bits(code: Entry) -> str:
    """Return the pattern with its two fields apart."""
    return f"{code['mantissa']} {code['exponent']}"


@pytest.mark.parametrize("code", cases(CODES, "mantissa", "exponent"))
def test_a_code_decodes_to_its_value(code: Entry) -> None:
    """Each pattern has the value that the source gives."""
    working = cp.work("decode", bits(code), format=code["format"])

    assert working.result.value == Fraction(code["value"]) == Fraction(code["value_decimal"])


@pytest.mark.parametrize(
    "code", cases([code for code in CODES if code["normalised"]], "mantissa", "exponent")
)
def test_a_value_encodes_to_its_code(code: Entry) -> None:
    """Each value has the normalised pattern that the source gives, and no error."""
    working = cp.work("encode", code["value"], format=code["format"])

    assert working.result.bits == bits(code)
    assert working.check.verdict == "exact"


@pytest.mark.parametrize("code", cases(CODES, "mantissa", "exponent"))
def test_normalising_a_code_keeps_its_value(code: Entry) -> None:
    """A normalised pattern stays as it is; another takes its normal form, worth the same."""
    working = cp.work("normalise", bits(code), format=code["format"])

    assert working.result.value == Fraction(code["value"])
    assert (working.result.bits == bits(code)) == code["normalised"]


def test_normalising_two_and_a_half() -> None:
    """The un-normalised code of the 2015 mark scheme takes the code printed after it (verified)."""
    before, after = CODES[:2]

    assert cp.work("normalise", bits(before), format="8+8").result.bits == bits(after)


@pytest.mark.parametrize("extremes", cases(RANGES, "format"))
def test_the_ends_of_the_range(extremes: Entry) -> None:
    """The four ends: formulas everywhere, decimals where they are short enough to print."""
    working = cp.work("range", format=extremes["format"])
    values = {name: value for name, (_, value) in working.result.values.items()}
    low, high = extremes["exponent_min"], extremes["exponent_max"]
    places = int(extremes["format"].split("+")[0]) - 1

    assert values == {
        "largest positive": (1 - Fraction(1, 2**places)) * 2**high,
        "smallest positive": Fraction(1, 2 ** (1 - low)),
        "largest negative": -(Fraction(1, 2) + Fraction(1, 2**places)) / 2**-low,
        "most negative": Fraction(-(2**high)),
    }
    for name, value in values.items():
        printed = extremes.get(f"{name.replace(' ', '_')}_decimal")
        assert printed is None or value == Fraction(printed)


@pytest.mark.parametrize("addition", cases(ADDITIONS, "a"))
def test_a_sum_too_long_for_its_mantissa(addition: Entry) -> None:
    """The printed sum needs nine mantissa bits: eight hold it chopped, or rounded to even at the tie."""
    results = {
        method: cp.work("add", addition["a"], addition["b"], format=addition["format"], method=method)
        for method in ("align-then-negate", "exact-then-truncate", "exact-then-nearest")
    }

    assert {working.check.exact for working in results.values()} == {Fraction(addition["exact_sum"])}
    assert results["align-then-negate"].result.bits == addition["chopped"]
    assert results["exact-then-truncate"].result.bits == addition["chopped"]
    assert results["exact-then-nearest"].result.bits == addition["nearest_even"]
    assert set(results["align-then-negate"].check.nearest) == {addition["chopped"], addition["nearest_even"]}

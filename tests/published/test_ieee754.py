"""IEEE 754 formats: their parameters, known encodings, rounding directions and worked figures.

Source: IEEE Std 754-2019 tables 3.2 and 3.5, clauses 4.3 and 7.4; OCP 8-bit Floating Point Specification
(OFP8) revision 1.0; Patterson and Hennessy, Computer Organization and Design, section 3.5. Each figure in
data/ieee754.toml has its status.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.numbers.named import format_called
from chalkpoint.numbers.signed import SignMagnitudeFormat
from published.sources import Entry, cases, entries

FORMATS = entries("ieee754", "format")
ENCODINGS = entries("ieee754", "encoding")
THRESHOLDS = entries("ieee754", "threshold")
ROUNDINGS = entries("ieee754", "rounding_p4")
MODES = entries("ieee754", "rounding_mode")
WORKED = {entry["id"]: entry for entry in entries("ieee754", "worked")}
DIRECTIONS = {
    "ties_to_even": "nearest",
    "ties_to_away": "nearest away",
    "toward_zero": "toward zero",
    "toward_positive": "up",
    "toward_negative": "down",
}
MODE_NAMES = {
    "roundTiesToEven": "nearest",
    "roundTiesToAway": "nearest away",
    "roundTowardPositive": "up",
    "roundTowardNegative": "down",
    "roundTowardZero": "toward zero",
}


def power(text: str) -> Fraction:
    """Return what a figure such as "(2 - 2^-10) * 2^15" comes to."""
    value = Fraction(1)
    for factor in text.split(" * "):
        terms = re.sub(r"[()]", "", factor).split(" - ")
        numbers = [Fraction(*map(int, ())) if not term else _term(term) for term in terms]
        value *= numbers[0] - sum(numbers[1:], Fraction(0))
    return value


def _term(text: str) -> Fraction:
    base, _, exponent = text.partition("^")
    return Fraction(int(base)) ** int(exponent or 1)


def value_of(text: str) -> Fraction:
    """Return the exact value of a decimal with or without an exponent."""
    return Fraction(text)


@pytest.mark.parametrize("figure", cases(FORMATS, "name"))
def test_parameters(figure: Entry) -> None:
    """Widths, bias, exponents and the ends of the range are those of the standard's tables."""
    fmt = format_called(figure["name"])
    assert isinstance(fmt, SignMagnitudeFormat)

    assert (fmt.bits, fmt.digits, fmt.exponent_bits, fmt.fraction_bits) == (
        figure["k"],
        figure["p"],
        figure["w"],
        figure["t"],
    )
    assert (fmt.exponent.excess, fmt.highest_exponent, fmt.lowest_exponent) == (
        figure["bias"],
        figure["emax"],
        figure["emin"],
    )
    assert fmt.value(fmt.largest) == power(figure["max_finite"])
    assert fmt.value(fmt.smallest_normal) == power(figure["min_normal"])
    assert fmt.value(fmt.smallest) == power(figure["min_subnormal"])


@pytest.mark.parametrize("figure", cases(FORMATS, "name"))
def test_decimals_of_the_ends(figure: Entry) -> None:
    """The printed decimals are the exact ends to 22 digits."""
    fmt = format_called(figure["name"])
    assert isinstance(fmt, SignMagnitudeFormat)
    for name, pattern in (
        ("max_finite", fmt.largest),
        ("min_normal", fmt.smallest_normal),
        ("min_subnormal", fmt.smallest),
    ):
        printed = Fraction(figure[f"{name}_decimal"])
        assert abs(printed - fmt.value(pattern)) <= printed / 10**21


@pytest.mark.parametrize("figure", cases(FORMATS, "name"))
def test_where_rounding_to_the_nearest_overflows(figure: Entry) -> None:
    """From the threshold on the answer is infinity; just below it, the largest number."""
    course = cp.Course(format=figure["name"])
    threshold = power(figure["rne_overflow_threshold"])

    assert cp.work("encode", threshold, course=course).result.outcome == "infinity"
    below = cp.work("encode", threshold - 1, course=course)
    assert below.result.value == power(figure["max_finite"])


@pytest.mark.parametrize("figure", cases(ENCODINGS, "format", "value"))
def test_encodings(figure: Entry) -> None:
    """Each value is stored as the code printed, and a code that is exact is read back."""
    course = cp.Course(format=figure["format"])
    if figure["value"] in {"inf", "-0.0"}:
        working = cp.work("decode", f"0x{figure['hex']}", course=course)
        assert working.question.shown == ["infinity" if figure["value"] == "inf" else "\u22120"]
        return
    value = Fraction(figure["value"])
    working = cp.work("encode", value, course=course)

    assert working.result.hexadecimal == f"0x{figure['hex']}"
    read = cp.work("decode", f"#{figure['hex'].lower()}", course=course).result.value
    assert read is not None
    assert read == working.result.value


@pytest.mark.parametrize("figure", cases(THRESHOLDS, "format", "x"))
def test_thresholds(figure: Entry) -> None:
    """Values around the ends of the range are rounded as derived from the rule."""
    working = cp.work("encode", Fraction(figure["x"]), format=figure["format"])
    wanted = figure["rounds_to"].split(" ")[0]

    if wanted == "inf":
        assert working.result.outcome == "infinity"
    else:
        found = working.result.value
        assert found is not None
        assert abs(found - Fraction(wanted)) <= abs(found) / 10**15


@pytest.mark.parametrize("figure", cases(ROUNDINGS, "x"))
@pytest.mark.parametrize("direction", DIRECTIONS)
def test_five_directions_at_four_digits(figure: Entry, direction: str) -> None:
    """At a precision of four digits each value goes where the direction takes it."""
    working = cp.work("encode", figure["x"], course=cp.Course(format="1+5+3", rounding=DIRECTIONS[direction]))

    assert working.result.value == Fraction(figure[direction])


@pytest.mark.parametrize("figure", cases(MODES, "mode"))
def test_every_direction_of_the_standard_is_there(figure: Entry) -> None:
    """Each of the five directions is one a course may choose, and ends where its rule says on both sides."""
    course = cp.Course(format="1+5+3", rounding=MODE_NAMES[figure["mode"]])
    ends = [cp.work("encode", value, course=course).result.value for value in ("19/16", "-19/16")]

    assert (
        ends
        == {
            "nearest": [Fraction(5, 4), Fraction(-5, 4)],
            "nearest away": [Fraction(5, 4), Fraction(-5, 4)],
            "up": [Fraction(5, 4), Fraction(-9, 8)],
            "down": [Fraction(9, 8), Fraction(-5, 4)],
            "toward zero": [Fraction(9, 8), Fraction(-9, 8)],
        }[course.rounding]
    )


def test_worked_binary_addition() -> None:
    """0.5 + (-0.4375) at four digits, line by line (Patterson and Hennessy)."""
    working = cp.work("add", "0.5", "-0.4375", format="1+8+3")
    lines = {step.rule: step.after for step in working.steps}

    assert WORKED["binary add, 4 bits"]["result"] == "0.0625 = 1/16"
    assert (lines["align"].second >> 3, lines["align"].second_exponent) == (0b0111, -1)
    assert (lines["combine"].total >> 3, lines["combine"].exponent) == (0b0001, -1)
    assert (lines["renormalise"].total >> 3, lines["renormalise"].exponent) == (0b1000, -4)
    assert lines["round"].total == 0b1000
    assert working.result.value == Fraction(1, 16)
    assert working.check.verdict == "exact"


def test_worked_binary_multiplication() -> None:
    """0.5 × (-0.4375) at four digits: stored exponents 126 + 125 - 127 = 124, product 1.110000."""
    working = cp.work("multiply", "0.5", "-0.4375", format="1+8+3")
    lines = {step.rule: step for step in working.steps}

    assert WORKED["binary multiply, 4 bits"]["result"] == "-0.21875 = -7/32"
    assert "126 + 125 \u2212 127 = 124" in lines["exponents"].detail
    assert lines["product"].after.total == 0b1110000
    assert "renormalise" not in lines
    assert working.result.value == Fraction(-7, 32)


def test_worked_single_precision() -> None:
    """-0.75 in binary32: sign 1, stored exponent 126, fraction 100...0."""
    working = cp.work("encode", "-0.75", format="binary32")

    assert working.result.hexadecimal == f"0x{WORKED['single precision']['result']}"
    assert working.steps[-1].rows[0].stored == 126


def test_the_decimal_example_has_its_four_steps() -> None:
    """The decimal addition is no business of a binary engine; its figures agree with exact arithmetic."""
    figure = WORKED["decimal add, 4 digits"]
    assert Fraction(figure["a"]) + Fraction("0.016e1") == Fraction("10.015e1")
    assert abs(Fraction(figure["result"]) - Fraction("10.015e1")) == Fraction("0.005e1")

"""MIL-STD-1750A floating point: the school format at 24+8 and 40+8 bits.

Source: MIL-STD-1750A, Sixteen-Bit Computer Instruction Set Architecture (1980, Notice 1 1982),
sections 4.1.5 to 4.1.8 and the instructions FA, FS, FABS and FNEG. Each figure in
data/mil_std_1750a.toml has its status; the add vectors are derived from the verified rule.

The machine and the default course part in one place. Past the ends of the range the machine
saturates (7FFFFF7F, 8000007F) or flushes to zero, and raises a flag; here the answer is the word.
Its zero is all bits zero, which is the course's zero = "exponent zero".
"""

from __future__ import annotations

from fractions import Fraction

import pytest

import chalkpoint as cp
from published.sources import Entry, cases, entries

SINGLE = cp.Course(format="24+8", zero="exponent zero")
EXTENDED = cp.Course(format="40+8", zero="exponent zero")

EXAMPLES_32 = entries("mil_std_1750a", "example32")
EXAMPLES_48 = entries("mil_std_1750a", "example48")
ADDITIONS = entries("mil_std_1750a", "add")
UNARY = entries("mil_std_1750a", "unary")
FLAGGED = "overflow"


def single(code: str) -> str:
    """Return a 32-bit code as mantissa and exponent."""
    bits = f"{int(code, 16):032b}"
    return f"{bits[:24]} {bits[24:]}"


def extended(code: str) -> str:
    """Return a 48-bit code as mantissa and exponent: the exponent stands inside the mantissa."""
    bits = f"{int(code, 16):048b}"
    return f"{bits[:24]}{bits[32:]} {bits[24:32]}"


def scaled(mantissa: Fraction, exponent: int) -> Fraction:
    """Return mantissa * 2^exponent."""
    return mantissa * Fraction(2) ** exponent


@pytest.mark.parametrize("example", cases(EXAMPLES_32, "hex"))
def test_32_bit_examples(example: Entry) -> None:
    """Each code of the standard's table has the value printed there, and that value this code."""
    value = scaled(Fraction(example["mantissa_exact"]), example["exponent"])

    assert cp.work("decode", single(example["hex"]), course=SINGLE).result.value == value
    assert cp.work("encode", value, course=SINGLE).result.bits == single(example["hex"])


@pytest.mark.parametrize("example", cases(EXAMPLES_48, "hex"))
def test_48_bit_examples(example: Entry) -> None:
    """The same for the extended format."""
    value = scaled(Fraction(example["mantissa_integer"], 2**39), example["exponent"])

    assert cp.work("decode", extended(example["hex"]), course=EXTENDED).result.value == value
    assert cp.work("encode", value, course=EXTENDED).result.bits == extended(example["hex"])


def test_a_printed_decimal_encodes_to_the_nearest_48_bit_code() -> None:
    """105.639485637520592250 is printed for 69A3B50754AB, its nearest code (verified)."""
    working = cp.work("encode", "105.639485637520592250", course=EXTENDED.with_(rounding="nearest"))

    assert working.result.bits == extended("69A3B50754AB")


@pytest.mark.parametrize("example", cases(entries("mil_std_1750a", "encode"), "x"))
def test_encoding(example: Entry) -> None:
    """12.375 and -12.375 have the printed codes."""
    assert cp.work("encode", example["x"], course=SINGLE).result.bits == single(example["hex"])


@pytest.mark.parametrize("addition", cases(ADDITIONS, "why"))
def test_add_vectors(addition: Entry) -> None:
    """Sums come out bit for bit; where the machine saturates, the answer here is the word."""
    working = cp.work("add", single(addition["a"]), single(addition["b"]), course=SINGLE)

    if addition["flag"] == FLAGGED:
        assert (working.result.outcome, working.result.bits) == ("overflow", None)
    else:
        assert working.result.bits == single(addition["sum"])
        assert (working.check.verdict == "exact") == addition["exact_sum_representable"]


def test_a_small_negative_addend_costs_one_last_place() -> None:
    """1 + (-2^-30) is 1 - 2^-22: shifted-out bits are lost, with no guard digit (verified rule "align")."""
    working = cp.work("add", single("40000001"), single("800000E2"), course=SINGLE)

    assert working.check.exact == 1 - Fraction(1, 2**30)
    assert working.result.value == 1 - Fraction(1, 2**22)


@pytest.mark.parametrize("case", cases([case for case in UNARY if case["op"] == "FNEG"], "x"))
def test_negating(case: Entry) -> None:
    """-1.0 and 0.5 change their exponents as they change sign; -1.0 at the highest one overflows."""
    working = cp.work("negate", single(case["x"]), course=SINGLE)

    if case.get("flag") == FLAGGED:
        assert (working.result.outcome, working.result.bits) == ("overflow", None)
    else:
        assert working.result.bits == single(case["result"])


@pytest.mark.parametrize("case", cases([case for case in UNARY if case["op"] == "FABS"], "x"))
def test_the_size_of_a_negative(case: Entry) -> None:
    """The size of -1.0 * 2^4 is 0.1 * 2^5, which is its negation."""
    assert cp.work("negate", single(case["x"]), course=SINGLE).result.bits == single(case["result"])


def test_minus_a_half_is_minus_one_at_the_exponent_below() -> None:
    """-0.5 * 2^n is held as -1.0 * 2^(n-1) (verified rule "minus_half")."""
    assert cp.work("normalise", single("C0000005"), course=SINGLE).result.bits == single("80000004")


def test_extremes() -> None:
    """The ends of the 32-bit range have the printed codes (verified rule "extremes_32")."""
    values = cp.work("range", course=SINGLE).result.values

    assert values["smallest positive"][0] == single("40000080")
    assert values["most negative"][0] == single("8000007F")
    assert values["largest positive"][0] == single("7FFFFF7F")


def test_a_result_too_small_is_zero_where_the_course_says_so() -> None:
    """Normalising below -128 gives zero on the machine (verified rule "underflow"); here by choice."""
    operands = single("40000180"), single("40000080")

    assert cp.work("subtract", *operands, course=SINGLE).result.outcome == "underflow"
    flushed = cp.work("subtract", *operands, course=SINGLE.with_(underflow="zero"))
    assert flushed.result.bits == single("00000000")

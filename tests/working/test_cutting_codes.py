"""What cutting a pattern is in each code of whole numbers and fixed point, worked by hand and then digit by digit.

A cut keeps the first digits of the pattern itself. In two's complement and in an excess code that goes down, toward
minus infinity; in ones' complement and in sign and magnitude, whose patterns are those of a size, toward zero.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

import chalkpoint as cp
from asked import asked, step_of

FAR = 40  # digits behind the point, written by hand before a cut
TURNED = str.maketrans("01", "10")

#: -6.625: 110.101; 1001.011; 1001.010; -110.101; 127 - 6.625 = 120.375 = 1111000.011.
CUT = [
    ("8", "11111001", -7),
    ("8 ones-complement", "11111001", -6),
    ("8 sign-and-magnitude", "10000110", -6),
    ("8 excess-127", "01111000", -7),
]
#: -2.5 and -3.5 are ties: to -2 and -4, whose sizes end in 0.
NEAREST = [
    ("8", "11111110", "11111100"),
    ("8 ones-complement", "11111101", "11111011"),
    ("8 sign-and-magnitude", "10000010", "10000100"),
    ("8 excess-127", "01111101", "01111011"),
]


@pytest.mark.parametrize(("spelling", "bits", "value"), CUT)
def test_a_negative_is_cut_as_its_code_writes_it(spelling: str, bits: str, value: int) -> None:
    """The pattern, its value, the check's rule and an operand that is stored are the same number."""
    working = asked(f"encode -6.625 --format {spelling}")

    assert working.result.bits == bits
    assert working.result.value == value
    assert working.check.by_rule == bits
    added = asked(f"subtract -6.625 -2.875 --format {spelling}")
    # -7 - (-3) and -6 - (-2): -4 both ways, from other numbers.
    assert list(added.question.values) == [value, value + 4]
    assert added.result.value == -4


@pytest.mark.parametrize(("spelling", "two", "four"), NEAREST)
def test_a_tie_goes_to_the_size_that_ends_in_0(spelling: str, two: str, four: str) -> None:
    """The pattern of -2 ends in 1 in ones' complement and in excess-127: it is the size that ends in 0."""
    first, second = (asked(f"encode {x} --format {spelling} --rounding nearest") for x in ("-2.5", "-3.5"))

    assert (first.result.bits, second.result.bits) == (two, four)
    assert "ties to the size that ends in 0" in step_of(first, "fit").detail


#: question; label, digits and tray of each row of the fit; what it says; what the line of the bits says.
ROWS = [
    (
        "encode -6.625 --format 8",
        [("negative", "1001.011", ""), ("kept", "1001", "011")],
        "The value is negative: invert every bit, then add one in the last place. "
        "Keep 0 places after the point: the pattern is cut, toward minus infinity.",
        "Fill 8 bits with copies of the sign bit on the left.",
    ),
    (
        "encode -6.625 --format 8 ones-complement",
        [("kept", "110", "101")],
        "Keep 0 places after the point: the pattern is cut, toward zero.",
        "Fill 8 bits with 0s on the left. The value is negative: invert every bit.",
    ),
    (
        "encode -6.625 --format 8 sign-and-magnitude",
        [("kept", "110", "101")],
        "Keep 0 places after the point: the pattern is cut, toward zero.",
        "Fill 8 bits with 0s on the left. The value is negative, so the first bit is 1.",
    ),
    (
        "encode -6.625 --format 8 excess-127",
        [("with excess", "1111000.011", ""), ("kept", "1111000", "011")],
        "The value is negative, so add the excess first: \u22126.625 + 127 = 120.375. "
        "Keep 0 places after the point: the pattern is cut, toward minus infinity.",
        "Fill 8 bits with 0s on the left.",
    ),
    # 1/3 = 0.01010101...: -1/3 = 1.10101010..., cut at three places 1.101 = -3/8.
    (
        "encode -1/3 --format Q2.3",
        [("negative", "1.1010101\u2026", ""), ("kept", "1.101", "0101\u2026")],
        "The value is negative: invert every bit. The digits never end, so no place is the last to add one in. "
        "Keep 3 places after the point: the pattern is cut, toward minus infinity.",
        "Fill 5 bits with copies of the sign bit on the left.",
    ),
    (
        "encode -1/3 --format Q2.3 sign-and-magnitude",
        [("kept", "0.010", "1010\u2026")],
        "Keep 3 places after the point: the pattern is cut, toward zero.",
        "Fill 5 bits with 0s on the left. The value is negative, so the first bit is 1.",
    ),
    # Nothing of the size is left: zero, and zero has no sign here.
    (
        "encode -0.25 --format 8 ones-complement",
        [("kept", "0", "01")],
        "Keep 0 places after the point: the pattern is cut, toward zero.",
        "Fill 8 bits with 0s on the left. What was kept is 0, which is written without its minus.",
    ),
    # A positive is cut the same way in every code.
    (
        "encode 6.625 --format 8",
        [("kept", "110", "101")],
        "Keep 0 places after the point: the pattern is cut, toward minus infinity.",
        "Fill 8 bits with 0s on the left.",
    ),
    (
        "encode -6.625 --format 8 --rounding cut size",
        [("kept", "110", "101")],
        "Keep 0 places after the point: the size is cut.",
        "Fill 8 bits with 0s on the left. The value is negative: invert every bit, then add one in the last place.",
    ),
]


@pytest.mark.parametrize(("question", "rows", "fitted", "coded"), ROWS)
def test_the_rows_of_a_cut_are_what_is_cut(
    question: str, rows: list[tuple[str, str, str]], fitted: str, coded: str
) -> None:
    """What is kept and what falls are the digits of the row above, and both are said as they are."""
    working = asked(question)
    step = step_of(working, "fit")
    shown = [
        (
            row.label,
            f"{row.bits[: len(row.bits) - row.places]}.{row.bits[len(row.bits) - row.places :]}",
            row.lost,
        )
        for row in step.rows
    ]

    assert [(label, digits.rstrip("."), lost) for label, digits, lost in shown] == rows
    assert step.detail == fitted
    assert step_of(working, "code").detail == coded


@pytest.mark.parametrize(
    "question",
    ["encode -200.5 --format 8 excess-127", "encode 300.5 --format 8", "encode -5.7 --format 8 unsigned"],
)
def test_what_is_out_of_range_is_not_fitted(question: str) -> None:
    """-200.5 + 127 is below 0, and there is no pattern to cut; the word comes at once."""
    assert [step.rule for step in asked(question).steps] == ["size", "code"]
    assert step_of(asked(question), "code").title == "Overflow"


@pytest.mark.parametrize(
    ("question", "method"),
    [
        ("encode -1.5 --format 8", "the pattern is cut, toward minus infinity"),
        ("encode -1.5 --format 8 ones-complement", "the pattern is cut, toward zero"),
        ("encode -1.5 --format Q4.4 sign-and-magnitude", "the pattern is cut, toward zero"),
        ("encode -1.5 --format 8 excess-127 --rounding nearest", "ties to the size that ends in 0"),
    ],
)
def test_the_heading_says_which_way_a_cut_goes(question: str, method: str) -> None:
    """It is the code that tells which way a cut goes."""
    from chalkpoint.working.wording.heading import describe_method

    working = asked(question)
    assert method in describe_method(working.question, working.method)


def own_cut(x: Fraction, spelling: str, width: int, places: int) -> Fraction:
    """Return what *x* is after its pattern was written out, FAR places of it, and cut: on strings of digits."""
    size = abs(x)
    digits = format(int(size * 2**FAR), f"0{width + FAR}b")
    keep = len(digits) - FAR + places
    if "excess" in spelling:
        excess = int(spelling.rpartition("-")[2])
        raised = Fraction(excess, 2**places) + x
        return Fraction(
            int(format(int(raised * 2**FAR), "b").zfill(FAR + 1)[: -FAR + places or None], 2) - excess,
            2**places,
        )
    if x < 0 and "sign" not in spelling:
        ends = Fraction(int(digits, 2), 2**FAR) == size
        digits = digits.translate(TURNED)
        if ends and "ones" not in spelling:
            digits = format(int(digits, 2) + 1, f"0{len(digits)}b")[-len(digits) :]
    kept = digits[:keep]
    if x >= 0:
        return Fraction(int(kept, 2), 2**places)
    if "sign" in spelling:
        return -Fraction(int(kept, 2), 2**places)
    if "ones" in spelling:
        return -Fraction(int(kept.translate(TURNED), 2), 2**places)
    return Fraction(int(kept, 2) - 2 ** len(kept), 2**places)


@pytest.mark.parametrize(
    ("spelling", "width", "places"),
    [
        ("6", 6, 0),
        ("6 ones-complement", 6, 0),
        ("6 sign-and-magnitude", 6, 0),
        ("6 excess-31", 6, 0),
        ("6 unsigned", 6, 0),
        ("Q4.2", 6, 2),
        ("Q4.2 ones-complement", 6, 2),
        ("Q4.2 sign-and-magnitude", 6, 2),
        ("Q4.2 excess-31", 6, 2),
        ("Q4.2 unsigned", 6, 2),
    ],
)
def test_every_code_cuts_as_digits_are_cut(spelling: str, width: int, places: int) -> None:
    """Eighths, sevenths and thirds from end to end: written far out, cut by hand, and read back."""
    course = cp.Course(format=spelling)
    low = 0 if "unsigned" in spelling else -7
    for x in (Fraction(number, part) for part in (8, 7, 3) for number in range(low * part, 7 * part)):
        wanted = own_cut(x, spelling, width, places)
        stored = cp.work("encode", x, course=course)

        assert stored.result.value == wanted, x
        assert cp.work("add", x, 0, course=course).question.values[0] == wanted, x

"""What was once said falsely, question by question: what must be said, and where each digit must stand.

Every expectation was worked by hand before the tool was asked.
"""

import pytest

import chalkpoint as cp
from asked import asked, step_of
from chalkpoint.numbers.bits import with_point
from chalkpoint.publishing.parts import Carries, Rail
from chalkpoint.publishing.scene import scene
from chalkpoint.working.written import Row

#: question; rule of the step; what it must say; what it must not say.
SENTENCES = [
    # 1.0000000 + 1.0000000: only the sign column adds two 1s.
    ("add -1 -1", "add", "Only the sign column carries.", "No column"),
    ("add 0.5 0.25", "add", "No column carries.", "Only"),
    # 1|1.0100000 + 0|1.0000000 = 0|0.0100000, and a carry leaves the extra place.
    ("subtract -0.75 -1", "add", "The carry out of the extra sign place is dropped.", "like any other"),
    (
        "subtract -0.75 -1",
        "add",
        "It agrees with the sign bit, so the sum fits the mantissa.",
        "cannot overflow",
    ),
    ("subtract 0.5 -1", "add", "differs from the sign bit, so the sum does not fit the mantissa", "dropped"),
    ("subtract 0.5 -1", "negate", "\u22121 has no opposite in 8 bits", "+2"),
    ("subtract 1 -2 --format C3x-16", "negate", "\u22122 has no opposite in 13 bits", "\u22121.0"),
    ("add 0 1.5", "read", "The exponent of the second is 1.", "\u22128"),
    ("divide 0 -3", "read", "The exponent of the second is 2.", "\u22128"),
    (
        "divide 0 -3",
        "exponents",
        "The dividend is 0, so the quotient is 0 whatever the exponents.",
        "\u22128",
    ),
    ("divide 0 -3", "sign", "0 has no sign to be given.", "alike"),
    ("divide 0 -3", "range", "Every bit of the quotient is 0.", "sum"),
    (
        "multiply 0 -3",
        "exponents",
        "A factor is 0, so the product is 0 whatever the exponents.",
        "\u22128",
    ),
    ("multiply 0 -3", "range", "Every bit of the product is 0.", "sum"),
    ("negate 0", "range", "Every bit of the mantissa is 0.", "sum"),
    ("normalise 0.0000000 0101", "range", "Every bit of the mantissa is 0.", "sum"),
    ("subtract 3 3", "range", "Every bit of the sum is 0.", "mantissa"),
    ("encode 0 --format C3x-16", "zero", "with exponent \u22128, which is kept for zero", "exponent 0"),
    ("decode 1000000000000000 --format C3x-16", "exponent", "1000 is kept for zero", "= \u22128"),
    (
        "negate 1000000000000000 --format C3x-16",
        "range",
        "with exponent \u22128, which is kept for zero",
        "exponent 0",
    ),
    ("multiply 0 -3 --format 8", "product", "The product is 0.", "differ"),
    ("divide 0 -3 --format 8", "quotient", "The quotient is 0.", "differ"),
    (
        "divide 2 3 --format 8",
        "quotient",
        "The divisor does not go into 2 in any place that is written, so the quotient is 0.",
        "highest place",
    ),
    ("add 0 0 --format 8", "add", "Adding 0 changes nothing, so the sum fits.", "positives"),
    ("add 5 9 --format 8", "add", "Two positives have given a positive, so the sum fits.", "overflow"),
    (
        "add 5.3 1.7 --method exact-then-nearest",
        "align",
        "Every digit is kept: the rounding comes at the end.",
        "the cut",
    ),
    (
        "add 5.3 1.7 --method exact-then-truncate",
        "align",
        "Every digit is kept: the cut comes at the end.",
        "rounding",
    ),
    (
        "add 5.3 1.7 --method one-guard-bit",
        "align",
        "One guard bit is kept past the last place.",
        "Every digit",
    ),
    # 1.0 = 0.1000000 0001 both: shifted once more, only 0s fall.
    (
        "add 1 1 --method spare-place-first",
        "spare",
        "Only 0s pass the last place, so nothing is lost.",
        "tray",
    ),
    # -0.75 * 2^-8 beside 0.5: its size is cut to nothing, and no copy of its sign bit is left.
    ("add 64 -0.375 --method size-and-sign", "align", "Nothing of its size is left: it is 0.", "copies"),
    (
        "add 64 -0.375",
        "align",
        "A shift as far as this leaves only copies of the sign bit, worth minus one unit",
        "is 0",
    ),
    (
        "add 1.5 -0.5 --format binary16",
        "combine",
        "take the smaller size, the second\u2019s, from the larger",
        "add",
    ),
    (
        "multiply 1.5 1.5 --format Q5.3 --rounding nearest",
        "cut",
        "only 0s are cut, so nothing is lost",
        "tray",
    ),
    (
        "multiply 1.125 1.125 --format Q5.3 --rounding nearest",
        "cut",
        "rounded to the nearest",
        "the rest falls",
    ),
    # 0.00006 is 0.1111101111 * 2^-14, stored with exponent 0, which counts as 1: -24 is stored as 1 + 5 - 15.
    ("multiply 6e-5 0.001 --format binary16", "exponents", "A stored exponent of 0 counts as 1.", "0 + 5"),
    ("multiply 448 2 --format E4M3", "pack", "the pattern for not a number is written", "what is not"),
    # 64 - 0.25 - 64: the first two cancel before the small one meets them.
    (
        "sum 64 -0.25 -64",
        "order",
        "the two large terms cancel before a small one can be lost beside them",
        "can grow",
    ),
    (
        "sum 64 0.25 0.25 0.25 0.25",
        "order",
        "small terms together can grow before they meet a large one",
        "cancel",
    ),
    # 0.75 - 63.5 = -63 (cut), + 64 = 1: nearer to 1.25, but nothing grew.
    ("sum 64 0.75 -63.5", "order", "0.75 + (\u221263.5) + 64 gives 1, off by 0.25.", "grow"),
    # 0/0: every number times 0 gives 0.
    ("divide 0 0 --format 1750A-32", "by_zero", "Any number times 0 gives 0", "Nothing"),
    # 1/32 at the exponent 0 is 0.00001: what is kept is 0.0000, but the value is not 0.
    (
        "encode 1/32 --format 5+3 excess-0 --underflow un-normalised",
        "exponent",
        "Nothing of the value is left",
        "The value is 0",
    ),
    (
        "negate -128 --format 8 --overflow largest",
        "opposite",
        "10000000 has no opposite in 8 bits: the end of the range is written.",
        "nvert",
    ),
    (
        "add 100 100 --format 8 ones-complement --overflow largest",
        "judge",
        "overflow. The end of the range is written.",
        "word",
    ),
    ("add 100 90 --format 8 --overflow largest", "add", "overflow. It is the signs that tell", "word"),
    (
        "multiply 1.5 -3 --format binary16",
        "product",
        "There is a row for each 1 of the second.",
        "Multiply the sizes",
    ),
    # In ones' complement the first place is worth -127, so nothing is said of -128; -0 has a sentence of its own.
    (
        "decode 00011001 --format 8 ones-complement",
        "weigh",
        "The first bit is the sign, plus; the rest is the size, 16 + 8 + 1: 25.",
        "128",
    ),
    ("decode 11111111 --format 8 ones-complement", "weigh", "this is \u22120, a second zero", "negative"),
    ("decode 10000000 --format 8 sign-and-magnitude", "weigh", "this is \u22120, a second zero", ": 0."),
    ("decode 000001 --format 6", "weigh", "The leading bit weighs \u221232, so this is 1.", ": 1."),
    # 0.1 is 0.00011...: at exponent -2 it is 0.011..., so its point is not behind its first 1.
    ("encode 0.1 --format 1+3+2", "point", "before the point stands behind the first 1", "before the first"),
    # Toward zero it does not matter whether half or more is lost: -3 x 0.21875 = -0.65625 = -1.0101 x 2^-1.
    (
        "multiply -3 0.21875 --format E5M2 --rounding toward zero",
        "round",
        "Past the last place there is 01. So the size stays as it is.",
        "half",
    ),
    (
        "add 1 0|11111|0000000001 --format binary16",
        "special",
        "An operand is not a number, so the answer is not a number either.",
        "no answer",
    ),
    ("multiply -0 0.5 --format binary16", "sign", "so the sign bit of the answer is 1", "negative"),
    ("divide -0.1 3 --format Q5.3", "quotient", "in any place that is written", "into 0.125, so"),
    ("error 300 --format 8 unsigned", "code", "8-bit unsigned holds 0 to 255", "8 unsigned"),
]


@pytest.mark.parametrize(("question", "rule", "said", "unsaid"), SENTENCES)
def test_what_is_said_is_so(question: str, rule: str, said: str, unsaid: str) -> None:
    """A sentence that was false is not said, and the true one is."""
    step = step_of(asked(question), rule)

    assert said in step.detail
    assert unsaid not in step.detail


def columns(row: Row) -> dict[int, str]:
    """Return the digits of *row* by their columns, counted from the point."""
    digits = row.lead + (row.carries or row.bits)
    first = 1 - (len(digits) - row.places)
    return {first + at: digit for at, digit in enumerate(digits)}


#: question; the rows of its addition from the top, "1" in the first where a column is carried into.
ADDITIONS = [
    ("add 5 9 --format 8", ["      1 ", "00000101", "00001001", "00001110"]),
    ("add 1.5 0.5 --format Q5.3", ["   11   ", "00001100", "00000100", "00010000"]),
    ("add 1.5 0.5 --format 8+4", ["11      ", "01100000", "00100000", "010000000"]),
    # 11111011 + 11111111: every column but the last is carried into, and one carry leaves.
    ("add -5 -1 --format 8", ["1111111 ", "11111011", "11111111", "111111010"]),
    # In the extra sign place too: 1|1.01 + 0|1.00 carries out of the sign column into it.
    ("subtract -0.75 -1", ["1        ", "110100000", "010000000", "000100000"]),
    ("subtract -5 -128 --format 8", ["1        ", "111111011", "010000000", "001111011"]),
    ("subtract 5 -128 --format 8", ["000000101", "010000000", "010000101"]),
    ("add -1 -1", ["10000000", "10000000", "100000000"]),
]


@pytest.mark.parametrize(("question", "expected"), ADDITIONS)
def test_every_carry_stands_over_its_column(question: str, expected: list[str]) -> None:
    """Columns are counted from the point: a carry has the column of the digits it is added to."""
    working = asked(question)
    rows = step_of(working, "add").rows

    assert [row.lead + (row.carries or row.bits) for row in rows] == expected
    if rows[0].carries:
        drawn = next(block for block in scene(working).blocks if block.rule == "add")
        (over,) = (item for item in drawn.items if isinstance(item, Carries))
        rail = next(item for item in drawn.items if isinstance(item, Rail))
        assert {cell.column for cell in over.cells} == {
            column for column, digit in columns(rows[0]).items() if digit == "1"
        }
        assert rail.cells[-1].column == max(columns(rows[0]))


def test_the_inverted_row_stands_under_what_is_inverted() -> None:
    """Three rows: what is negated, every bit of it turned, and one added."""
    step = step_of(asked("subtract 5.25 1.5 --format 8+4"), "negate")
    # 1.5 = 0.1100000 0001, aligned with exponent 3: 0.0011000.
    assert [(row.lead, row.bits) for row in step.rows] == [
        ("", "00011000"),
        ("", "11100111"),
        ("", "11101000"),
    ]
    assert step.rows[0].soft


def test_what_is_taken_away_is_beside_a_minus() -> None:
    """1.5 - 0.5 in sizes: 1.1 - 0.1 = 1.0; no row has a plus, and the sizes have no sign of their own."""
    rows = step_of(asked("add -0.5 1.5 --format binary16"), "combine").rows

    assert [(row.sign, row.plus, row.minus) for row in rows] == [
        ("", False, False),
        ("", False, True),
        ("0", False, False),
    ]
    assert [row.bits[:3] for row in rows] == ["110", "010", "100"]
    assert [row.label for row in rows] == ["second", "first", "difference"]


def test_digits_lost_in_a_sum_are_shown_where_they_were_lost() -> None:
    """64 - 0.25: -0.25 = 1.0000000 1110 moves 9 places and loses 110000000, which is shown on its row."""
    step = asked("sum 64 -0.25 -64").steps[0]

    assert [(row.label, row.lost) for row in step.rows] == [
        ("total", ""),
        ("term 2", ""),
        ("term 2 moved", "110000000"),
        ("new total", ""),
    ]


@pytest.mark.parametrize(
    ("question", "label", "written"),
    [
        ("add -1 -3 --format 8", "in binary", "1100 (two\u2019s complement)"),
        ("add -1 -1", "in binary", "110 (two\u2019s complement)"),
        ("add -1.5 -0.5 --format binary16", "in binary", "\u221210"),
        ("add 1 3 --format 8", "in binary", "0100"),
        ("subtract 0.25 0.5", "in binary", "1.11 (two\u2019s complement)"),
        ("decode 1|0000|001 --format E4M3", "in binary", "\u22120.000000001"),
        ("add -3 -3 --format 5 sign-and-magnitude", "in binary", "\u2212110"),
        # A size has no sign place: 6.375 = 110.011, and 0.25 begins with the one 0 that its whole part has.
        ("decode 0|10001|1001100000 --format binary16", "in binary", "110.011"),
        ("encode 0.25 --format binary16", "in binary", "0.01"),
        ("encode 6.375 --format 8+4", "in binary", "0110.011"),
        ("divide -1 infinity --format 1+4+3", "in 1+4+3", "1 0000 000, which fits"),
        ("add -5 5 --format 8 ones-complement", "as a pattern", "11111111, which fits"),
        ("negate 0.5 --format 8+4", "in decimal", "\u22120.5"),
        ("negate -0.5 --format 8+4", "in decimal", "\u2212(\u22120.5) = 0.5"),
        ("encode 1e9999 --format 8+4", "in decimal", "10^9999"),
        ("add -3 -3 --format 5 sign-and-magnitude", "as a pattern", "10110, which fits"),
    ],
)
def test_a_line_of_the_check_is_written_as_its_code_writes_it(
    question: str, label: str, written: str
) -> None:
    """-4 is not 100: its sign place stands before its digits, or a minus does."""
    assert (label, written) in asked(question).check_words.lines


def test_what_was_asked_and_what_was_stored_stand_side_by_side() -> None:
    """0.1 and 0.2 are stored as 0.099609375 and 0.19921875; the answer is exact for these only."""
    working = asked("subtract 0.1 0.2")
    words = working.check_words

    assert working.title == "0.1 \u2212 0.2 in 8+4, stored as 0.099609375 \u2212 0.19921875"
    assert words.lines[:3] == (
        ("first", "0.1, stored as 0.099609375"),
        ("second", "0.2, stored as 0.19921875"),
        ("asked", "0.1 \u2212 0.2 = \u22120.1"),
    )
    assert ("stored", "0.099609375 \u2212 0.19921875 = \u22120.099609375") in words.lines
    assert words.verdict == "Exact for what was stored"
    # -0.1 + 0.099609375 = -0.000390625
    assert words.reasons == (
        "From what was asked it is 0.000390625 off: that is the cost of storing the operands.",
    )


@pytest.mark.parametrize(
    ("question", "detail"),
    [
        ("decode 0.0000000 0101", "The pattern stands for 0."),
        ("decode 0.1000000 0000", "The pattern stands for 0.5."),
        ("decode 0.1000000 0011", "Both ways of scaling give 4."),
    ],
)
def test_two_ways_are_named_where_two_were_shown(question: str, detail: str) -> None:
    """The second way moves the point, which zero and exponent 0 leave where it is."""
    assert asked(question).check_words.detail == detail


def test_lost_digits_stay_in_sight_to_the_end() -> None:
    """5.25 - 1.6875: 0.1101100 moved two places right loses 00; 0.1 + 64 loses to the last step."""
    steps = asked("add 64 1.6875").steps
    # 1.6875 = 0.1101100 0001, 64 = 0.1000000 0111: moved 6 places, 0.0000001 and 101100 falls off.
    at = [step.rule for step in steps].index("align")
    assert steps[at].rows[-1].lost == "101100"
    assert all(row.held == "101100" for step in steps[at + 1 :] for row in step.rows if row.bits)
    assert all(not row.held for step in steps[: at + 1] for row in step.rows)


def test_a_product_of_minus_two_to_the_seventh_fits_eight_bits() -> None:
    """-64 x 2 = -128 = 10000000."""
    rows = step_of(asked("multiply -64 2 --format 8"), "judge").rows

    assert [row.bits for row in rows] == ["10000000"]


@pytest.mark.parametrize("question", ["multiply 1.5 -3", "multiply 0 -3", "divide 0 -3", "divide 1 -3"])
def test_no_special_value_stands_where_there_is_none(question: str) -> None:
    """Only an infinity, NaN or a division by zero is decided by the operands alone."""
    working = asked(f"{question} --format binary16")

    assert "special" not in [step.rule for step in working.steps]
    assert "infinity" not in " ".join(step.detail for step in working.steps)
    assert working.result.bits is not None
    assert working.result.bits[0] == "1"


@pytest.mark.parametrize("question", ["divide 1 0", "divide 0 0", "divide -1 0"])
def test_a_division_by_zero_has_no_answer_to_be_checked(question: str) -> None:
    """The machine writes an end of its range; nobody says that 1 ÷ 0 is a number."""
    words = asked(f"{question} --format 1750A-32").check_words

    assert words.detail.endswith("÷ 0 has no answer.")
    assert [label for label, _ in words.lines] == ["first", "second", "in decimal", "worked"]
    assert (words.verdict, words.reasons) == ("Overflow", ())


#: question; label and digits of the last row of the last step: the end of the range.
ENDS = [
    ("add 100 90 --format 8 --overflow largest", "01111111"),
    ("add -100 -90 --format 8 --overflow largest", "10000000"),
    ("add 200 100 --format 8 unsigned --overflow largest", "11111111"),
    ("subtract 100 200 --format 8 unsigned --overflow largest", "00000000"),
    ("multiply 100 -20 --format 8 --overflow largest", "10000000"),
    ("divide -128 -1 --format 8 --overflow largest", "01111111"),
    ("add -100 -90 --format 8 ones-complement --overflow largest", "10000000"),
    ("add -100 -90 --format 8 sign-and-magnitude --overflow largest", "11111111"),
    ("subtract -100 100 --format 8 excess-127 --overflow largest", "00000000"),
]


@pytest.mark.parametrize(("question", "end"), ENDS)
def test_a_course_that_writes_the_end_shows_it(question: str, end: str) -> None:
    """The row of the answer stands there, and the working says that it is the end of the range."""
    working = asked(question)
    step = working.steps[-1]

    assert (step.rows[-1].label, step.rows[-1].bits) == ("answer", end)
    assert working.result.bits == end
    assert step.detail.endswith("The end of the range is written.")


def test_an_error_beside_zero_is_told_without_units() -> None:
    """1/32 stored as 0: there is no unit in the last place to count in."""
    words = asked("encode 1/32 --format 5+3 excess-0 --underflow un-normalised").check_words

    assert words.reasons[:2] == (
        "The result is zero, which has no unit in the last place.",
        "All of it, made in step 3 by the lost 1.",
    )


def test_below_zero_is_beyond_the_last_unsigned_pattern() -> None:
    """-100 lies past 0; 1/7 is only small."""
    assert asked("subtract 100 200 --format 8 unsigned").check_words.detail.endswith(
        "it lies beyond the last, 00000000 = 0."
    )
    assert "beyond" not in asked("divide 1 -7 --format 8").check_words.detail


def test_a_note_is_made_once() -> None:
    """Both operands are 100, which could be bits."""
    assert len(asked("add 100 100 --format 8").question.notes) == 1


#: question; rule of the step; labels and values of its rows.
ROWS = [
    ("decode 1|10001|1001100000 --format binary16", "scale", [("in binary", "\u2212110.011", "-51/8")]),
    (
        "subtract -128 1 --format 8",
        "add",
        [("first", "10000000", "-128"), ("\u2212second", "11111111", "-1")],
    ),
    (
        "subtract 5 9 --format 8 sign-and-magnitude",
        "add",
        [("first", "00000101", "5"), ("\u2212second", "10001001", "-9")],
    ),
    (
        "subtract 5 9 --format 8 unsigned --overflow largest",
        "take_away",
        [("first", "00000101", "5"), ("second", "00001001", "9")],
    ),
    ("range --format 8 ones-complement", "most negative", [("pattern", "10000000", "-127")]),
]


@pytest.mark.parametrize(("question", "rule", "expected"), ROWS)
def test_a_row_is_what_its_label_and_its_value_say(
    question: str, rule: str, expected: list[tuple[str, str, str]]
) -> None:
    """6.375 behind its minus; what is added is the second's opposite; the value stands beside the pattern."""
    rows = [row for row in step_of(asked(question), rule).rows if row.bits][: len(expected)]
    written = [
        (
            row.label,
            "\u2212" * (row.minus and row.label == "in binary") + with_point(row.bits, row.places),
            str(row.value),
        )
        for row in rows
    ]

    assert written == expected


def test_a_total_out_of_range_is_no_lost_bit() -> None:
    """127 + 1 = 128 is past the range and nothing was lost; -127 - 1 loses a 1 to the spare place."""
    (said,) = asked("sum 127 1 -1").check_words.reasons
    lost = asked("add -127 -1 --method spare-place-first").check_words.reasons[0]

    assert said == "The exact answer would have been in range: a total on the way was not."
    assert lost.endswith("bits lost on the way took the working out of range.")


def test_a_division_too_long_to_write_shows_the_dividend_alone() -> None:
    """2^-1 + ... + 2^-31 over a half takes the divisor away 31 times: the dividend keeps its 32 digits."""
    step = step_of(asked("divide 2147483647/2147483648 0.5 --format 32+8"), "quotient")

    assert "It goes 31 times, too often to write each here" in step.detail
    assert [(row.label, len(row.bits), row.places) for row in step.rows][:1] == [("dividend", 32, 31)]
    assert len(step.rows) == 2


def test_a_zero_shows_the_exponent_it_is_stored_with() -> None:
    """C3x-16 keeps exponent \u22128, 1000, for zero: that is what its row has."""
    rows = [row for step in cp.work("subtract", "1", "1", format="C3x-16").steps for row in step.rows]
    assert (rows[-1].bits, rows[-1].exponent_bits) == ("0" * 13, "1000")


def test_fractions_beside_a_division_sign_have_brackets() -> None:
    """127 \u00f7 1/3 could be read as a third of 127."""
    assert cp.work("divide", "127", "1/3", format="24+8").title.startswith("127 \u00f7 (1/3) in 24+8")
    said = cp.work("divide", "0.25", "0.75", format="8+4").check_words.reasons
    assert "Relative error (1/768) \u00f7 (1/3) = 0.00390625, about 0.391%." in said


def test_operands_past_the_range_are_worked_no_further() -> None:
    """64 in Q5.3 ends in 0s, and nothing is divided by them; an explanation stops there too."""
    assert cp.work("divide", "1", "64", format="Q5.3").outcome == "overflow"
    (point,) = cp.work("explain", "add", "1e9", "1", format="8+4").steps
    assert point.says.startswith("Past the range: The first, 1000000000, is past the range of 8+4.")
    assert "exponent" not in cp.work("explain", "encode", "300", format="8").steps[-1].says

"""Questions whose operands are past the range, in binary, in a format of their own or times a power: put and judged."""

from __future__ import annotations

import pytest

import chalkpoint as cp
from chalkpoint.marking.marks import mark_question
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import format_called, size_format
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.instructions import words_for
from chalkpoint.setting.setter import set_papers
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask, ask_line

#: The question, its format, its answer: worked out by hand.
PUT = (
    ("add 200, 100", "8", "overflow"),  # 200 is past 127
    ("add 200, -100", "8", "overflow"),  # 100 would fit, 200 does not
    ("subtract 8, 13", "4", "overflow"),
    ("add 200, 100", "8 ones-complement", "overflow"),
    ("subtract 3, 300", "8 unsigned", "overflow"),
    ("multiply 200, 2", "Q5.3", "overflow"),
    ("subtract 300, 200", "8+4", "overflow"),  # 300 needs the exponent 9
    ("multiply 300, 2", "8+4 excess-8", "overflow"),
    ("add 1000, 2", "1+4+3", "0 1111 000"),  # 1000 is infinity there
    ("encode 0b101.101", "binary16", "0 10001 0110100000"),  # 1.01101 * 2^2
    ("add 0b0.010, 0b0.011", "Q1.3", "0101"),
    ("encode 1.5 x 10^3", "binary16", "0 11001 0111011100"),  # 1500 is 1.0111011100 * 2^10
    ("encode -2.5\u00b710\u207b\u00b9", "8+4", "10000000 1110"),  # -0.25 is -1 * 2^-2
    ("add 1.5 * 2^3, 1 x 2^-1", "8+4", "01100100 0100"),  # 12.5 is 0.11001 * 2^4
    ("add 0110.100 Q4.3, 01.01 (Q2.2)", "Q5.3", "00111110"),  # 6.5 + 1.25 = 7.75
    ("subtract Q4.3: 0110100, 1.5", "Q5.3", "00101000"),  # 5
    ("encode -1.5", "1+4+3 twos-complement", "1 0000 100"),
    ("encode 0.3", "1+4+3 twos-complement", "0 1110 010"),  # 1.0011..., to the nearest 1.010, times 2^-2
    ("decode 1 1110 010", "1+4+3 twos-complement", "-0.3125"),  # -1.25 / 4
    ("multiply 1.5, -3", "1+4+3 twos-complement", "1 0010 001"),  # 4.5 is 1.001 * 2^2
    ("encode -1.5", "1+8+23 excess-128 exponent-last", "110000000000000000000000 10000000"),
    ("decode 110000000000000000000000 10000001", "1+8+23 excess-128 exponent-last", "-3"),
)


@pytest.mark.parametrize(("line", "spelling", "answer"), PUT)
def test_it_is_put_through_work_judge_set_and_mark(line: str, spelling: str, answer: str) -> None:
    """The right answer by hand is right when judged, and earns every mark of the paper that asks it."""
    question = ask_line(line, course=Course(format=spelling))
    working = cp.work_question(question)
    assert (working.result.bits or working.outcome) == answer or question.operation.name == "decode"
    assert cp.judge(question, answer=answer).right
    operands = ", ".join(f'"{operand}"' for operand in question.operands)
    (paper,) = set_papers(
        parse_blueprint(
            'title = "Gauge"\nmethods = "list the answers"\naccidental = "needs working"\n[course]\n'
            f'format = "{spelling}"\n[[question]]\noperation = "{question.operation.name}"\noperands = [{operands}]\n'
        ),
        variants=1,
        seed=1,
    ).papers
    asked = paper.questions[0]
    assert asked.question.operands == question.operands
    answers = [mark for mark in mark_question(asked, {"answer": answer}).points if mark.rule == "answer"]
    assert all(mark.given == mark.marks for mark in answers)


#: The question, its format, its lines, what is answered, the first line that is wrong, and the belief there.
IGNORED: tuple[tuple[str, str, dict[str, str], str, str], ...] = (
    ("add 200, 100", "8", {}, "00101100", "answer"),  # 11001000 + 01100100 = 1 00101100
    ("add 200, 100", "8", {"add": "1 00101100"}, "00101100", "add"),
    ("subtract 8, 13", "4", {"negate": "0011"}, "1011", "negate"),  # 1101 inverted and one added
    ("multiply 200, 2", "8", {}, "10010000", "answer"),  # -56 * 2 = -112
    ("add 300, 2", "8+4", {}, "01000000 0010", "answer"),  # 0.1001011 * 2^9, 9 as 1001, which is -7
    ("add 200, 10", "8 sign-and-magnitude", {}, "10111110", "answer"),  # 1 1001000 is -72; -72 + 10 = -62
)


@pytest.mark.parametrize(("line", "spelling", "lines", "answer", "wrong"), IGNORED)
def test_who_ignores_the_range_of_an_operand(
    line: str, spelling: str, lines: dict[str, str], answer: str, wrong: str
) -> None:
    """The last digits that fit are taken for the operand: that is where it goes wrong, and nowhere else."""
    said = cp.judge(line, lines, answer, format=spelling)
    assert not said.right
    assert said.first_wrong is not None
    assert (said.first_wrong.line, said.among) == (wrong, ("encode-range-ignored",))
    assert said.first_wrong.expects == "overflow"


@pytest.mark.parametrize("spelling", ["8", "8 sign-and-magnitude", "8+4"])
def test_no_end_of_the_range_stands_for_an_operand_that_has_no_pattern(spelling: str) -> None:
    """Also where the course writes the end of the range for an overflow: there is nothing to add."""
    course = cp.Course(format=spelling, overflow="largest")
    assert cp.work("add", "300", "-200", course=course).outcome == "overflow"


def test_a_working_ends_at_an_operand_past_the_range() -> None:
    """One step says so; the check says what the exact answer would be, and that the question cannot be written."""
    working = cp.work("add", "200", "-100", format="8")
    assert [step.says for step in working.steps] == [
        "Read: The first, 200, is past the range of 8-bit two\u2019s complement: it has no pattern there. "
        "So the answer is overflow."
    ]
    assert working.title == "200 + (\u2212100) in 8-bit two\u2019s complement"
    assert working.check_words.detail == "200 + (\u2212100) = 100, and its pattern fits: 01100100."
    assert working.check_words.reasons == (
        "An operand is past the range of 8-bit two\u2019s complement to begin with.",
    )


def test_a_question_in_binary_is_printed_in_binary() -> None:
    """The paper asks for what was asked, and not for its decimal."""
    question = ask("encode", "-0b101.101", course=Course(format="binary16"))
    assert "\u2212101.101\u2082" in words_for(question, None)
    assert question.operands == ["-0b101.101"]


def test_rows_whose_points_are_not_brought_into_one_column() -> None:
    """0110.100 and 01.01 set one under the other at their last digits: 0110100 + 0101 = 0111001."""
    said = cp.judge("add 0110.100 Q4.3, 01.01 Q2.2", answer="00111001", format="Q5.3")
    assert said.first_wrong is not None
    assert "points" in said.first_wrong.slip
    assert said.among == ()


def test_fields_in_another_order_are_right_elsewhere() -> None:
    """The same three fields: the exponent behind, in front, or between."""
    spelling = "1+8+23 excess-128 exponent-last"
    for answer in ("1 10000000 10000000000000000000000", "10000000 110000000000000000000000"):
        assert cp.judge("encode -1.5", answer=answer, format=spelling).verdict == "right elsewhere"
    assert cp.judge("encode -1.5", answer="1100 0111", format="1+4+3").verdict == "right elsewhere"


def test_every_pattern_with_an_exponent_in_twos_complement() -> None:
    """Sign, four bits from -8 to 7, three digits behind a hidden 1; all 0s at -8 is zero."""
    fmt = size_format(format_called("1+4+3 twos-complement"))
    for number in range(256):
        bits = f"{number:08b}"
        exponent = int(bits[1:5], 2) - 16 * (bits[1] == "1")
        size = 0 if (exponent, bits[5:]) == (-8, "000") else (8 + int(bits[5:], 2)) * 2 ** (exponent + 8)
        assert fmt.value(fmt.read(bits)) * 2**11 == (-size if bits[0] == "1" else size)


def test_what_still_cannot_be_put_says_why() -> None:
    """One sentence, with how it may be meant."""
    with pytest.raises(EntryError, match="200 is outside 8, which holds"):
        ask("negate", "200", course=Course(format="8"))
    with pytest.raises(EntryError, match="0b1010 would be binary"):
        ask("decode", "1010", course=Course())


def test_no_special_value_is_told_of_an_ordinary_product() -> None:
    """1.5 times -3 is negative, and no infinity is in sight."""
    rules = [step.rule for step in cp.work("multiply", "1.5", "-3", format="1+4+3").steps]
    assert rules == ["unpack", "sign", "exponents", "product", "renormalise", "round", "pack"]
    assert "special" not in [step.rule for step in cp.work("divide", "1.5", "-3", format="1+4+3").steps]


def test_a_flipped_sign_of_the_exponent_is_not_right_elsewhere() -> None:
    """2.25 is 0.1001 * 2^2; the exponent -2 is 110, which is 2 in excess 4 too: it is what the minus gives."""
    said = cp.judge("encode 2.25", answer="01001 110", format="5+3")
    assert "exp-sign-flipped" in said.among
    assert said.elsewhere == (
        "the mantissa is a whole number",
    )  # 1001 * 2^-2 is 2.25 there, and that stays said
    assert cp.judge("encode 1.625", answer="0110100000 111111", format="10+6").verdict == "wrong"
    assert (
        cp.judge("encode 2.25", answer="01001 101", format="5+3").verdict == "right elsewhere"
    )  # 2 in excess 3

"""Answers in families of formats as they are typed: what is said of each, expected by hand."""

from __future__ import annotations

import pytest

from chalkpoint.marking.judging import judge
from chalkpoint.working.course import Course

#: Question, format, what is written, the verdict, the beliefs named.
TYPED = (
    # 240 is 11110000; inverted 00001111, and its first 1 is gone
    ("encode -240", "8 ones-complement", "00001111", "wrong", ("encode-range-ignored",)),
    ("add 200, 100", "8", "00101100", "wrong", ("encode-range-ignored",)),  # 300 - 256
    ("decode 111000.11", "Q6.2", "56.75", "wrong", ("msb-unsigned",)),
    ("encode 1.5", "1+8+3 excess-128", "0 01111111 100", "wrong", ("usual-bias",)),
    ("encode 6.5", "8+4", "01101000 1101", "wrong", ("exp-sign-flipped",)),  # 3 turned to -3: no excess
    ("encode -1.5", "1+4+3", "10111100", "right", ()),
    ("divide 1, 0", "1+4+3", "infinity", "right", ()),
    ("divide 0, 0", "1+4+3", "NaN", "right", ()),
    ("add 200, 100", "8", "out of range", "right", ()),
    ("decode 0x3F800000", "binary32", "1.0 x 2^0", "right", ()),
    ("add 0x0D34, 0xDD17", "16 sign-and-magnitude", "CFE3", "right", ()),
    ("encode 0.75", "Q1.3", "0.110", "right", ()),
    # in excess 8 the exponent 3 is 1011; 0011 is 3 in two's complement
    ("encode 6.5", "8+4 excess-8", "01101000 0011", "right elsewhere", ()),
    ("decode 01101000 1011", "8+4 excess-8", "1664", "wrong", ("bias-not-removed",)),  # 0.8125 x 2^11
)


@pytest.mark.parametrize(("question", "fmt", "answer", "verdict", "among"), TYPED)
def test_what_is_said(question: str, fmt: str, answer: str, verdict: str, among: tuple[str, ...]) -> None:
    """The verdict, and every belief whose rule gives just that."""
    said = judge(question, {}, answer, course=Course(format=fmt))
    assert (said.verdict, said.among) == (verdict, among)


def test_the_code_of_the_exponent_is_called_by_its_own_name() -> None:
    """Where the course has it in excess, what is right elsewhere is two's complement."""
    said = judge("encode 6.5", {}, "01101000 0011", course=Course(format="8+4 excess-8"))
    assert said.elsewhere == ("the exponent is stored in two’s complement",)


@pytest.mark.parametrize("line", ["1.1", "1.1000000"])
def test_a_belief_that_a_right_line_refutes_is_not_named(line: str) -> None:
    """-0.5 is 1.1 with its sign: whoever wrote that has negated, so no belief about negating is named."""
    assert judge("encode -0.5", {"sign": line}, "0.1000000 1111").among == ()


def test_an_answer_a_digit_short_is_read_both_ways() -> None:
    """4 - 1 is 0.0110000 at 3, normalised 0.1100000 at 2: of 0110000 0011 the first 0 may be lost, or the last."""
    said = judge("subtract 4.0, 1.0", {}, "0110000 0011")
    assert (said.verdict, said.among) == ("wrong", ("norm-skipped", "norm-mantissa-only"))
    assert [note.partition(" it is")[0] for note in said.notes] == [
        "A digit is missing; with a 0 in front",
        "A digit is missing; with a 0 behind",
    ]

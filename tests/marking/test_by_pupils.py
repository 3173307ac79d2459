"""Wrong answers as pupils of 15 write them, in every family of formats; each cause was written down beforehand."""

from __future__ import annotations

import pytest

import chalkpoint as cp

#: Question, format, lines, answer, and the belief it comes from; "" where a slip is all there is.
ANSWERS: list[tuple[str, str, dict[str, str], str, str]] = [
    # every bit of 00101101 inverted and nothing added
    ("encode -45", "8", {}, "11010010", "invert-only"),
    # 11010010 inverted is 45
    ("decode 11010010", "8", {}, "-45", "read-ones-comp"),
    # 181 - 256
    ("decode 10110101", "8 sign-and-magnitude", {}, "-75", "twos-complement-assumed"),
    # 00101101 + 11101011 is 1 00011000, and the carry goes
    ("subtract 45, 20", "8 ones-complement", {}, "00011000", "end-around-left-out"),
    # the complement of 20 with 1 added; its carry dropped makes up for that
    ("subtract 45, 20", "8 ones-complement", {"negate": "11101100"}, "00011001", "twos-complement-assumed"),
    # 150 is past 127, and its digits are written all the same
    ("add 100, 50", "8", {}, "10010110", "wrap-accepted"),
    # 200 in eight digits
    ("encode 200", "8", {}, "11001000", "encode-range-ignored"),
    # 13 times 7: the 1 for 8 taken for a 4, a slip
    ("multiply 13, 11", "8 unsigned", {}, "01011011", ""),
    # 28 + 16
    ("decode 11100", "5 excess-16", {}, "44", "bias-added"),
    # 16 + 5
    ("encode -5", "5 excess-16", {}, "10101", "bias-less-number"),
    # 7 + 15
    ("encode 7", "5 excess-16", {}, "10110", "usual-bias"),
    # the first bit turned over
    ("negate 01101000", "8", {}, "11101000", "sign-bit-only"),
    # 1101.0011 and 1
    ("encode -2.75", "Q4.4", {}, "1110.0011", "invert-add-one-at-point"),
    # .0110 is 6
    ("decode 0101.0110", "Q4.4", {}, "5.6", "frac-read-as-whole"),
    # .3 is 11 in binary
    ("encode 5.3", "Q4.4", {}, "0101.1100", "frac-digits-as-integer"),
    # 1 + 1 and a carry are 0, carry 1 (the carry over the point lost gives it too)
    ("add 0011.1000, 0001.1000", "Q4.4", {}, "0100.0000", "triple-one-zero"),
    # 2.5 - 5
    ("subtract 0101.0000, 0010.1000", "Q4.4", {}, "1101.1000", "sub-reversed"),
    # 2 stored as 0010
    ("encode 5", "1+4+3", {}, "0 0010 010", "bias-omitted"),
    # 1.01 stored with its 1
    ("encode 5", "1+4+3", {}, "0 1001 101", "hidden-one-stored"),
    # 2 for -2
    ("encode 0.375", "1+4+3", {}, "0 1001 100", "exp-sign-flipped"),
    # 0.110 x 8
    ("decode 0 1010 110", "1+4+3", {}, "6", "hidden-one-missing"),
    # 8 - 8 is 0
    ("decode 1 1000 100", "1+4+3", {}, "-1.5", "bias-power-of-two"),
    # 1.100 + 1.000 at exponent 1
    ("add 0 1000 100, 0 0111 000", "1+4+3", {}, "0 1001 010", "align-skip"),
    # 6 + 7
    ("multiply 0 0110 100, 0 0111 000", "1+4+3", {}, "0 1101 100", "bias-kept-twice"),
    # 100.010|011, the tail dropped
    ("encode 4.3", "1+4+3", {}, "0 1001 000", "cuts-when-told-to-round"),
    # 0.1101 with a 1 in front
    ("encode -6.5", "1750A-32", {}, "111010000000000000000000 00000011", "set-sign-bit"),
    # 11111110 is 254
    ("decode 011000000000000000000000 11111110", "1750A-32", {}, "0.75 x 2^254", "exp-unsigned"),
    # 0.1 x 4
    ("decode 0010 010000000000", "c3x-16", {}, "2", "hidden-one-missing"),
    # 01.1 stored with its 1
    ("encode 6", "c3x-16", {}, "0010 011000000000", "hidden-one-stored"),
    # 50 + 100 is past 127
    ("sum 20, 30, 100", "8", {"total 2": "00110010"}, "10010110", "wrap-accepted"),
    # 6.1000 read as 6.8, and that stored rightly
    ("convert 0110.1000, 8+4", "Q4.4", {"value": "6.8"}, "0.1101100 0011", "frac-read-as-whole"),
    # 6 in C3x is 01.1 x 4, so -6 is 10.1 x 4: its 0 behind the sign written too
    ("encode -6", "c3x-16", {}, "0010 101000000000", "hidden-one-stored"),
    # -1 + 0.01, times 4
    ("decode 0010 101000000000", "c3x-16", {}, "-3", "hidden-one-missing"),
]


@pytest.mark.parametrize(("question", "spelling", "lines", "answer", "belief"), ANSWERS)
def test_what_is_said_goes_with_the_cause(
    question: str, spelling: str, lines: dict[str, str], answer: str, belief: str
) -> None:
    """The cause is named, or nothing; a right answer behind a wrong line is right all the same."""
    said = cp.judge(question, lines, answer, format=spelling)
    assert said.right is (spelling == "8 ones-complement" and bool(lines))
    assert belief in said.among if belief else not said.among

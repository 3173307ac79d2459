"""Answers in whole numbers, fixed point and IEEE formats judged: wrong ones as pupils write them, expected by hand."""

from __future__ import annotations

import pytest

import chalkpoint as cp
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import ask

#: The question, its format, what is answered, and the belief that gives it.
WRONG = (
    ("encode -99", "8", "11100011", "set-sign-bit"),  # sign, then 1100011: 99
    ("encode -99", "8", "10011100", "invert-only"),  # 01100011 inverted, and no 1 added
    ("negate 0000000000000010", "16", "1111111111111101", "invert-only"),
    ("encode -240", "8", "00010000", "encode-range-ignored"),  # -240 + 256 = 16
    ("encode 200", "8", "11001000", "encode-range-ignored"),
    ("subtract 70, 30", "8", "100101000", "carry-kept"),
    ("subtract 70, 30", "8", "1 0010 1000", "carry-kept"),
    ("add 40, -25", "8", "overflow", "carry-means-overflow"),  # a carry leaves the sign place: 15 fits
    ("subtract 70, 30", "8", "01100100", "sub-adds"),  # 100
    ("subtract 70, 30", "8", "11011000", "sub-reversed"),  # 30 - 70 = -40
    ("decode 10010011", "8", "147", "msb-unsigned"),
    ("decode 10010011", "8", "-19", "read-sign-mag"),
    ("decode 10010011", "8", "-108", "read-ones-comp"),
    ("decode 10010011", "8", "109", "minus-forgotten"),
    ("decode 111000.11", "Q6.2", "56.75", "msb-unsigned"),
    ("decode 111000.11", "Q6.2", "-24.75", "read-sign-mag"),
    ("decode 111000.11", "Q6.2", "-7", "read-ones-comp"),  # 000111.00 is 7
    ("decode 111000.11", "Q6.2", "7.25", "minus-forgotten"),
    ("decode 0x805c00f0", "binary32", "-901135 * 2^-146", "subnormal-as-normal"),
    ("decode 0 1000 101", "1+4+3", "1.25", "hidden-one-missing"),  # 0.101 * 2
    ("decode 0 1000 101", "1+4+3", "416", "bias-not-removed"),  # 1.625 * 2^8
    ("encode 3.25", "1+4+3", "0 1000 110", "hidden-one-stored"),
    ("encode 3.25", "1+4+3", "0 0001 101", "bias-omitted"),
)


@pytest.mark.parametrize(("question", "fmt", "answer", "belief"), WRONG)
def test_the_belief_that_gives_a_wrong_answer_is_named(
    question: str, fmt: str, answer: str, belief: str
) -> None:
    """The answer is wrong, at its line, and the belief is among those that give it."""
    said = cp.judge(question, answer=answer, format=fmt)
    assert not said.right
    assert said.first_wrong is not None
    assert belief in said.among, (said.among, said.first_wrong)


def test_a_line_is_judged_from_the_line_before_it() -> None:
    """The opposite without its 1: wrong there, and followed rightly from there."""
    # 30 is 00011110; inverted 11100001; 01000110 + 11100001 = 1 00100111, which is 39.
    said = cp.judge("subtract 70, 30", {"negate": "11100001"}, "00100111", format="8")
    assert said.verdict == "follow-through"
    assert said.first_wrong is not None
    assert (said.first_wrong.line, said.among) == ("negate", ("invert-only",))
    assert said.first_wrong.expects == "11100010"


def test_a_right_line_refutes_a_belief() -> None:
    """The number taken away is negated rightly, so nobody says it was added as it is."""
    said = cp.judge("subtract 70, 30", {"negate": "11100010"}, "01100100", format="8")
    assert not said.right
    assert "sub-adds" not in said.among


def test_the_carry_may_stand_before_a_row_and_not_before_the_answer() -> None:
    """A carry out of the sign place is seen in working, and dropped."""
    said = cp.judge("subtract 70, 30", {"negate": "11100010", "add": "(1)00101000"}, "00101000", format="8")
    assert said.right
    said = cp.judge("subtract 70, 30", {"add": "100101000"}, "100101000", format="8")
    assert said.first_wrong is not None
    assert (said.first_wrong.line, said.among) == ("answer", ("carry-kept",))


def test_lines_of_an_ieee_reading() -> None:
    """The exponent without its bias taken off; what follows from it follows."""
    # 0 1000 101 is 1.101 * 2^1; with the stored 8 for an exponent 1.625 * 256 = 416.
    said = cp.judge("decode 0 1000 101", {"exponent": "8", "size": "1.101"}, "416", format="1+4+3")
    assert said.verdict == "follow-through"
    assert said.first_wrong is not None
    assert (said.first_wrong.line, said.among) == ("exponent", ("bias-not-removed",))


#: A question in 1+4+3, its lines in order, what each shows, and the belief at the first wrong one.
LINES: tuple[tuple[str, tuple[tuple[str, str, str], ...], str], ...] = (
    (  # 1.010 * 2^1 + 1.100 * 2^-1: the second moves two places
        "add 2.5, 0.75",
        (
            ("unpack", "1.010 x 2^1; 1.100 x 2^-1", "right"),
            ("align", "0.011 x 2^1", "right"),
            ("combine", "1.101", "right"),
            ("round", "1.101 x 2^1", "right"),
            ("answer", "0 1000 101", "right"),
        ),
        "",
    ),
    ("add 2.5, 0.75", (("align", "1.010, 0.011", "right"), ("answer", "0 1000 101", "right")), ""),
    (  # nothing moved: 1.010 + 1.100 = 10.110, which is 1.011 * 2^2
        "add 2.5, 0.75",
        (
            ("align", "1.010; 1.100", "misconception"),
            ("combine", "10.110", "follow-through"),
            ("round", "1.011 x 2^2", "follow-through"),
            ("answer", "0 1001 011", "follow-through"),
        ),
        "align-skip",
    ),
    (  # hidden 1s left out: 0.010 * 2^1 + 0.100 * 2^-1 = 0.011 * 2^1
        "add 2.5, 0.75",
        (
            ("unpack", "0.010 x 2^1; 0.100 x 2^-1", "misconception"),
            ("combine", "0.011 x 2^1", "follow-through"),
        ),
        "hidden-one-missing",
    ),
    (  # 1.000 * 2^3 + 1.100 * 2^-1 = 1.0001|1: past the half, so 1.001
        "add 8, 0.75",
        (
            ("align", "0.00011", "right"),
            ("combine", "1.00011", "right"),
            ("round", "1.000 x 2^3", "misconception"),
            ("answer", "0 1010 000", "follow-through"),
        ),
        "cuts-when-told-to-round",
    ),
    (
        "multiply 1.5, 2.5",
        (("sign", "0", "right"), ("exponents", "1", "right"), ("product", "1.111", "right")),
        "",
    ),
    (  # 0.100 * 0.010 = 0.001
        "multiply 1.5, 2.5",
        (("product", "0.001", "misconception"), ("answer", "0 0101 000", "follow-through")),
        "hidden-one-missing",
    ),
    (  # 1 / 1.1 = 0.101010..., which is 1.011 * 2^-1 to the nearest
        "divide 1, 1.5",
        (
            ("quotient", "0.101010", "right"),
            ("round", "1.011 x 2^-1", "right"),
            ("answer", "0 0110 011", "right"),
        ),
        "",
    ),
    (
        "encode -2.5",
        (
            ("sign", "1", "right"),
            ("digits", "10.1", "right"),
            ("point", "1", "right"),
            ("answer", "1 1000 010", "right"),
        ),
        "",
    ),
    (
        "encode -2.5",
        (("digits", "10.11", "off"), ("point", "1", "right"), ("answer", "1 1000 011", "follow-through")),
        "",
    ),
)


@pytest.mark.parametrize(("question", "lines", "belief"), LINES)
def test_lines_of_ieee_arithmetic(
    question: str, lines: tuple[tuple[str, str, str], ...], belief: str
) -> None:
    """Each line is judged from the one before it, in whatever places the pupil keeps."""
    written = {name: text for name, text, _ in lines if name != "answer"}
    said = cp.judge(
        question, written, {name: text for name, text, _ in lines}.get("answer", ""), format="1+4+3"
    )
    assert [(mark.line, mark.status) for mark in said.marks if mark.written] == [
        (name, status) for name, _, status in lines
    ]
    assert belief in said.among if belief else not said.among


def test_the_product_of_whole_numbers() -> None:
    """3 times -2: the product of the sizes is 110; of the patterns as they are written 11 * 11111110."""
    said = cp.judge("multiply 3, -2", {"product": "110"}, "11111010", format="8")
    assert [mark.status for mark in said.marks if mark.written] == ["right", "right"]
    said = cp.judge("multiply 1001, 0101", {"product": "0101101"}, format="4")  # 9 * 5 = 45
    assert "mul-pattern-unsigned" in said.among
    said = cp.judge("divide 13, -4", {"quotient": "11"}, "11111101", format="8")
    assert [mark.status for mark in said.marks if mark.written] == ["right", "right"]


def test_the_rounded_size_of_a_sum() -> None:
    """2.5 + 0.75 is 1.101 * 2^1; with one bit changed on that line the answer follows from it."""
    said = cp.judge("add 2.5, 0.75", {"round": "1.101 x 2^1"}, "0 1000 101", format="1+4+3")
    assert [mark.status for mark in said.marks if mark.written] == ["right", "right"]
    said = cp.judge("add 2.5, 0.75", {"round": "11.01 x 2^0"}, "0 1000 101", format="1+4+3")
    assert said.right
    said = cp.judge("add 2.5, 0.75", {"round": "1.111 x 2^1"}, "0 1000 111", format="1+4+3")
    assert said.verdict == "follow-through"
    assert said.first_wrong is not None
    assert (said.first_wrong.line, said.first_wrong.expects) == ("round", "1.101 × 2^1")
    said = cp.judge("encode 1.9", {"round": "1.111 x 2^0"}, "0 0111 111", format="1+4+3")
    assert said.right
    # 1.9 is 1.1110011...; 3.7 is 1.1101100... * 2^1: nearest 1.111 (1.875), cut 1.110.
    said = cp.judge("encode 3.7", {"round": "1.110 x 2^1"}, "0 1000 110", format="1+4+3")
    assert said.first_wrong is not None
    assert said.first_wrong.line == "round"
    assert said.among
    said = cp.judge("encode 3.7", {"point": "2"}, "0 1001 111", format="1+4+3")  # 1.111 * 2^2
    assert said.verdict == "follow-through"
    assert said.first_wrong is not None
    assert said.first_wrong.line == "point"


def test_a_size_is_expected_in_binary() -> None:
    """What a pupil should have written is shown as it is written: 5.25 is 101.01."""
    said = cp.judge("encode -5.25", {"size": "101.1"}, "1010.10", format="Q4.2")
    assert said.first_wrong is not None
    assert (said.first_wrong.line, said.first_wrong.expects) == ("size", "101.01")
    assert said.verdict == "follow-through"  # 5.5 is 0101.10; its opposite 1010.10


def test_end_around_carry() -> None:
    """7 - 3 in ones' complement: 00111 + 11100 = 1 00011, and the carry comes round: 00100."""
    said = cp.judge(
        "subtract 7, 3", {"negate": "11100", "add": "1 00011"}, "00100", format="5 ones-complement"
    )
    assert said.right
    said = cp.judge("subtract 7, 3", {"add": "1 00011"}, "00011", format="5 ones-complement")
    assert said.first_wrong is not None
    assert said.first_wrong.line == "answer"


@pytest.mark.parametrize(
    ("question", "fmt", "answer"),
    [
        ("add 3, 4", "5", "00110"),  # one bit of 00111
        ("encode 2.5", "Q3.2", "010.11"),
        ("encode 3.25", "1+4+3", "0 1000 100"),
    ],
)
def test_one_bit_changed_is_a_slip(question: str, fmt: str, answer: str) -> None:
    """No belief gives it, so the slip is named and nobody is accused."""
    said = cp.judge(question, answer=answer, format=fmt)
    assert not said.right
    assert said.among == ()
    assert said.first_wrong is not None
    assert said.first_wrong.slip == "one bit changed"


@pytest.mark.parametrize(
    ("question", "fmt", "answer"),
    [
        ("encode 0.75", "Q1.3", "01.10"),  # the point stands elsewhere
        ("encode -99", "8", "-99"),  # the value that was given
        ("encode 3", "5", "overflow"),
        ("encode 3", "5", "pigeons"),
        ("decode 0 1111 000", "1+4+3", "256"),  # infinity
    ],
)
def test_what_is_not_right(question: str, fmt: str, answer: str) -> None:
    """It is read, and not taken for right."""
    assert not cp.judge(question, answer=answer, format=fmt).right


@pytest.mark.parametrize(
    ("question", "fmt", "answer"),
    [
        ("encode 0.75", "Q1.3", "0.110"),
        ("encode 100000", "binary16", "infinity"),
        ("decode 1 1111 000", "1+4+3", "-infinity"),
        ("add 100, 100", "8", "overflow"),
        ("subtract 70, 30", "8", "0010 1000"),
        ("encode -99", "8", "0x9d"),
        ("encode 3.25", "1+4+3", "s = 0, e = 1000, f = 101"),
    ],
)
def test_what_is_right(question: str, fmt: str, answer: str) -> None:
    """It is taken for right."""
    assert cp.judge(question, answer=answer, format=fmt).right


def test_the_ends_of_a_range() -> None:
    """Each is judged by itself, in bits or by its value."""
    said = cp.judge("range", {"largest positive": "127", "most negative": "11111111"}, format="8")
    assert [(mark.line, mark.status) for mark in said.marks if mark.written] == [
        ("largest positive", "right"),
        ("most negative", "misconception"),  # -1: all 1s
    ]
    assert said.line("most negative").expects == "10000000"  # type: ignore[union-attr]
    assert "most-negative-all-ones" in said.among


def test_what_cannot_be_judged_is_refused() -> None:
    """One sentence says why."""
    with pytest.raises(EntryError, match="is not a line of subtract"):
        cp.judge("subtract 70, 30", {"align": "1"}, format="8")
    with pytest.raises(EntryError, match="is not an extreme"):
        cp.judge("range", {"largest negative": "0"}, format="8 unsigned")
    with pytest.raises(EntryError, match="has no answer"):
        cp.judge("divide 3, 0", answer="0", format="8")


def test_a_divisor_a_digit_away_from_zero() -> None:
    """What a miscopied divisor would give is looked for; there is none where the digit makes it zero."""
    assert not cp.judge("divide 6, 1", answer="00001", format="5").right


def test_every_belief_about_reading_four_bits_is_named() -> None:
    """What each belief reads of each pattern is right where the right reading is the same, and else traced to it."""
    method = right_method("decode", Course(format="4"))
    for number in range(16):
        question = ask("decode", f"{number:04b}", course=Course(format="4"))
        for belief in beliefs_for("decode", "integer"):
            faulty = belief.method_for("decode", method, "integer")
            assert faulty is not None
            answer = answer_by(faulty, question)
            said = cp.judge(question, answer=answer)
            assert said.right == (answer == answer_by(method, question))
            assert said.right or belief.id in said.among


def test_every_wrong_reading_of_four_bits_is_wrong() -> None:
    """No other number than the pattern's own is right."""
    for number in range(16):
        right = number - 16 if number > 7 else number
        for answer in range(-20, 20):
            assert cp.judge(f"decode {number:04b}", answer=str(answer), format="4").right == (answer == right)


STRANGE = (
    "?",
    "1.",
    "..",
    "1 x 2^99999999999",
    "1e99",
    "0xfff",
    "nan",
    "1 or 2",
    "101;010",
    "½",
    "1/0",
    "m=1",
    "1" * 300,
)


@pytest.mark.parametrize(
    ("question", "fmt", "lines"),
    [
        ("decode 0 01 1", "1+2+1", ("exponent", "size", "scale")),
        ("encode 1.3", "1+4+3", ("point", "round")),
        ("multiply 1, 1.5", "binary16", ("exponents", "round")),
        ("subtract 1, 2", "3 ones-complement", ("negate", "add", "around")),
        ("error 1.3", "Q3.2", ("size", "absolute", "relative")),
        ("range", "8", ("largest positive",)),
    ],
)
def test_whatever_is_written_is_judged(question: str, fmt: str, lines: tuple[str, ...]) -> None:
    """Nothing that a pupil writes on a line, or as the answer after it, stops the judging; none of this is right."""
    for text in STRANGE:
        for line in lines:
            assert not cp.judge(question, {line: text}, "?", format=fmt).right
        assert not cp.judge(question, answer=text, format=fmt).right


def test_marks_follow_through_in_ieee_arithmetic() -> None:
    """Nothing moved, one mark lost: 1.010 + 1.100 = 10.110, which is 1.011 * 2^2, follows from it."""
    question = {"operation": "add", "operands": ["2.5", "0.75"]}
    paper = {
        "schema": "chalkpoint.papers/1",
        "course": {"format": "1+4+3"},
        "papers": [{"questions": [question]}],
    }
    rows = [["student", "question", "line", "written"]]
    lines = {"align": "1.010; 1.100", "combine": "10.110", "round": "1.011 x 2^2", "answer": "0 1001 011"}
    rows += [["H01", "1", line, text] for line, text in lines.items()]
    (pupil,) = cp.mark(paper, rows)["students"]
    assert (pupil["marks"], pupil["of"]) == (4, 5)
    assert pupil["questions"][0]["first_wrong"] == "align"


@pytest.mark.parametrize(
    ("question", "spelling", "answer", "right"),
    [
        # -6.625 cut: 1001.010 in ones' complement, 1001.011 in two's complement.
        ("encode -6.625", "8 ones-complement", "11111001", True),
        ("encode -6.625", "8 ones-complement", "11111000", False),
        ("encode -6.625", "8 sign-and-magnitude", "10000110", True),
        ("encode -6.625", "8", "11111001", True),
        # Nothing of the size is left: either zero.
        ("encode -0.25", "8 ones-complement", "11111111", True),
        ("encode -0.25", "8 ones-complement", "00000000", True),
        ("encode -0.25", "8 sign-and-magnitude", "10000000", True),
        ("encode -0.25", "8", "11111111", True),
        ("encode -0.25", "8", "00000000", False),
    ],
)
def test_an_answer_that_was_cut_in_its_own_code(
    question: str, spelling: str, answer: str, *, right: bool
) -> None:
    """A cut goes where the code takes it, and a code of two zeros takes either."""
    assert cp.judge(question, {}, answer, format=spelling).right is right


def test_a_carry_that_goes_round_is_kept_where_a_row_leaves_it_out() -> None:
    """-84 - (-125): 10101011 + 01111101 = 1 00101000; one bit wrong there, and the carry is brought round from it."""
    question, fmt = "subtract -84, -125", "8 ones-complement"
    said = cp.judge(question, {"add": "00101010"}, "00101011", format=fmt)
    assert [(mark.line, mark.status) for mark in said.marks if mark.written] == [
        ("add", "off"),
        ("answer", "follow-through"),
    ]
    assert {mark.line: mark.expects for mark in said.marks}["add"] == "(1)00101000"


def test_a_belief_that_a_right_line_speaks_against_is_not_listed_beside_one_that_it_suits() -> None:
    """Whoever thinks in two's complement writes 1 00101001 there; the right sum leaves the carry left out."""
    question, fmt = "subtract -84, -125", "8 ones-complement"
    alone = cp.judge(question, answer="00101000", format=fmt)
    assert "end-around-left-out" in alone.among
    said = cp.judge(question, {"add": "1 00101000"}, "00101000", format=fmt)
    assert said.among == ("end-around-left-out",)

"""Papers in other formats marked: right answers in any spelling, lines just as expected, the rest for the teacher."""

import pytest

import chalkpoint as cp
from brackwater import IN_WORDS, OTHER_FORMATS, papers
from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.classes import mark
from chalkpoint.marking.entering import expected_answer
from chalkpoint.marking.judging import judge
from chalkpoint.marking.marks import QuestionMarks, mark_question
from chalkpoint.publishing.papers.sheets import lines_asked
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Asked
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

BACK = {text: papers_from(papers(text).to_dict()) for text in (OTHER_FORMATS, IN_WORDS)}
PAIRS = [
    (item, asked)
    for text in (OTHER_FORMATS, IN_WORDS)
    for paper in papers(text)
    for item, asked in zip(paper.questions, BACK[text].variants[paper.variant].questions, strict=True)
]
WORKED = [(item, asked) for item, asked in PAIRS if item.question.operation.name != "explain"]


def one(operation: str, *operands: str, spelling: str) -> Asked:
    """Return one question as papers read back have it."""
    table = {
        "schema": "chalkpoint.papers/1",
        "papers": [{"questions": [{"operation": operation, "operands": operands, "format": spelling}]}],
    }
    return papers_from(table).first.questions[0]


def test_papers_read_back_are_those_that_were_set() -> None:
    """Every question has its operands, format, target and scheme."""
    for item, asked in PAIRS:
        assert asked.question.operands == item.question.operands
        assert str(asked.question.format) == str(item.question.format)
        assert (asked.question.target is None) == (item.question.target is None)
        assert asked.marks == item.scheme.total


def test_the_right_answer_alone_earns_what_the_scheme_says() -> None:
    """The course's own answer, as the key has it."""
    for item, asked in WORKED:
        assert mark_question(asked, {"answer": expected_answer(asked)}).marks == item.scheme.alone


def test_lines_just_as_the_scheme_has_them_are_right() -> None:
    """Without an answer every other mark is earned, and nothing waits; its errors imply what is stored."""
    for item, asked in WORKED:
        lines = {each.rule: each.expects for each in item.scheme.marks if each.rule != "answer"}
        if not lines:
            continue
        marked = mark_question(asked, lines)
        implied = item.question.operation.name == "error"
        assert marked.marks == sum(
            each.marks for each in item.scheme.marks if implied or each.rule != "answer"
        )
        assert not marked.waiting
        assert set(lines) < {*lines_asked(item), "answer"}


def by_line(marked: QuestionMarks) -> dict[str, tuple[int, str, bool]]:
    """Return marks, status and whether the teacher decides, by line."""
    return {one.name: (one.given, one.status, one.for_teacher) for one in marked.points}


def test_working_beside_a_wrong_answer_is_judged_line_by_line() -> None:
    """1.10100 + 0.01011 is 1.11111: the sum is wrong, and the answer does not follow from it either."""
    asked = one("add", "6.5", "1.375", spelling="1+4+3")
    marked = by_line(
        mark_question(asked, {"align": "0.010110", "combine": "10.000000", "answer": "0 1001 111"})
    )

    assert marked["align"] == (1, "right", False)
    assert marked["combine"] == (0, "off", False)
    assert marked["answer"] == (0, "off", False)


def test_a_wrong_answer_alone_is_wrong() -> None:
    """There is nothing for the teacher to look at."""
    marked = mark_question(one("add", "6.5", "1.375", spelling="1+4+3"), {"answer": "0 1001 111"})

    assert (marked.marks, marked.waiting, marked.first_wrong) == (0, (), "answer")


def test_a_decimal_read_from_a_wrong_answer_follows_through() -> None:
    """11110111 is -9, whatever was asked."""
    marked = by_line(
        mark_question(one("add", "-5", "3", spelling="8"), {"answer": "11110111", "decimal": "-9"})
    )

    assert marked["answer"][:2] == (0, "off")
    assert marked["decimal"] == (1, "follow-through", False)


def test_points_in_words_are_flagged_with_what_may_be_said() -> None:
    """One text for all points, or one a point; nothing is earned until the teacher has decided."""
    asked = next(asked for item, asked in PAIRS if item.question.operation.name == "explain")
    marked = mark_question(asked, {"answer": "the ones fell off"})

    assert marked.marks == 0
    assert len(marked.waiting) == asked.marks
    assert all(point.expects in point.why for point in marked.waiting)
    assert len(mark_question(asked, {"point 1": "it moved"}).waiting) == 1


@pytest.mark.parametrize(
    ("operation", "operands", "spelling", "written", "answer"),
    [
        ("add", ("6.5", "1.25"), "binary16", "0100011111000000", "0 10001 1111000000"),
        ("add", ("6.5", "1.25"), "binary16", "0x47C0", "0 10001 1111000000"),
        ("add", ("6.5", "1.25"), "binary16", "7.75", "0 10001 1111000000"),
        ("add", ("6.5", "1.25"), "binary16", "7.3", "7.3"),
        ("negate", ("00110100",), "8", "1100 1100", "11001100"),
        ("add", ("100", "100"), "8", "Overflow.", "overflow"),
        ("decode", ("1101.1000",), "Q4.4", "-5/2", "\u22122.5"),
        ("decode", ("infinity",), "binary16", "inf", "infinity"),
        ("convert", ("6.5", "8+4"), "binary16", "0.1101000 0011", "01101000 0011"),
        ("choose-format", ("0", "40", "0.5"), "8+4", " 8 + 4 ", "8+4"),
        ("sum", ("64", "0.25", "1"), "8+4", "65", "01000001 0111"),
    ],
)
def test_spellings_that_are_taken(
    operation: str, operands: tuple[str, ...], spelling: str, written: str, answer: str
) -> None:
    """Bits run together or parted, hexadecimal, a value the format holds, a word."""
    assert read_answer(ask(operation, *operands, course=Course(format=spelling)), written).spelling == answer


@pytest.mark.parametrize(
    "text",
    [
        "0 1000 011",
        "01000011",
        "0 1000 011 = 2.75",
        "2.75 = 0|1000|011",
        "S=0 E=1000 F=011",
        "(0)(1000)(011).",
    ],
)
def test_a_pattern_earns_what_the_scheme_says(text: str) -> None:
    """Its value may stand beside it."""
    assert mark_question(one("add", "1.5", "1.25", spelling="1+4+3"), {"answer": text}).marks == 5


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2.75", "value without its pattern"),
        ("2,75", "value without its pattern"),
        ("0 1000 011 or 0 1000 010", "2 answers are written: 0 1000 011, 0 1000 010"),
        ("see over", "cannot be read"),
    ],
)
def test_what_shows_no_one_pattern_waits_for_the_teacher(text: str, why: str) -> None:
    """It earns nothing yet, and the reason says what is missing."""
    marked = mark_question(one("add", "1.5", "1.25", spelling="1+4+3"), {"answer": text})
    assert marked.marks == 0
    assert marked.waiting
    assert all(why in point.why for point in marked.waiting)


def test_several_answers_may_be_typed_as_one() -> None:
    """The key's own row: a pattern and both errors; the extremes in their order."""
    error = one("error", "2.7", spelling="Q5.3")
    extremes = one("range", spelling="1+4+3")

    assert mark_question(error, {"answer": expected_answer(error)}).marks == 3
    assert mark_question(extremes, {"answer": expected_answer(extremes)}).marks == 5


def test_a_class_is_marked_and_no_belief_is_named_from_other_formats() -> None:
    """A whole paper of binary16, E4M3, integers and fixed point goes through."""
    paper = papers(OTHER_FORMATS).to_dict()
    rows = [["student", *(str(entry["question"]) for entry in paper["papers"][0]["questions"])]]
    rows.append(["Odo", *(expected_answer(asked) for asked in BACK[OTHER_FORMATS].first.questions)])
    rows.append(["Wren", *("1" for _ in rows[0][1:])])
    marked = mark(paper, rows)["students"]

    assert marked[0]["marks"] == marked[0]["of"]
    assert marked[1]["marks"] < marked[1]["of"] // 4
    assert [belief for entry in marked for belief in entry["beliefs"] if belief["named"]] == []


@pytest.mark.parametrize(
    ("answer", "format", "verdict"),
    [
        (
            "0 10001 1",
            "binary16",
            "right elsewhere",
        ),  # 6 = 1.1 * 2^2: the 0s on the right of the fraction are left out
        ("0 10001 1000000000", "binary16", "right"),
        ("fraction 1000000000 exponent 10001 sign 0", "binary16", "right"),
        ("0 10001 01", "binary16", "wrong"),
        ("0 1001 1", "binary16", "wrong"),
        ("00110.0", "Q5.3", "right elsewhere"),
        ("00120.0", "Q5.3", "wrong"),
        ("exponent 0010 mantissa 010000000000", "C3x-16", "right"),
        ("mantissa 010000000000 exponent 0010", "C3x-16", "right"),
    ],
)
def test_an_answer_with_its_fields_named_or_its_last_0s_left_out(
    answer: str, format: str, verdict: str
) -> None:
    """Each is 6, or nearly: what is left out on the right is 0, what is named may stand in any order."""
    assert cp.judge("encode 6", answer=answer, format=format).verdict == verdict


@pytest.mark.parametrize(
    ("value", "spelling", "written", "pattern"),
    [
        # 6.5 is 0.1101 x 2^3, in excess 8 stored as 11
        ("6.5", "8+4 sign-and-magnitude", "01101000 11", "01101000 1011"),
        ("6.5", "8+4 sign-and-magnitude", "exponent 1011, mantissa 01101000", "01101000 1011"),
        ("-6.5", "1+4+3", "fraction 101 exponent 1001 sign 1", "1 1001 101"),
        ("-53", "8 sign-and-magnitude", "sign 1, magnitude 0110101", "10110101"),
    ],
)
def test_fields_by_name_or_in_decimal_stand_in_the_formats_order(
    value: str, spelling: str, written: str, pattern: str
) -> None:
    """Whichever is named first, and where the mantissa comes before the exponent too."""
    assert read_answer(ask("encode", value, course=Course(format=spelling)), written).spelling == pattern


@pytest.mark.parametrize(
    ("operation", "operands", "spelling", "written", "kind"),
    [
        (
            "multiply",
            ("-2", "-2"),
            "6",
            "0000 0100",
            "right elsewhere",
        ),  # in eight bits, though the format has six
        ("encode", ("2.5",), "Q4.4", "0010.10000", "right elsewhere"),
        ("encode", ("2.5",), "Q4.4", "00010.1000", "right elsewhere"),
        ("add", ("5", "3"), "8 unsigned", "000001000", "right elsewhere"),
        ("add", ("-5", "-3"), "8", "111111000", "wrong"),  # a carry kept is no copy of the sign
        (
            "add",
            ("5", "3"),
            "8 excess-128",
            "010001000",
            "wrong",
        ),  # in excess a 0 in front changes the number
        ("add", ("5", "3"), "8", "000001001", "wrong"),
    ],
)
def test_zeros_too_many_are_a_manner(
    operation: str, operands: tuple[str, ...], spelling: str, written: str, kind: str
) -> None:
    """A right number in more places than the format has is the teacher's to decide; other digits in front are wrong."""
    assert judge(f"{operation} {', '.join(operands)}", {}, written, format=spelling).verdict == kind
    marked = mark_question(one(operation, *operands, spelling=spelling), {"answer": written})
    assert marked.marks < marked.asked.marks
    assert (marked.most == marked.asked.marks) == (kind == "right elsewhere")

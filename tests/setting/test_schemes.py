"""Mark schemes: totals that add up, values of the engine, other answers said."""

from dataclasses import replace
from fractions import Fraction

import pytest

from brackwater import DIAGNOSING, EVERY_KIND, PRACTICE, WHOLE, papers
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.families import least_marks, most_marks
from chalkpoint.setting.schemes import scheme_for
from chalkpoint.setting.sources import FOUND_OPERATIONS, draw
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import ask
from chalkpoint.working.work import work_question
from second_road import encode, stored_bits

COURSE = Course()
ITEMS = [
    item
    for text in (WHOLE, EVERY_KIND, PRACTICE, DIAGNOSING)
    for paper in papers(text)
    for item in paper.questions
]
USUAL = {
    "decode": 3,
    "encode": 4,
    "normalise": 2,
    "negate": 2,
    "add": 5,
    "subtract": 6,
    "multiply": 4,
    "divide": 4,
    "range": 8,
    "error": 3,
}


def test_usual_marks() -> None:
    """One mark a marking point, as the trade has it."""
    assert {operation: most_marks(operation, COURSE.number_format) for operation in FOUND_OPERATIONS} == USUAL


def test_marks_add_up_on_every_paper() -> None:
    """A paper's marks are those of its questions, and theirs those of the lines."""
    for text in (WHOLE, EVERY_KIND, PRACTICE, DIAGNOSING):
        for entry in papers(text).to_dict()["papers"]:
            for question in entry["questions"]:
                assert question["marks"] == sum(line["marks"] for line in question["scheme"])
            assert entry["marks"] == sum(question["marks"] for question in entry["questions"])


@pytest.mark.parametrize("operation", FOUND_OPERATIONS)
def test_any_number_of_marks_up_to_one_a_point_is_reached(operation: str) -> None:
    """Fewer marks leave the least telling points out; none is counted twice."""
    question = draw(operation, COURSE, ["sign-pattern = -"] if operation == "encode" else [], 1, "marks")[0]
    fmt = COURSE.number_format
    for marks in range(least_marks(operation, fmt), most_marks(operation, fmt) + 1):
        assert scheme_for(question, marks).total == marks


def test_more_marks_than_points_are_refused() -> None:
    """A positive value is stored without a sign to give, so it has three points."""
    with pytest.raises(EntryError, match=r"marks = 4 is not taken for 6\.5 in 8\+4: it has 3"):
        scheme_for(ask("encode", "6.5", course=COURSE), 4)


def test_every_expected_row_is_a_row_of_the_working() -> None:
    """A scheme retells nothing: what it expects on a line is the row of the working itself."""
    seen = 0
    for item in ITEMS:
        if item.faulty:
            continue
        for mark in item.scheme.marks:
            if mark.row is None:
                continue
            rows = [row for step in item.working.steps if step.rule == mark.rule for row in step.rows]
            assert any(mark.row is row for row in rows)
            assert mark.row.bits in mark.says.replace(".", "") or mark.says == mark.row.exponent_bits
            seen += 1
    assert seen > 50


def test_expected_answers_are_the_result() -> None:
    """Mantissa and exponent of the answer are the fields of the result, a word stands whole."""
    for item in ITEMS:
        parts = {mark.part: mark.expects for mark in item.scheme.marks if mark.rule == "answer"}
        result = item.working.result
        if set(parts) == {"mantissa", "exponent"}:
            assert result.bits == f"{parts['mantissa']} {parts['exponent']}"
        elif result.bits is None and "" in parts:
            assert parts[""] == result.outcome


def test_values_of_decoding_are_exact() -> None:
    """-0.15625 is read as -2 and -5/8."""
    scheme = scheme_for(ask("decode", "10110000 1110", course=COURSE))

    assert [(mark.rule, mark.expects) for mark in scheme.marks] == [
        ("exponent", "\u22122"),
        ("mantissa", "\u22120.625"),
        ("answer", "\u22120.15625"),
    ]


def test_stored_patterns_are_the_second_road_s() -> None:
    """What encode and error expect agrees with the definitions."""
    for question in draw("error", COURSE, [], 40, "stored"):
        marks = scheme_for(question).marks
        bits = stored_bits(encode(question.value, 8, 4), 8, 4)
        assert marks[0].expects == bits
        assert Fraction(marks[2].expects) > 0


def test_the_worked_example_of_the_trade() -> None:
    """6.5 - 1.25: align, negate, add, then 5.25."""
    scheme = scheme_for(ask("subtract", "6.5", "1.25", course=COURSE))

    assert [(mark.name, mark.letter, mark.expects) for mark in scheme.marks] == [
        ("align", "M1", "00010100"),
        ("negate", "M1 ft", "11101100"),
        ("add", "M1 ft", "01010100"),
        ("answer mantissa", "A1 ft", "01010100"),
        ("answer exponent", "A1 ft", "0011"),
        ("decimal", "A1 ft", "5.25"),
    ]


def test_an_overflow_is_a_word_worth_both_marks() -> None:
    """Where the answer is a word there is no exponent to write: its mark goes with the word."""
    scheme = scheme_for(ask("add", "96", "80", course=COURSE))
    (answer,) = [mark for mark in scheme.marks if mark.rule == "answer"]

    assert (answer.expects, answer.marks, scheme.total) == ("overflow", 2, 5)


def test_other_methods_that_differ_are_listed_with_their_lines() -> None:
    """Each accepted method's answer is right too, and its own lines are given."""
    course = Course(accepts=("negate-then-align", "one-guard-bit"))
    scheme = scheme_for(ask("subtract", "8.875", "3.6875", course=course))

    assert {one.method: (one.answer, one.differs) for one in scheme.alternatives} == {
        "negate-then-align": ("01010010 0011", True),
        "one-guard-bit": ("01010011 0011", True),
    }
    lines = {one.method: dict(one.lines) for one in scheme.alternatives}
    assert lines["negate-then-align"]["negate"] == "1.0001010"


def test_wrong_answers_name_their_beliefs_once_each() -> None:
    """The forgotten one of a negation gives 5.125 here, and rounding does too."""
    scheme = scheme_for(ask("subtract", "8.875", "3.6875", course=COURSE))
    by_answer = {one.answer: one for one in scheme.wrong}

    assert {"invert-only", "rounds-when-told-to-cut"} <= set(by_answer["01010010 0011"].beliefs)
    assert by_answer["01010010 0011"].value == Fraction(41, 8)
    named = [name for one in scheme.wrong for name in one.beliefs]
    assert len(named) == len(set(named))


def test_products_and_quotients_say_what_wrong_answers_say() -> None:
    """Each names the beliefs that end there: exponents multiplied, a factor read as written, exponents added."""
    product = scheme_for(ask("multiply", "-5", "1.375", course=COURSE))
    by_belief = {name: one.answer for one in product.wrong for name in one.beliefs}
    assert by_belief["mul-exponents-multiplied"] == "10010010 0010"
    assert by_belief["mul-pattern-unsigned"] == "01111001 0100"
    quotient = scheme_for(ask("divide", "2.5", "1.5", course=COURSE))
    assert "exponents-added" in {name for one in quotient.wrong for name in one.beliefs}


def test_an_answer_that_common_wrong_working_reaches_does_not_earn_full_marks() -> None:
    """Where a common belief is right by accident, the lines are needed."""
    for item in ITEMS:
        if item.candidate.fairness.common_accidents and item.kind == "work":
            assert item.scheme.alone < item.scheme.total
            assert any("does not earn full marks" in note for note in item.notes)


def test_a_mark_that_depends_names_a_mark_of_the_same_scheme() -> None:
    """`dep` points at a line that can be earned."""
    for item in ITEMS:
        names = {mark.name for mark in item.scheme.marks}
        assert all(set(mark.needs) <= names for mark in item.scheme.marks)


def test_every_method_may_be_the_course_s_own() -> None:
    """A scheme can be written under each of the seven methods."""
    for method in METHODS:
        scheme = scheme_for(ask("subtract", "8.875", "3.6875", course=Course(method=method)))
        assert scheme.total == 6
        assert all(mark.expects for mark in scheme.marks)


@pytest.mark.parametrize(
    ("operation", "operands", "format", "rule", "given"),
    [
        ("add", ("1.5", "1.25"), "6+4", "align", "the exponent both share: nothing is to be moved"),
        (
            "add",
            ("6.5", "1.25"),
            "6+4",
            "align",
            "the smaller exponent\u2019s mantissa moved right, sign copied",
        ),
        ("add", ("1.5", "1.25"), "1+4+3", "align", "the sizes as they are: nothing is to be moved"),
        ("add", ("6.5", "1.25"), "1+4+3", "align", "the size of the smaller exponent, moved right"),
        ("sum", ("1.5", "1.25", "4"), "6+4", "move 2", "the exponent both share: nothing is to be moved"),
    ],
)
def test_where_the_exponents_are_equal_the_scheme_speaks_of_no_move(
    operation: str, operands: tuple[str, ...], format: str, rule: str, given: str
) -> None:
    """What the mark is given for is what the working does."""
    scheme = scheme_for(ask(operation, *operands, course=COURSE.with_(format=format)))

    assert next(mark.give for mark in scheme.marks if mark.name == rule) == given


def test_an_accepted_answer_is_never_a_wrong_one() -> None:
    """Forgetting to add one ends where negating first does, when a 1 is lost: that answer is right."""
    course = Course(accepts=("negate-then-align",))
    seen = 0
    for question in draw("subtract", course, ["shifted-operand = second", "lost-ones >= 1"], 60, "accepted"):
        scheme = scheme_for(question)
        right = {
            work_question(replace(question, course=course.with_(method=name))).result.bits
            for name in (course.method, *course.accepts)
        }
        assert not right & {one.answer for one in scheme.wrong}
        assert {scheme.also_right} <= {(), tuple(right - {work_question(question).result.bits})}
        seen += any("invert-only" in one.beliefs for one in scheme.alternatives)
    assert seen > 20

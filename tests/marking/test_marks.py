"""Marks with follow-through: the worked examples, and laws that hold for every script."""

import random
from dataclasses import replace

import pytest

from chalkpoint.marking.judging import sheet_for
from chalkpoint.marking.marks import QuestionMarks, mark_question
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.schemes import scheme_for
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import ask
from heron import one_question

SUBTRACT = one_question("subtract", "6.5", "1.25")
ADD = one_question("add", "2.75", "-1.5")


def given(marked: QuestionMarks) -> list[int]:
    """Return the marks of each point."""
    return [point.given for point in marked.points]


def test_the_worked_example() -> None:
    """The example of the rules: inverting without adding one costs one mark of six, and is named once."""
    lines = {"align": "0.0010100", "negate": "1.1101011", "add": "0.1010011", "exponent": "0011"}
    marked = mark_question(SUBTRACT, lines | {"answer": "5.1875"})
    assert given(marked) == [1, 0, 1, 1, 1, 1]
    assert marked.first_wrong == "negate"
    assert [point.among for point in marked.points if point.status == "misconception"] == [("invert-only",)]


def test_a_right_answer_alone_earns_what_the_scheme_says() -> None:
    """The scheme lets a right answer earn everything here, and says each line is implied."""
    marked = mark_question(SUBTRACT, {"answer": "0.1010100 0011"})
    assert marked.marks == SUBTRACT.alone == 6
    assert {point.status for point in marked.points} == {"right", "implied"}


@pytest.mark.parametrize("line", ["align", "answer"])
def test_words_that_say_nothing_wait_for_the_teacher(line: str) -> None:
    """Nor does what a right answer would imply; a word that may be an answer, and a dash, do not wait."""
    marked = mark_question(SUBTRACT, {line: "see over"})
    waiting = [point for point in marked.points if point.for_teacher]
    implied = {"align", "negate", "add", "answer", "decimal"}
    assert {point.rule for point in waiting} == (implied if line == "answer" else {line})
    assert all(point.why.startswith("\u201csee over\u201d cannot be read; ") for point in waiting)
    assert marked.marks == 0
    for text in ("overflow", "-", "?"):
        assert not any(point.for_teacher for point in mark_question(SUBTRACT, {line: text}).points)


def test_nothing_written_earns_nothing() -> None:
    """A blank has no marks and no first wrong line."""
    marked = mark_question(SUBTRACT, {"answer": "  "})
    assert (marked.marks, marked.first_wrong, marked.blank) == (0, "", True)


def test_a_silent_correction_is_for_the_teacher() -> None:
    """A right answer that does not follow keeps its method marks and leaves accuracy to a person."""
    lines = {"align": "0.0010100", "negate": "1.1101011", "add": "0.1010011"}
    marked = mark_question(SUBTRACT, lines | {"answer": "0.1010100 0011"})
    doubtful = [point for point in marked.points if point.for_teacher]
    assert [point.status for point in doubtful] == ["recovered", "recovered"]
    assert sum(point.given for point in doubtful) == 0


def test_a_slip_in_a_method_line_is_for_the_teacher() -> None:
    """One digit wrong in a shift of the right length earns nothing yet and is flagged."""
    marked = mark_question(SUBTRACT, {"align": "0.0010101", "negate": "1.1101100", "add": "0.1010100"})
    assert marked.points[0].for_teacher
    assert marked.points[0].given == 0


@pytest.mark.parametrize("total", ["0.1101000", "0.1101001", "1.0010110"])
def test_an_easier_path_is_withheld(total: str) -> None:
    """A wrong sum that needs no normalising does not earn the marks for it without a person."""
    marked = mark_question(ADD, {"align": "1.1010000", "add": total, "answer": f"{total} 0010"})
    answer = [point for point in marked.points if point.rule == "answer"]
    assert all(point.for_teacher and point.given == 0 for point in answer)


def test_a_misreading_costs_one_mark() -> None:
    """The moved number copied with one digit wrong and everything right from there: the line it shows on."""
    lines = {"align": "0.0010110", "negate": "1.1101010", "add": "0.1010010", "answer": "0.1010010 0011"}
    marked = mark_question(SUBTRACT, lines | {"decimal": "5.125"})
    assert given(marked) == [0, 1, 1, 1, 1, 1]


def test_a_misreading_that_nothing_would_follow_from_costs_one_accuracy_mark() -> None:
    """4.9 for 4.6: stored 4.875, 0.025 off, 1/196 of it, all right for what was read; one accuracy mark is lost."""
    asked = one_question("error", "4.6")
    marked = mark_question(asked, {"answer": "0.1001110 0011", "absolute": "0.025", "relative": "1/196"})
    assert given(marked) == [1, 0, 1]
    assert (marked.marks, marked.most) == (2, 3)
    assert marked.reading == "the value copied with one digit changed"


def test_what_was_expected_of_a_stored_value_is_its_pattern() -> None:
    """.6 turned into 110: 100.110 is stored; 0.1001001 0011 was expected, and not what storing costs."""
    marked = mark_question(one_question("error", "4.6"), {"answer": "0.1001100 0011", "absolute": "0.15"})
    assert marked.points[0].why.endswith("0.1001001 0011 was expected.")


def test_one_misreading_that_explains_all_is_sooner_believed_than_a_belief_that_explains_one_line() -> None:
    """4.8 is stored as 4.75, 0.05 off: 4.6 misread, and not .6 turned into 110 with a wrong difference behind it."""
    marked = mark_question(one_question("error", "4.6"), {"answer": "0.1001100 0011", "absolute": "0.05"})
    assert marked.points[0].why == "Right for the question as read (the value copied with one digit changed)."


def test_mantissa_and_exponent_are_marked_apart() -> None:
    """A right mantissa under an exponent left alone earns one of the two."""
    marked = mark_question(ADD, {"align": "1.1010000", "add": "(1)0.0101000", "answer": "0.1010000 0010"})
    assert [point.given for point in marked.points if point.rule == "answer"] == [1, 0]


def test_an_accepted_method_earns_everything() -> None:
    """Negating first is right where the course accepts it, though its lines and answer differ."""
    asked = one_question("subtract", "6.5", "0.7109375", accepts=["negate-then-align"])
    question = asked.question
    method = right_method("subtract", question.course, "negate-then-align")
    sheet = sheet_for(question)
    lines = {
        written.line.name: sheet.says(written.line.name, written.before, written.after).split(";")[-1]
        for written in method.trail(sheet.start, question.format)
        if written.line.name in {"align", "negate", "add"}
    }
    marked = mark_question(asked, lines | {"answer": answer_by(method, question), "decimal": "5.7890625"})
    assert marked.marks == asked.marks
    assert marked.method == "negate-then-align"


def test_a_line_that_is_none_is_kept_as_a_note() -> None:
    """A line this question has not is named and nothing else is lost."""
    marked = mark_question(SUBTRACT, {"polish": "0.1", "answer": "0.1010100 0011"})
    assert marked.marks == 6
    assert marked.notes[0].startswith("not marked: 'polish' is not a line")


@pytest.mark.parametrize(
    "spelling",
    [
        "0.1010100 0011",
        "01010100 0011",
        "0101 0100 0011",
        "0_1010100|0011",
        "010101000011",
        "(0.1010100 0011)",
        "01010100 0011?",
        "0.1010100 0011 = 5.25",
        "5.25 = 0.1010100 0011",
        "M = 0.1010100, E = 0011",
        "mantissa 01010100 exponent 0011",
        "01010100, 0011",
    ],
)
def test_every_spelling_earns_full_marks(spelling: str) -> None:
    """Spaces, underscores, a point or none, brackets around it, its value beside it: all are the right answer."""
    assert mark_question(SUBTRACT, {"answer": spelling}).marks == 6


@pytest.mark.parametrize("spelling", ["5.25", "5 1/4", "21/4", "+5.25"])
def test_a_value_alone_shows_no_pattern(spelling: str) -> None:
    """It is worth its own mark; whether it stands for the pattern that was asked, the teacher decides."""
    marked = mark_question(SUBTRACT, {"answer": spelling})
    assert [(point.name, point.given) for point in marked.points if point.given] == [("decimal", 1)]
    assert {point.group for point in marked.waiting} == {"value without its pattern"}
    assert marked.most == 6


@pytest.mark.parametrize(
    ("operation", "operand", "value"), [("normalise", "00010100 0011", "1.25"), ("negate", "5.25", "-5.25")]
)
def test_the_question_said_back_earns_nothing(operation: str, operand: str, value: str) -> None:
    """The value of a pattern to be normalised is in the question already: nothing is left to decide."""
    marked = mark_question(one_question(operation, operand), {"answer": value})
    assert (marked.marks, bool(marked.waiting)) == (0, False)


def test_a_value_beside_the_pattern_is_the_decimal_check() -> None:
    """The pattern is right; what it is said to be worth is not."""
    marked = mark_question(SUBTRACT, {"answer": "0.1010100 0011 = 5.5"})
    assert given(marked) == [1, 1, 1, 1, 1, 0]


@pytest.mark.parametrize(
    ("written", "marks"),
    [
        ("0.1010100", [1, 0]),
        ("0.1010100 3", [1, 0]),
        ("0.1010100 x 2^3", [1, 0]),
        ("0.1010011", [0, 0]),
        ("0.1010100 0010", [1, 0]),
        ("0.1010011 0011", [0, 1]),
    ],
)
def test_each_field_of_the_answer_is_marked_by_itself(written: str, marks: list[int]) -> None:
    """A mantissa without its exponent, or with a number for it, is still a mantissa."""
    marked = mark_question(SUBTRACT, {"answer": written})
    assert [point.given for point in marked.points if point.rule == "answer"] == marks


@pytest.mark.parametrize("both", ["0.1010100 0011 or 0.1010011 0011", "01010011 0011; 01010100 0011"])
def test_of_two_answers_none_is_chosen(both: str) -> None:
    """Whichever stands first, the teacher decides; both are said."""
    marked = mark_question(SUBTRACT, {"answer": both})
    assert marked.marks == 0
    assert {point.name for point in marked.waiting} >= {"answer mantissa", "answer exponent"}
    assert all(
        "01010100 0011" in point.why and "01010011 0011" in point.why and point.why.startswith("2 answers")
        for point in marked.waiting
    )


@pytest.mark.parametrize(
    "equation",
    ["1.1101011 + 1 = 1.1101100", "1.1101100 = -0.15625", "1.1101011 + 0.0000001 = 1.1101100 × 2³"],
)
def test_of_an_equation_in_working_its_result_counts(equation: str) -> None:
    """Where bits are asked for, the last row of bits."""
    marked = mark_question(SUBTRACT, {"negate": equation, "answer": "0.1010100 0011"})
    assert [point.given for point in marked.points if point.rule == "negate"] == [1]


def test_the_stored_value_without_its_pattern_waits() -> None:
    """What storing costs asks for the pattern stored; the costs follow from its value all the same."""
    marked = mark_question(
        one_question("error", "4.6"),
        {"answer": "4.5625", "absolute": "4.6 - 4.5625 = 0.0375", "relative": "0.82%"},
    )
    assert given(marked) == [0, 1, 1]
    assert marked.most == 3


@pytest.mark.parametrize("written", ["1.01011E+11", "2.5.1", "see over", "12 apples"])
def test_what_cannot_be_read_is_left_to_the_teacher(written: str) -> None:
    """It earns nothing yet, and could be worth all that a right answer is; a dash or a question mark is a blank."""
    marked = mark_question(SUBTRACT, {"answer": written})
    assert (marked.marks, marked.most) == (0, 6)
    assert all("cannot be read" in point.why for point in marked.waiting)
    assert not mark_question(SUBTRACT, {"answer": written, "align": "0.0010100"}).points[0].for_teacher
    assert not mark_question(SUBTRACT, {"answer": "?"}).waiting


QUESTIONS = [
    ("decode", "1.0110000 1110"),
    ("encode", "-5.25"),
    ("normalise", "1.1110010 0010"),
    ("negate", "0.0110100 0011"),
    ("add", "2.75", "-1.5"),
    ("subtract", "6.5", "0.7109375"),
]


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question[0])
def test_correct_working_gets_full_marks(question: tuple[str, ...]) -> None:
    """The course's own lines, all written down, earn every mark."""
    asked = one_question(*question)
    method = right_method(question[0], asked.question.course)
    sheet = sheet_for(asked.question)
    names = {point.rule for point in asked.points}
    trail = method.trail(sheet.start, sheet.context)
    lines = {
        one.line.name: sheet.says(one.line.name, one.before, one.after).split("; ")[-1]
        for one in trail
        if one.line.name in names
    }
    decimal = next((point.expects.split(" and ")[0] for point in asked.points if point.rule == "decimal"), "")
    written = (
        lines | {"answer": answer_by(method, asked.question)} | ({"decimal": decimal} if decimal else {})
    )
    assert mark_question(asked, written).marks == asked.marks


def test_no_line_earns_more_than_its_marks() -> None:
    """Whatever is written, marks stay between nothing and what the scheme has."""
    rng = random.Random(3)
    for _ in range(120):
        lines = {
            name: "".join(rng.choice("01") for _ in range(8))
            for name in rng.sample(["align", "negate", "add", "normalise"], rng.randrange(4))
        }
        answer = rng.choice(["", "overflow", "".join(rng.choice("01") for _ in range(12)), "5.25", "x"])
        marked = mark_question(SUBTRACT, lines | {"answer": answer})
        assert all(0 <= point.given <= point.given for point in marked.points)
        assert all(point.why for point in marked.points)


def test_extremes_are_marked_field_by_field() -> None:
    """One of the four extreme values, right, earns its two marks."""
    asked = one_question("range")
    assert mark_question(asked, {"largest positive": "0.1111111 0111"}).marks == 2


NAMES = ("largest positive", "smallest positive", "largest negative", "most negative")


def test_a_range_whose_scheme_asks_for_values_takes_values() -> None:
    """5+3 by hand: 7.5, 1/32, -9/256, -8; in any spelling, a pattern beside it or not; a pattern alone waits."""
    scheme = [
        {"rule": name, "kind": "B", "marks": 1, "expects": value}
        for name, value in zip(NAMES, ("7.5", "0.03125", "-0.03515625", "-8"), strict=True)
    ]
    entry = {"operation": "range", "format": "5+3", "scheme": scheme}
    asked = papers_from(
        {"schema": "chalkpoint.papers/1", "papers": [{"questions": [entry]}]}
    ).first.questions[0]
    right = mark_question(
        asked, dict(zip(NAMES, ("7.5", "1/32", "10111 100 = -9/256", "-1 * 2^3"), strict=True))
    )
    assert (right.marks, right.waiting) == (4, ())
    mixed = mark_question(asked, dict(zip(NAMES, ("7.75", "01000 100", "-9/256", "8"), strict=True)))
    assert (mixed.marks, mixed.most) == (1, 2)
    assert [point.group for point in mixed.waiting] == ["pattern without its value"]


def test_an_error_in_percent_is_read() -> None:
    """The relative error may be a fraction; all three marks are earned."""
    asked = one_question("error", "4.6")
    assert (
        mark_question(asked, {"answer": "0.1001001 0011", "absolute": "0.0375", "relative": "3/368"}).marks
        == 3
    )


def test_a_question_is_marked_as_its_course_has_it() -> None:
    """The same lines under a course with the exponent first expect the exponent first."""
    question = ask("add", "2.75", "-1.5", course=Course(exponent="first"))
    asked = one_question("add", *question.operands, exponent="first")
    assert mark_question(asked, {"answer": "0001 01010000"}).marks == asked.marks


@pytest.mark.parametrize(
    ("question", "right"),
    [(("multiply", "-5", "1.375"), "1.0010010 0011"), (("divide", "2.5", "1.5"), "0.1101010 0001")],
)
def test_other_operations_are_marked_by_their_answer(question: tuple[str, ...], right: str) -> None:
    """A right product or quotient earns what the scheme gives an answer alone, a wrong one less."""
    asked = one_question(*question)
    assert mark_question(asked, {"answer": right}).marks == asked.alone
    assert mark_question(asked, {"answer": "0.1000000 0001"}).marks < asked.alone


@pytest.mark.parametrize(
    ("question", "lines"),
    [
        (
            ("multiply", "-5", "1.375"),
            {"exponents": "4", "product": "11.1001001", "answer": "1.0010010 0011"},
        ),
        (
            ("divide", "2.5", "1.5"),
            {"exponents": "0001", "quotient": "0.1101010101\u2026", "answer": "0.1101010 0001"},
        ),
        (("divide", "3", "1.25"), {"exponents": "1", "quotient": "1.0011001100", "answer": "0.1001100 0010"}),
        (("divide", "3", "1.25"), {"exponents": "1", "quotient": "010011001", "answer": "0.1001100 0010"}),
    ],
)
def test_right_products_and_quotients_earn_every_mark(
    question: tuple[str, ...], lines: dict[str, str]
) -> None:
    """Digits may go on past the mantissa, and a size needs no place for a sign."""
    marked = mark_question(one_question(*question), lines)
    assert (marked.marks, marked.first_wrong) == (marked.asked.marks, "")


def test_a_quotient_is_followed_from_wrong_exponents() -> None:
    """Exponents that were added cost their mark alone; all that follows is judged from them."""
    lines = {"exponents": "3", "quotient": "0.1101010101", "answer": "0.1101010 0011"}
    marked = mark_question(one_question("divide", "2.5", "1.5"), lines)
    assert marked.marks == marked.asked.marks - 1
    assert marked.points[0].among == ("exponents-added",)
    assert [point.status for point in marked.points[1:]] == ["right", "right", "follow-through"]


def test_a_division_by_zero_is_marked_by_its_answer() -> None:
    """A machine's answer to it stands beside every way of working."""
    asked = one_question("divide", "3", "0", overflow="largest")
    assert mark_question(asked, {"answer": "0.1111111 0111"}).marks == asked.alone


@pytest.mark.parametrize(("habits", "marks", "most"), [("takes", 6, 6), ("refuses", 5, 5), ("", 5, 6)])
def test_a_manner_that_was_ruled_on_waits_no_more(habits: str, marks: int, most: int) -> None:
    """Taken it has every mark; refused it loses its field's, and no more."""
    course = {habits: ["exponent in decimal"]} if habits else {}
    marked = mark_question(one_question("subtract", "6.5", "1.25", **course), {"answer": "0.1010100 3"})
    assert (marked.marks, marked.most) == (marks, most)


def test_a_mark_for_the_right_value_only_is_not_followed_through() -> None:
    """A slip in the sum: its mark is lost; the mantissa follows where the scheme says ft, and does not where not."""
    lines = {"align": "1.1010000", "add": "0.0111000", "answer": "0.1110000 0001"}
    strict = [replace(point, follows=point.follows and point.part != "mantissa") for point in ADD.points]
    refused = replace(ADD, scheme=replace(ADD.scheme, marks=tuple(strict)))
    for asked, marks in ((ADD, [1, 0, 1, 1, 0]), (refused, [1, 0, 0, 1, 0])):
        assert given(mark_question(asked, lines)) == marks


def test_one_line_implies_none_after_it() -> None:
    """Of a subtraction only the moved row, or only the sum: what stands before is implied, what follows is not."""
    for line, text, marks in (("align", "0.0010100", [1, 0, 0]), ("add", "0.1010100", [1, 1, 1])):
        assert given(mark_question(SUBTRACT, {line: text}))[:3] == marks


@pytest.mark.parametrize(
    ("question", "marks", "points"),
    [
        (("decode", "1.0110000 1110"), 1, ["answer"]),
        (("decode", "1.0110000 1110"), 2, ["exponent", "answer"]),
        (("encode", "-5.25"), 1, ["answer"]),
        (("encode", "-5.25"), 2, ["answer mantissa", "answer exponent"]),
        (("encode", "-5.25"), 3, ["size", "answer mantissa", "answer exponent"]),
        (("normalise", "1.1110010 0010"), 1, ["answer"]),
        (("negate", "0.1010000 0001"), 1, ["answer"]),
        (("add", "2.75", "-1.5"), 1, ["add"]),
        (("add", "2.75", "-1.5"), 2, ["add", "answer"]),
        (("add", "2.75", "-1.5"), 3, ["align", "add", "answer"]),
        (("add", "2.75", "-1.5"), 4, ["align", "add", "answer mantissa", "answer exponent"]),
        (("subtract", "6.5", "1.25"), 4, ["align", "negate", "add", "answer"]),
        (("subtract", "6.5", "1.25"), 5, ["align", "negate", "add", "answer mantissa", "answer exponent"]),
        (("multiply", "-5", "1.375"), 2, ["exponents", "answer"]),
        (("multiply", "-5", "1.375"), 3, ["exponents", "product", "answer"]),
        (("divide", "2.5", "1.5"), 2, ["exponents", "answer"]),
        (("divide", "2.5", "1.5"), 3, ["exponents", "quotient", "answer"]),
        (("error", "4.6"), 1, ["answer"]),
        (("error", "4.6"), 2, ["answer", "absolute"]),
    ],
)
def test_of_fewer_marks_the_line_that_is_asked_about_keeps_its_own(
    question: tuple[str, ...], marks: int, points: list[str]
) -> None:
    """What the question is about goes first, the line before it next, exponent and check last."""
    scheme = scheme_for(ask(*question, course=Course()), marks)
    assert [mark.name for mark in scheme.marks] == points


def test_a_wrong_value_is_no_extreme() -> None:
    """100 is less than 127, and not the largest; its exponent is the highest, which a value does not show in bits."""
    marked = mark_question(one_question("range"), {"largest positive": "100"})
    assert marked.marks == 0
    assert marked.most <= 1
    assert not marked.points[0].for_teacher


def test_a_size_as_long_as_a_mantissa_keeps_its_point() -> None:
    """13.625 is 1101.101: eight digits with a sign place, but its point is not where a mantissa has it."""
    expects = {point.name: point.expects for point in one_question("encode", "13.625").points}
    assert expects == {"size": "01101.101", "answer mantissa": "01101101", "answer exponent": "0100"}


def test_a_row_in_decimal_beside_a_right_answer_costs_nothing() -> None:
    """The second row negated is -5/32: as a number it shows what was done, and the answer implies the row."""
    assert mark_question(SUBTRACT, {"negate": "-0.15625", "answer": "0.1010100 0011"}).marks == 6
    alone = mark_question(SUBTRACT, {"negate": "-0.15625"})
    assert (alone.marks, alone.waiting[0].group) == (0, "a row in decimal")


def test_a_check_follows_from_a_wrong_sum() -> None:
    """0.0111000 for 0.0101000, and its value, 1.75, read: the sum is lost, the check is not; 1.25 is exact."""
    lines = {"align": "1.1010000", "add": "0.0111000", "answer": "0.1110000 × 2^1", "decimal": "1.75"}
    assert given(mark_question(ADD, lines))[-1] == 1
    assert given(mark_question(ADD, {**lines, "decimal": "1.25"}))[-1] == 1
    assert given(mark_question(ADD, {**lines, "decimal": "3.5"}))[-1] == 0


def test_a_line_left_out_on_which_a_belief_acted_is_charged_for_it() -> None:
    """-4.6 with .6 turned into 110: the sign alone is written, 1011.010, right for 100.110, and so charged once."""
    size, sign, *_ = mark_question(one_question("encode", "-4.6"), {"sign": "1011.010"}).points
    assert (size.status, size.given, size.among) == ("misconception", 0, ("frac-digits-as-integer",))
    assert (sign.status, sign.given) == ("follow-through", 1)


def test_of_two_extremes_only_the_field_that_one_has_right_waits() -> None:
    """Both have the exponent right and the mantissa wrong: the teacher is asked about the exponent alone."""
    both = {"largest positive": "0.1111110 0111 or 0.1111101 0111"}
    mantissa, exponent, *others = mark_question(one_question("range"), both).points
    assert (mantissa.status, mantissa.for_teacher) == ("off", False)
    assert (exponent.given, exponent.most, exponent.for_teacher) == (0, 1, True)
    assert {other.status for other in others} == {"absent"}


def test_all_that_is_right_for_what_was_misread_follows_through() -> None:
    """4.9 for 4.6: two lines follow, and the one accuracy mark that is lost is off."""
    asked = one_question("error", "4.6")
    marked = mark_question(asked, {"answer": "0.1001110 0011", "absolute": "0.025", "relative": "1/196"})
    assert [point.status for point in marked.points] == ["follow-through", "off", "follow-through"]


def test_a_range_with_the_exponent_first_is_marked_field_by_field() -> None:
    """5+3: 0.1111 x 2^3, 0.1000 x 2^-4, 1.0111 x 2^-4 and 1.0000 x 2^3; one exponent of 3 for -4 costs its mark."""
    asked = one_question("range", format="5+3", exponent="first")
    right = {
        "largest positive": "011 0.1111",
        "smallest positive": "100 0.1000",
        "largest negative": "100 1.0111",
        "most negative": "011 1.0000",
    }
    assert given(mark_question(asked, right)) == [1] * 8
    assert given(mark_question(asked, right | {"smallest positive": "011 0.1000"})) == [
        1,
        1,
        1,
        0,
        1,
        1,
        1,
        1,
    ]


@pytest.mark.parametrize(
    ("course", "earned", "waits"),
    [
        ({}, 0, True),
        ({"takes": ["value without its pattern"]}, 1, False),
        ({"refuses": ["value without its pattern"]}, 0, False),
    ],
)
def test_a_remainder_as_a_number_is_what_the_course_says(
    course: dict[str, list[str]], earned: int, waits: bool
) -> None:
    """113 / -11 = -10, and 3 is left: 00000011 was expected."""
    asked = one_question("divide", "113", "-11", format="8", **course)
    marked = mark_question(asked, {"quotient": "1010", "remainder": "3", "answer": "11110110"})
    assert (given(marked), marked.points[2].for_teacher) == ([1, 1, earned], waits)


@pytest.mark.parametrize(("value", "waits"), [("127", [True, True]), ("126", [False, True])])
def test_the_value_of_an_extreme_waits_for_what_its_pattern_has_right(value: str, waits: list[bool]) -> None:
    """127 is the largest of 8+4, 0.1111111 x 2^7; 126 is 0.1111110 x 2^7, with that exponent and another mantissa."""
    points = mark_question(one_question("range"), {"largest positive": value}).points
    assert [point.for_teacher for point in points[:2]] == waits

"""Answers to conversions and sums: each part worked by every way, from what the way's own part before came to."""

import pytest

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.asking import decide, diagnose, diagnoser_for
from chalkpoint.marking.judging import judge_question
from chalkpoint.marking.naming import Finding
from chalkpoint.marking.observed import observe
from chalkpoint.marking.ways import Way, held_method, predict, ways_for
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.working.chained import results_of_chain
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question, ask

COURSE, TARGET = Course(), Course(format="6+4")
SUMS = [ask("sum", *terms, course=COURSE) for terms in (("6.5", "-1.25", "2"), ("3.5", "-1.25", "-9"))]
CONVERSIONS = [ask("convert", value, "6+4", course=COURSE) for value in ("6.5", "-1.25", "-0.375", "-20")]


def test_a_sum_by_hand() -> None:
    """0s shifted in: 6.5 and -1.25 come to 9.25, and 2 more to 11.25, by the rows below."""
    # 1.0110000 x 2^1 moved two places with 0s is 0.0101100; 0.1101000 + 0.0101100 = 1.0010100, repaired
    # 0.1001010 x 2^4; and 2 is 0.1000000 x 2^2, moved two places 0.0010000: 0.1011010 x 2^4 = 11.25.
    way = Way("", ("align-fill-zeros",))
    assert written(SUMS[0], way) == "01011010 0100"


def test_a_conversion_by_hand() -> None:
    """Sign and magnitude read: 1.0110000 0001 is -0.375 x 2 = -0.75, stored 1.01000 0000."""
    way = Way("", ("mantissa-sign-mag",))
    assert written(CONVERSIONS[1], way) == "101000 0000"


def written(question: Question, way: Way) -> str:
    """Return what *way* writes, part by part."""
    return results_of_chain(question, lambda operation, course: held_method(way, operation, course))[-1]


@pytest.mark.parametrize(
    "question", [SUMS[0], CONVERSIONS[1], CONVERSIONS[3]], ids=lambda one: str(one.shown)
)
def test_all_ways_at_once_write_what_each_writes_alone(question: Question) -> None:
    """Foretold together or worked by itself, every way ends in the same answer."""
    operations = frozenset({"add"} if question.target is None else {"decode", "encode"})
    ways = ways_for(COURSE, operations, pairs=False, others=frozenset({TARGET}))
    answers = predict(question, ways)
    for number, way in enumerate(ways):
        if not way.convention:
            (answer,) = [text for text, mask in answers.items() if mask >> number & 1]
            assert answer == written(question, way)


@pytest.mark.parametrize(
    ("asked", "belief", "among"),
    [
        (SUMS, "align-fill-zeros", {"align-fill-zeros"}),
        (CONVERSIONS, "mantissa-sign-mag", {"mantissa-sign-mag"}),
        # the point moved backwards in reading, or the exponent's sign turned about in storing, end alike
        (CONVERSIONS, "exp-sign-flipped", {"exp-sign-flipped", "point-moves-backwards"}),
    ],
)
def test_a_holder_is_told_by_answers_alone(asked: list[Question], belief: str, among: set[str]) -> None:
    """From sums or conversions nothing else would give."""
    said = diagnose([(one, written(one, Way("", (belief,)))) for one in asked])
    assert [set(finding.among) for finding in said.named] == [among]


def test_right_answers_name_nothing() -> None:
    """Whoever converts and adds rightly is accused of nothing."""
    said = diagnose([(one, written(one, Way())) for one in (*SUMS, *CONVERSIONS)])
    assert not said.findings
    assert said.right > 0.75


def test_an_answer_in_another_format_with_a_digit_left_out_is_read() -> None:
    """-53 is 1.001011 x 2^6 in 10+6: without its sign bit it is the course's own mantissa all the same."""
    asked = ask("convert", "11001011", "10+6", course=Course(format="8"))
    read = read_answer(asked, "001011000 000110")
    assert (read.spelling, read.manners) == ("0010110000 000110", ("trailing zeros left off",))
    assert read_answer(asked, "1.00101100000 000110").manners == ("zeros added at the end",)


@pytest.mark.parametrize(
    ("belief", "answers"),
    [
        # 40 in steps of 0.25: 101000.00 and a sign are 9 bits; an exponent of 6 is 0110, so 9+4. Then 7+4 and 8+4.
        ("bits-and-range-swapped", ("4+9", "4+7", "4+8")),
        ("mantissa-sign-uncounted", ("8+4", "6+4", "7+4")),
        ("exponent-sign-uncounted", ("9+3", "7+3", "8+3")),
        ("step-places-alone", ("3+4", "2+4", "2+4")),
    ],
)
def test_a_choice_of_a_format_is_diagnosed(belief: str, answers: tuple[str, ...]) -> None:
    """In whatever format the course works, since none is worked in."""
    asked = ("choose-format 0, 40, 0.25", "choose-format 0, 40, 1", "choose-format -10, 60, 0.5")
    said = diagnose([*zip(asked, answers, strict=True)], course=Course(format="8 unsigned"))
    assert [finding.among for finding in said.named] == [(belief,)]


def test_a_format_of_as_few_bits_that_serves_speaks_for_nothing() -> None:
    """8+5 serves 0 to 40 in steps of 0.25 as 9+4 does."""
    said = diagnose([("choose-format 0, 40, 0.25", "8+5"), ("choose-format 0, 40, 1", "7+4")])
    assert not said.findings


def test_an_explanation_is_not_diagnosed() -> None:
    """It asks for words, and the refusal says so."""
    text = 'title = "L"\npurpose = "diagnose"\n[[question]]\noperation = "explain"\nabout = "add"\n'
    with pytest.raises(EntryError, match="which asks for words"):
        parse_blueprint(text)


def test_the_value_in_between_tells_reading_from_storing() -> None:
    """Both end in 1.0 x 2^-1 for -20: whoever read -1/320 forgot nothing in storing, and the other way about."""
    flipped = diagnosed_with_values("exp-sign-flipped", right_reading=True)
    assert [finding.among for finding in flipped] == [("exp-sign-flipped",)]
    backwards = diagnosed_with_values("point-moves-backwards", right_reading=False)
    assert [finding.among for finding in backwards] == [("point-moves-backwards",)]


def diagnosed_with_values(belief: str, *, right_reading: bool) -> tuple[Finding, ...]:
    """Return what is named of a holder of *belief* who writes the value of each conversion too."""
    diagnoser = diagnoser_for(COURSE, frozenset({"decode", "encode"}), others=frozenset({TARGET}))
    way = Way("", (belief,))
    seen = []
    for number, question in enumerate(CONVERSIONS, start=1):
        value, answer = results_of_chain(question, lambda operation, own: held_method(way, operation, own))
        assert (value == question.shown[0]) is right_reading
        lines = {"value": value, "answer": answer}
        seen += observe(
            diagnoser, number, question, lines, judge_question(question, {"value": value}, answer).marks
        )
    return decide(diagnoser, seen).named


def test_a_total_with_a_digit_too_many_is_evidence_by_itself() -> None:
    """-57 + 78 is 1 0001 0101 with its carry kept; nothing is foretold of what is added to nine digits."""
    question = ask("sum", "-57", "78", "98", course=Course(format="8"))
    diagnoser = diagnoser_for(question.course, frozenset({"add"}))
    lines = {"total 2": "100010101", "answer": "001110111"}
    marks = judge_question(question, {"total 2": "100010101"}, "001110111").marks
    (seen,) = observe(diagnoser, 1, question, lines, marks)
    assert (seen.answer, seen.item.right) == ("100010101", "00010101")
    assert seen.givers >> diagnoser.ways.index(Way("", ("carry-kept",))) & 1

"""Single answers judged: statuses, candidates, notes and what is right elsewhere."""

import pytest

from chalkpoint.marking.judging import judge
from chalkpoint.marking.saying import say
from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.judged import judgement_json
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS

QUESTION = "subtract 6.5, 1.25"  # 0.1101000 0011 - 0.1010000 0001 = 0.1010100 0011


def statuses(lines: dict[str, str], answer: str = "", question: str = QUESTION) -> dict[str, str]:
    """Return the status of every line written, by name."""
    return {mark.line: mark.status for mark in judge(question, lines, answer).marks if mark.written}


def test_a_whole_right_working() -> None:
    """Every line is right and there is no first wrong line."""
    lines = {"align": "0.0010100", "negate": "1.1101100", "add": "(1)0.1010100", "exponent": "0011"}
    said = judge(QUESTION, lines, "0.1010100 0011")
    assert said.right
    assert said.verdict == "right"
    assert said.first_wrong is None
    assert {mark.status for mark in said.marks} == {"right"}


def test_one_wrong_line_is_charged_once() -> None:
    """The lines after a belief follow from the pupil's own."""
    lines = {"align": "0.0010100", "negate": "1.1101011", "add": "0.1010011", "exponent": "0011"}
    assert statuses(lines, "5.1875") == {
        "align": "right",
        "negate": "misconception",
        "add": "follow-through",
        "exponent": "right",
        "answer": "follow-through",
    }


def test_the_first_wrong_line_has_its_value_before_and_after() -> None:
    """What stood there, what the rule gives from it, and what is written."""
    first = judge(QUESTION, {"align": "0.0010100", "negate": "1.1101011"}).first_wrong
    assert first is not None
    assert (first.line, first.had, first.own, first.written) == (
        "negate",
        "0.0010100 × 2^3",
        "1.1101100 × 2^3",
        "1.1101011",
    )


def test_a_line_right_again_is_recovered() -> None:
    """The right sum after a wrong negation does not come from it."""
    assert statuses({"negate": "1.1101011", "add": "0.1010100"}) == {
        "negate": "misconception",
        "add": "recovered",
    }


def test_only_a_right_line_implies_those_before_it() -> None:
    """A wrong answer is no sign that lines left out were right; a right sum is one for the lines that it needs."""
    left_out = {"align", "negate", "add"}
    unwritten = [mark.status for mark in judge(QUESTION, {}, "0.1111111 0001").marks if mark.line in left_out]
    assert unwritten == ["absent"] * 3
    unwritten = [mark.status for mark in judge(QUESTION, {}, "0.1010100 0011").marks if mark.line in left_out]
    assert unwritten == ["implied"] * 3
    marks = {mark.line: mark.status for mark in judge(QUESTION, {"add": "0.1010100"}, "0.1111111 0001").marks}
    assert [marks[line] for line in ("align", "negate", "add", "answer")] == [
        "implied",
        "implied",
        "right",
        "off",
    ]


def test_a_copied_row() -> None:
    """The subtrahend written down again instead of its opposite, after it was shifted."""
    assert statuses({"align": "0.0010100", "add": "0.1101000"})["add"] == "copied"


def test_a_line_that_nothing_explains() -> None:
    """It is off, and the next line is judged from it."""
    assert statuses({"align": "0.0111001", "negate": "1.1000111"}) == {
        "align": "off",
        "negate": "follow-through",
    }


@pytest.mark.parametrize(
    ("align", "slip"),
    [
        ("0.0010110", "one bit changed"),
        ("0.0011000", "two neighbouring bits exchanged"),
        ("000101000", "a digit too many"),
    ],
)
def test_a_slip_is_named_as_one(align: str, slip: str) -> None:
    """A slip stands beside the line; it is no belief."""
    first = judge(QUESTION, {"align": align}).first_wrong
    if slip == "a digit too many":  # a zero more on the right changes nothing in working
        assert first is None
    else:
        assert first is not None
        assert (first.slip, first.among) == (slip, ())


def test_a_place_miscounted_may_be_a_belief_or_a_slip() -> None:
    """Both are said."""
    first = judge(QUESTION, {"align": "0.0001010"}).first_wrong
    assert first is not None
    assert first.among == ("align-off-by-one",)
    assert first.slip == "a place miscounted"


def test_an_operand_copied_wrongly() -> None:
    """6.5 read as 0.1101001 gives this answer with no rule broken."""
    said = judge(QUESTION, {}, "0.1010101 0011")
    assert said.marks[-1].slip
    assert not said.among


def test_lines_not_written_are_implied_before_a_written_one_and_absent_after_all() -> None:
    """A later line needs the earlier ones."""
    said = judge(QUESTION, {"negate": "1.1101100"})
    assert [(mark.line, mark.status) for mark in said.marks] == [
        ("align", "implied"),
        ("negate", "right"),
        ("add", "absent"),
    ]


def test_a_belief_is_found_behind_lines_not_written() -> None:
    """The answer alone shows which rule was replaced."""
    assert judge(QUESTION, {}, "0.1111100 0011").among == ("sub-adds",)


def test_all_rules_that_give_an_answer_are_named_together() -> None:
    """Two beliefs about an overflow give the same pattern."""
    said = judge("add 3.25, 2.75", {}, "1.0000000 0001")
    assert set(said.among) == {"wrap-accepted", "repair-copies-wrong-sign"}


def test_working_tells_look_alikes_apart() -> None:
    """The repaired row shows which of the two it was."""
    said = judge("add 3.25, 2.75", {"repair": "1.1100000 × 2^3"}, "1.0000000 0001")
    assert said.among == ("repair-copies-wrong-sign",)


def test_right_by_another_method_is_said_to_be_just_that() -> None:
    """An answer of negate-then-align is no fault."""
    said = judge("subtract 6.5, 0.7109375", {}, "0.1011100 0011")
    assert (said.right, said.verdict) == (False, "right elsewhere")
    assert "negate-then-align" in said.elsewhere[0]
    assert {mark.status for mark in said.marks if mark.written} == {"right"}
    assert said.among == ("invert-only",)


def test_right_by_an_accepted_method_is_right() -> None:
    """The course accepts it."""
    course = Course(accepts=("negate-then-align",))
    assert judge("subtract 6.5, 0.7109375", {}, "0.1011100 0011", course=course).verdict == "right"


@pytest.mark.parametrize(
    ("question", "answer", "words"),
    [
        ("decode 0.1100000 0011", "12", "the point stands after the second bit"),
        ("decode 0.1100000 0011", "768", "the mantissa is a whole number"),
        ("decode 0.1100000 0011", "14", "a 1 before the point is hidden"),
        ("decode 0.1100000 1011", "6", "excess"),
        ("encode -5.3", "1.0101100 0011", "the size is cut, then negated"),
        ("encode 5.25", "0.1010100 1011", "excess"),
        ("encode 5.25", "0011 0.1010100", "the exponent is written before the mantissa"),
        ("encode -4", "1.1000000 0011", "\u22122^j is written"),
        ("add 1.5, -1.5", "0.0000000 0000", "zero is written with the exponent 0"),
    ],
)
def test_right_under_another_convention(question: str, answer: str, words: str) -> None:
    """The convention is named and nothing is called a fault."""
    said = judge(question, {}, answer)
    assert said.verdict == "right elsewhere"
    assert any(words in found for found in said.elsewhere)
    assert said.first_wrong is None


def test_a_convention_does_not_explain_an_answer_that_its_own_lines_contradict() -> None:
    """The lines end in 0.1011 under E = 3; another bias is no way out."""
    said = judge("add 6, -0.40625", {"add": "0.1011"}, "0.1011000 1011")
    assert said.verdict != "right elsewhere"


def test_a_verdict_and_a_pattern_are_two_answers() -> None:
    """Each is judged by itself."""
    said = judge("add 3.25, 2.75", {}, "0.1100000 0011; overflow")
    assert [(mark.line, mark.status) for mark in said.marks if mark.written] == [
        ("answer", "right"),
        ("second answer", "misconception"),
    ]
    assert not said.right


def test_a_word_is_an_answer() -> None:
    """Overflow where it is one, and a belief where it is not."""
    assert judge("add 96, 80", {}, "overflow").right
    assert set(judge("add 7, -5", {}, "overflow").among) == {"carry-means-overflow"}


def test_an_answer_with_a_digit_too_many_is_evidence() -> None:
    """The kept carry is recognised by its length."""
    assert judge("add 7, -5", {}, "100100000 0011").among == ("carry-kept",)


@pytest.mark.parametrize("method", METHODS)
def test_a_kept_carry_is_one_under_every_method(method: str) -> None:
    """6.5 - 5.5 is 1 0.0010000 x 2^3 with its carry; moved right once more before adding it ends 1 0.0001000 x 2^4."""
    answer = "100001000 0100" if method == "spare-place-first" else "100010000 0011"
    said = judge("subtract 01101000 0011, 01011000 0011", {}, answer, course=Course(method=method))
    assert said.among == ("carry-kept",)


def test_hexadecimal_is_read_as_the_pattern_it_stands_for() -> None:
    """543 in hexadecimal is 0101 0100 0011."""
    assert judge(QUESTION, {}, "0x543").right


@pytest.mark.parametrize(
    "answer",
    [
        "0.1010100 0011",
        "010101000011",
        "0101 0100 0011",
        "0101_0100|0011",
        "0.1010100\u20090011",
        "5.25",
        "21/4",
    ],
)
def test_spellings_of_one_answer(answer: str) -> None:
    """Spacing, bars and points do not matter, and a value is an answer."""
    assert judge(QUESTION, {}, answer).right


@pytest.mark.parametrize("answer", ["0.10101 0011", "0.1010100 3", "00.1010100 0011", "0.0101010 0100"])
def test_forms_that_are_no_final_answer(answer: str) -> None:
    """Digits left out, an exponent in decimal, a kept sign copy, not in normal form."""
    assert not judge(QUESTION, {}, answer).right


@pytest.mark.parametrize(
    "align", ["0.00101", "00010100", "000.00101", "0.0010100 × 2^3", "0.0010100 x 2³", "0001 0100 0011"]
)
def test_spellings_of_one_line(align: str) -> None:
    """In working, sign copies and zeros may be added or left out, and the exponent written as a power."""
    assert statuses({"align": align}) == {"align": "right"}


def test_values_in_a_course_with_a_decimal_comma() -> None:
    """The comma is read, and written back."""
    assert judge("decode 1.0110000 1110", {}, "-0,15625", course=Course(point=",")).right


def test_every_line_of_decoding() -> None:
    """A wrong exponent is found and the value follows from it."""
    said = judge("decode 0.1010000 1110", {"exponent": "14", "mantissa": "5/8"}, "10240")
    assert [(mark.line, mark.status) for mark in said.marks if mark.written] == [
        ("exponent", "misconception"),
        ("mantissa", "right"),
        ("answer", "follow-through"),
    ]
    assert said.among == ("exp-unsigned",)


def test_every_line_of_encoding() -> None:
    """The size is right, the sign is a belief, the rest follows."""
    said = judge("encode -5.25", {"size": "0101.01", "sign": "1011.01"}, "1.0110100 0011")
    assert [(mark.line, mark.status) for mark in said.marks if mark.written] == [
        ("size", "right"),
        ("sign", "misconception"),
        ("answer", "follow-through"),
    ]
    assert said.among == ("negate-whole-part-only",)


@pytest.mark.parametrize("exponent", ["0011", "3", "E = 3"])
def test_spellings_of_an_exponent(exponent: str) -> None:
    """In bits or as a number, in working."""
    assert statuses({"exponent": exponent}) == {"exponent": "right"}


def test_every_line_of_multiplying() -> None:
    """The exponents go wrong, the product is right, the answer follows."""
    lines = {"exponents": "6", "product": "0.01111"}
    said = judge("multiply 5, 3", lines, "0.1111000 0101")
    assert [(mark.line, mark.status) for mark in said.marks if mark.written] == [
        ("exponents", "misconception"),
        ("product", "right"),
        ("answer", "follow-through"),
    ]
    assert said.among == ("mul-exponents-multiplied",)


def test_an_error_may_be_rounded() -> None:
    """0.815% is 3/368 to three digits."""
    assert judge("error 4.6", {}, "0.815%").right
    assert judge("error 4.6", {}, "3/365").among == ("relative-over-stored",)


def test_extremes_are_judged_one_by_one() -> None:
    """A belief about one extreme leaves the others right."""
    said = judge("range", {"largest positive": "1.1111111 1111", "most-negative": "-128"})
    assert [mark.status for mark in said.marks] == ["misconception", "absent", "absent", "right"]
    assert said.among == ("largest-all-ones",)


def test_a_line_that_is_none_is_refused() -> None:
    """The sentence names the lines there are."""
    with pytest.raises(EntryError, match="did you mean align"):
        judge(QUESTION, {"aling": "0"})


def test_nothing_written() -> None:
    """Nothing is judged and nothing is wrong."""
    said = judge(QUESTION, {}, " ")
    assert (said.right, said.marks, said.first_wrong) == (False, (), None)


def test_what_cannot_be_read_is_kept() -> None:
    """The text stands in the mark."""
    said = judge(QUESTION, {}, "no idea?")
    assert said.marks[-1].written == "no idea?"
    assert said.marks[-1].status == "off"


@pytest.mark.parametrize(
    ("lines", "answer", "line", "belief"),
    [
        ({"align": "0.0011111", "negate": "1.1100000"}, "", "negate", "invert-only"),
        ({"align": "0.0111011", "negate": "1.1000100"}, "", "negate", "invert-only"),
        (
            {"align": "0.0011111", "negate": "1.1100001", "add": "0.0101000"},
            "0.0101000 0100",
            "answer",
            "norm-skipped",
        ),
    ],
)
def test_a_belief_shows_on_the_line_behind_a_wrong_one(
    lines: dict[str, str], answer: str, line: str, belief: str
) -> None:
    """From the pupil's own row: a slip before it does not hide what the next line is."""
    judged = judge("subtract 8.875, 3.6875", lines, answer)
    listed = judgement_json(judged)["beliefs"]

    assert [mark.line for mark in judged.marks if mark.status == "off"] == ["align"]
    assert judged.among == (belief,)
    assert [(one["misconception"], one["line"], one["among"]) for one in listed] == [(belief, line, [belief])]
    assert any(belief in sentence for sentence in say(judged).beliefs)


@pytest.mark.parametrize("align", ["0.0011101 10", "0.0011101 0010", "0.0011101|10 x 2^4", "0.001110110"])
def test_what_fell_off_is_no_fault(align: str) -> None:
    """Digits behind a row are read in the way that makes fewer lines wrong."""
    judged = judge("subtract 8.875, 3.6875", {"align": align, "negate": "1.1100011"}, "0.1010100 0011")

    assert judged.verdict == "right"
    assert judged.first_wrong is None


def test_each_wrong_line_has_its_own_beliefs() -> None:
    """Never moved, and inverted only: both are listed, each on its line."""
    judged = judge("subtract 8.875, 3.6875", {"align": "0.1110110", "negate": "1.0001001"})
    listed = {(one["line"], one["misconception"]) for one in judgement_json(judged)["beliefs"]}

    assert {("align", "align-skip"), ("negate", "invert-only")} <= listed

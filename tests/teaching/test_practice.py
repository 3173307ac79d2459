"""Practice: every line of a question, and what each belief would write there."""

from chalkpoint.teaching.practice import ANSWER, lines_of, practice
from chalkpoint.working.work import work
from lessons import brackwater

LOSSY = work("subtract", "8.875", "3.6875")


def test_lines_expect_what_the_working_writes() -> None:
    """The last mantissa of each step, and the answer."""
    expected = {line.rule: line.expects for line in lines_of(LOSSY)}

    assert expected["align"] == "00011101"
    assert expected["negate"] == "11100011"
    assert expected[ANSWER] == LOSSY.result.bits


def test_a_beliefs_line_is_answered_with_its_question() -> None:
    """Inverting without adding one is met with doubt, not with the answer."""
    line = next(line for line in lines_of(LOSSY) if line.rule == "negate")

    assert dict(line.wrong)["11100010"] == "Add your answer to the original: is it zero?"


def test_no_wrong_writing_is_the_right_one() -> None:
    """A belief that does no harm on a line is not named there."""
    for line in lines_of(LOSSY):
        assert line.expects not in dict(line.wrong)


def test_hints_never_give_the_whole_line() -> None:
    """The last one begins it."""
    for line in lines_of(LOSSY):
        assert line.expects not in " ".join(line.hints)


def test_questions_to_try_are_practised() -> None:
    """Those of the parts where pupils work."""
    assert [question.working.title for question in practice(brackwater())] == [
        part.working.title
        for part in brackwater().parts
        if part.kind in {"try", "faded", "hinge"} and part.working
    ]


def test_lines_do_not_tell_what_happens_in_a_question() -> None:
    """A sum that overflows, one that is normalised and one that is left alone have the same lines, by name."""
    titles = [
        [line.title for line in lines_of(work("add", *operands))]
        for operands in (("6.5", "5.25"), ("6.5", "-5.25"), ("6.5", "0.25"))
    ]

    assert titles[0] == titles[1] == titles[2]
    assert titles[0] == ["Match the exponents", "Add", "In normal form", "Answer"]


def test_a_line_on_which_nothing_is_done_is_the_line_before() -> None:
    """By hand: 0.1101000 + 0.0000100 is 0.1101100, which is in normal form; that line is not handed in."""
    *_, added, formed, _ = lines_of(work("add", "6.5", "0.25"))

    assert added.expects == formed.expects == "01101100"
    assert formed.rule == ""

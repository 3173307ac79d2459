"""Word problems: in our own scenario, of plausible numbers, told in several ways."""

import re
from random import Random

import pytest

from chalkpoint.finding.gauges import gauges
from chalkpoint.setting.contexts import bank, contexts_for, fits_a_context, tell
from chalkpoint.setting.ownstory import ONE_WAY
from chalkpoint.setting.sources import FOUND_OPERATIONS, draw
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

COURSE = Course()


def test_every_operation_has_a_context_with_several_wordings() -> None:
    """A class does not read one sentence thirty times."""
    for operation in FOUND_OPERATIONS:
        contexts = contexts_for(operation)
        assert contexts
        assert all(len(set(context.wordings)) >= 3 for context in contexts)


def test_every_gauge_is_told_and_every_context_has_one() -> None:
    """A gauge that no context tells would make numbers plausible that no problem can use."""
    assert [context.name for context in bank()] == list(gauges())


def test_wordings_use_every_number_and_name_no_other() -> None:
    """A wording that leaves out an operand cannot be answered."""
    for context in bank():
        names = {name: {"first", "second"} for name in ("add", "subtract", "multiply", "divide")}
        names["encode"] = {"value"}
        names |= {"decode": {"pattern"}, "normalise": {"pattern"}, "negate": {"pattern"}, "range": set()}
        for wording in context.wordings:
            assert set(re.findall(r"{(\w+)}", wording)) == names[context.gauge.operations[0]]


def test_the_told_numbers_are_the_question_s_own_with_their_unit() -> None:
    """6.5 and 1.25 metres stand in the problem as they are."""
    story = tell(ask("subtract", "6.5", "1.25", course=COURSE), Random(2))

    assert story is not None
    assert f"6.5\u00a0{story.unit}" in story.words
    assert f"1.25\u00a0{story.unit}" in story.words
    assert len(story.names) == 2


@pytest.mark.parametrize(
    ("operation", "operands", "fits"),
    [
        ("add", ["3.25", "2.75"], True),
        ("subtract", ["6.5", "1.25"], True),
        ("subtract", ["120", "64"], False),
        ("add", ["0.005859375", "0.00390625"], False),
        ("error", ["4.6"], True),
        ("error", ["1/3"], False),
        ("encode", ["97"], False),
    ],
)
def test_numbers_no_instrument_gives_are_not_told(operation: str, operands: list[str], *, fits: bool) -> None:
    """A tide of 120 m, or a reading to ten places, is no word problem."""
    question = ask(operation, *operands, course=COURSE)

    assert fits_a_context(question) is fits
    assert (tell(question, Random(1)) is not None) is fits


def test_the_answer_is_of_a_plausible_size_too() -> None:
    """Operands within bounds whose sum is not are left to a plain question."""
    for question in draw("add", COURSE, [], 400, "plausible"):
        story = tell(question, Random(3))
        if story:
            exact = question.values[0] + question.values[1]
            (context,) = [one for one in contexts_for("add") if one.name == story.context]
            assert context.gauge.answer is not None
            assert context.gauge.answer[0] <= exact <= context.gauge.answer[1]


def test_no_wording_takes_a_sign_for_granted() -> None:
    """Nobody is asked how much warmer noon was, or how far a battery fell, where the answer may be below zero."""
    for context in bank():
        low = context.gauge.answer[0] if context.gauge.answer else 0
        for wording in context.wordings:
            one_way = ONE_WAY.search(wording) or re.search(r"\b(fell|falls|drop|rose)\b", wording)
            assert low >= 0 or not one_way, wording
            assert (
                "tips" not in wording
            )  # a rain gauge tips at each quarter of a millimetre, never at 12.03 mm

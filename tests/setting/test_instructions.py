"""What a question says, and the seven things beside it."""

import pytest

from brackwater import COURSE, EVERY_KIND, PRACTICE, WHOLE, papers
from chalkpoint.setting.cards import format_card
from chalkpoint.setting.instructions import words_for
from chalkpoint.setting.sources import FOUND_OPERATIONS, draw
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask


@pytest.mark.parametrize("operation", FOUND_OPERATIONS)
def test_every_operation_is_asked_in_a_sentence(operation: str) -> None:
    """No bracket is left open, and the format or the pattern is named."""
    words = words_for(draw(operation, Course(), [], 1, "words")[0], None)

    assert words.endswith(".")
    assert not set("{}") & set(words)


def test_a_whole_number_is_asked_for_in_a_sentence() -> None:
    """The pattern, its format and what is wanted."""
    question = ask("decode", "10111000", course=Course(format="8"))

    assert words_for(question, None) == (
        "Give the value of 10111000, which is in 8-bit two\u2019s complement, as a decimal number."
    )


def test_every_question_of_a_paper_has_its_words() -> None:
    """Told or plain, faded or wrong: something is asked."""
    for text in (WHOLE, EVERY_KIND, PRACTICE):
        for item in papers(text).papers[0].questions:
            assert len(item.words) > 20
            assert not set("{}") & set(item.words)


def test_the_card_names_the_seven_things() -> None:
    """Those that quarrels turn on."""
    names = [name for name, _ in format_card(Course())]

    assert names == ["width", "point", "order", "bias", "hidden one", "rounding", "normal form"]


def test_the_card_follows_the_course() -> None:
    """Exponent first and rounding to nearest are said."""
    card = dict(format_card(Course(exponent="first", rounding="nearest", format="10+6")))

    assert card["order"] == "exponent first, then mantissa"
    assert card["width"] == "mantissa 10 bits, exponent 6 bits"
    assert card["rounding"].startswith("to the nearest")


def test_the_method_is_named_where_it_decides() -> None:
    """A question on which methods differ says which one is meant, if the blueprint wants that."""
    from chalkpoint.setting.blueprint import parse_blueprint
    from chalkpoint.setting.setter import set_papers

    text = f'title = "M"\nmethods = "name the method"\naccidental = "needs working"\n{COURSE}' + (
        '[[question]]\noperation = "subtract"\nwhere = ["shifted-operand = second", "lost-ones >= 1"]\n' * 2
    )
    named = [
        item
        for item in set_papers(parse_blueprint(text), seed=7).papers[0].questions
        if not item.candidate.fairness.same_answer
    ]

    assert named
    assert all("Method: align, then negate" in " ".join(item.notes) for item in named)

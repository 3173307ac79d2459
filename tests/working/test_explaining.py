"""Points of an explanation are the facts of the working they are about."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.explaining import points_of
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.work import work_question

PATTERNS = st.builds(Pattern, st.integers(-128, 127), st.integers(-8, 7))


@pytest.mark.parametrize(
    ("words", "kinds"),
    [
        (("add", "64", "0.25"), ["aligned", "absorbed", "no pattern", "more bits"]),
        (("subtract", "1.015625", "0.9921875"), ["aligned", "carry dropped", "cancelled", "lost", "missed"]),
        (("add", "3.25", "2.75"), ["mantissa overflow", "exact"]),
        (("add", "96", "80"), ["mantissa overflow", "overflow"]),
        (("add", "0.1", "0"), ["stored first", "exact"]),
        (("encode", "0.1"), ["never ends", "lost", "no pattern"]),
        (("decode", "01010000 0001"), ["exact"]),
    ],
)
def test_points_follow_from_what_happened(words: tuple[str, ...], kinds: list[str]) -> None:
    """Each working has the points that its own lines give reason for, in the order of its lines."""
    operation, *operands = words
    found = [step.after.kind for step in cp.work("explain", operation, *operands).steps]

    assert found == kinds


@pytest.mark.parametrize(
    ("words", "heading"),
    [
        (("encode", "0.1"), "Explain 0.1 in 8+4"),
        (("encode", "0b0.1"), "Explain 0.1\u2082 in 8+4"),
        (("add", "0b0.1", "1"), "Explain 0.1\u2082 + 1 in 8+4"),
    ],
)
def test_the_question_explained_is_named_as_it_was_put(words: tuple[str, ...], heading: str) -> None:
    """Values to be stored have no pattern before they are; what is in binary stays so."""
    assert cp.work("explain", *words).title == heading


@given(PATTERNS, PATTERNS, st.sampled_from(["add", "subtract", "multiply"]))
def test_every_point_has_its_words(first: Pattern, second: Pattern, operation: str) -> None:
    """Whatever the operands, each point is one of the known kinds, and can be read and heard."""
    course = cp.Course(accepts=("negate-then-align", "exact-then-nearest"))
    about = Question(OPERATIONS[operation], course, course.number_format, (first, second), given=(None, None))
    explained = cp.work_question(
        Question(
            OPERATIONS["explain"],
            course,
            course.number_format,
            about.patterns,
            given=about.given,
            about=about,
        )
    )
    working = cp.work_question(about)

    assert [step.after.kind for step in explained.steps] == [
        point.kind for point in points_of(working, work_question)
    ]
    assert all(step.says and step.spoken for step in explained.steps)
    assert (explained.pattern, explained.check.verdict) == (working.pattern, working.check.verdict)


def test_other_accepted_methods_are_named_where_they_differ() -> None:
    """A course that accepts a method that ends elsewhere is told so."""
    course = cp.Course(accepts=("negate-then-align",))
    working = cp.work("explain", "subtract", "6.5", "0.7109375", course=course)

    assert working.steps[-1].after.kind == "other method"
    assert "01011100 0011" in working.steps[-1].detail


def test_standard_formats_are_explained_too() -> None:
    """Special values and lost digits of an IEEE format have their points."""
    assert [
        step.after.kind for step in cp.work("explain", "subtract", "inf", "inf", format="binary16").steps
    ] == ["special"]
    kinds = [
        step.after.kind for step in cp.work("explain", "multiply", "3.25", "0.4375", format="1+4+3").steps
    ]
    assert kinds == ["lost", "no pattern"]


def test_an_operation_is_asked_for() -> None:
    """Nothing can be explained without a question."""
    with pytest.raises(cp.EntryError, match="explain takes an operation and its operands"):
        cp.work("explain")


@pytest.mark.parametrize(
    ("words", "options", "says"),
    [
        # 0.01 + 1.11 = 0.00: each row has a second sign already, so only one digit cancels: no point is made.
        (("add", "0.0100 000", "1.1001 000"), {"operands": "as written"}, None),
        # 14/16 - 15/16 = -1/16 = 1.1111: four copies of the sign, and neither row had one.
        (
            ("add", "0.1110 000", "1.0001 000"),
            {},
            "their first 4 digits cancelled. Nothing had been lost before",
        ),
        # With a spare place both rows have one copy already: 0.0111 + 1.1000(1) = 1.1111, three more.
        (
            ("add", "0.1110 000", "1.0001 000"),
            {"method": "spare-place-first"},
            "their first 3 digits cancelled. Digits lost before",
        ),
    ],
)
def test_digits_cancel_that_no_row_had_as_copies(
    words: tuple[str, ...], options: dict[str, str], says: str | None
) -> None:
    """Copies of the sign that a row began with have not cancelled; what the spare place cost was lost before."""
    working = cp.work("explain", *words, course=cp.Course(format="5+3", **options))  # type: ignore[arg-type]
    found = [step.detail for step in working.steps if step.after.kind == "cancelled"]

    assert found == [] if says is None else says in found[0]


def test_what_was_lost_is_named_by_the_line_that_lost_it() -> None:
    """An explanation's points have numbers of their own, so that a step's number would mislead."""
    course = cp.Course(format="8+4")
    lost = cp.work("explain", "multiply", "1.1", "2.7", course=course).steps[2]

    assert lost.detail == (
        "Digits that passed the last place were lost. "
        "The step \u201cCut to 8 bits\u201d lost 0001000, which changed the answer by 0.001953125."
    )


def test_the_end_of_the_range_is_not_the_other_operand_left_as_it_was() -> None:
    """A format that writes its end for an overflow has absorbed nothing."""
    largest = "0" + "1" * 23 + " 01111111"
    working = cp.work("explain", "add", largest, "0" + "1" * 23 + " 01111011", format="1750A-32")

    assert [step.after.kind for step in working.steps] == ["aligned", "mantissa overflow", "lost", "overflow"]
    assert "there was no room for that in the exponent" in working.steps[1].detail

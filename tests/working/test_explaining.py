"""Points of an explanation are the facts of the working they are about."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.explaining import POINTS, points_of
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
    assert {step.after.kind for step in explained.steps} <= set(POINTS)
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

"""Marks for a question, from what a pupil wrote."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import combinations

from chalkpoint.marking.answer import answers_apart, read_answer
from chalkpoint.marking.answers_in_doubt import by_manner, if_read, left_in_binary, without_choice
from chalkpoint.marking.by_lines import marked_by_lines
from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.extremes import extremes_of
from chalkpoint.marking.judging import accepted_methods, is_followed
from chalkpoint.marking.points import Given
from chalkpoint.marking.question_marks import QuestionMarks, either
from chalkpoint.marking.range_marks import marked_by_extremes
from chalkpoint.marking.walk import Account
from chalkpoint.marking.whole_answers import marked_by_answer
from chalkpoint.setting.papers import Asked

__all__ = ["QuestionMarks", "mark_question"]

LEAST = 2  # lines that may be in each other's place


def mark_question(asked: Asked, written: Mapping[str, str]) -> QuestionMarks:
    """Return *asked* marked.

    written  what the pupil wrote, by line; the answer is the line "answer", a decimal check "decimal"

    >>> from chalkpoint.setting.paperfile import papers_from
    >>> paper = papers_from({"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]}).first
    >>> lines = {"align": "0.0010100", "negate": "1.1101011", "add": "0.1010011", "exponent": "0011"}
    >>> marked = mark_question(paper.questions[0], lines | {"answer": "5.1875"})
    >>> marked.marks, marked.first_wrong
    (5, 'negate')
    >>> marked = mark_question(paper.questions[0], {"answer": "0.10101 0011"})
    >>> marked.marks, marked.most, marked.waiting[0].group
    (5, 6, 'trailing zeros left off')
    """
    question = asked.question
    followed, ranging = is_followed(question), question.operation.name == "range"
    parts = extremes_of(question) if ranging else None if followed else ()
    apart = answers_apart(question, written, parts)
    text = {line: one for line, one in apart.items() if any(sign.isalnum() for sign in one)}
    if not text:
        points = tuple(point.marked(0, "absent", "Nothing is written.") for point in asked.points)
        return QuestionMarks(asked, points)
    if asked.kind == "mistake":
        return _found_mistake(asked, text)
    marked = marked_by_extremes(asked, text) if ranging else _marked(asked, text)
    if marked.marks < asked.marks and (pair := _exchanged(asked, text, marked)):
        lenient = mark_question(asked, {**text, pair[0]: text[pair[1]], pair[1]: text[pair[0]]})
        return either(
            lenient, marked, "in each other's place", f"{pair[0]} and {pair[1]} are in each other's place"
        )
    return marked


def _marked(asked: Asked, text: Mapping[str, str]) -> QuestionMarks:
    """Return *asked* marked from what is written, read as it stands."""
    question = asked.question
    followed = is_followed(question)
    given = Given(text, read_answer(question, text.get("answer", "")))
    marked = marked_by_lines(asked, given) if followed else marked_by_answer(asked, given)
    if given.answer.several:
        return without_choice(asked, marked, given)
    if followed and "answer" in text and not given.answer.readable:
        return if_read(asked, marked, given)
    return by_manner(asked, left_in_binary(asked, marked, given), given)


def _exchanged(asked: Asked, text: Mapping[str, str], marked: QuestionMarks) -> tuple[str, str] | None:
    """Return two wrong lines of which each holds what the other should; None where there are none."""
    wrong = dict.fromkeys(
        point.rule
        for point in marked.points
        if point.rule in text and not point.given and point.rule != "answer"
    )
    if len(wrong) < LEAST:
        return None
    expected = {
        rule: _as_compared(" ".join(point.expects for point in asked.points if point.rule == rule))
        for rule in wrong
    }
    written = {rule: _as_compared(text[rule]) for rule in wrong}
    return next(
        (
            (one, other)
            for one, other in combinations(wrong, 2)
            if written[one] == expected[other] != expected[one] == written[other]
        ),
        None,
    )


def _as_compared(text: str) -> Fraction | str:
    """Return a row without spaces and point, or a value, so that one spelling can be held against another."""
    plain = plain_text(text).replace(" ", "")
    value = None if set(plain) <= set("01.") else value_of(plain)
    return plain.replace(".", "") if value is None else value


def _found_mistake(asked: Asked, given: Mapping[str, str]) -> QuestionMarks:
    """Return the marks for naming the wrong line of a shown working; what it should be is for the teacher."""
    text = given.get("answer", "")
    points = []
    for point in asked.points:
        right = point.expects.lower() in text.lower()
        why = "Right." if right else f"{point.expects} was expected."
        made = point.marked(point.marks * right, "right" if right else "off", why, written=text)
        points.append(made if right else made.waits("a mistake named", why))
    return QuestionMarks(asked, tuple(points), account=Account(accepted_methods(asked.question)[0]))

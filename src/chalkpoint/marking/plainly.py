"""Marking by final answers: formats, and operations, whose lines are not judged one from another.

What is written exactly as the scheme has it is right; the rest of the working, which may follow from an
earlier slip, is left to the teacher with what was expected.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from chalkpoint.marking.entries import split_answers
from chalkpoint.marking.papers import Asked, SchemePoint
from chalkpoint.marking.points import PointMark, undecided, unread, without_pattern
from chalkpoint.marking.spelling import is_value, one_spelling, patterns_in, put_apart
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import parse_value
from chalkpoint.numbers.named import value_or_none
from chalkpoint.setting.answering import answer_format, final_answer
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["by_final_answer", "same_line"]

BINARY = re.compile(r"([01]+(?:\.[01]*)?)(?:[x×*]2\^?(-?\d+))?")
IN_PARTS = ("error", "range")  # several answers, typed as one or each on its own line

Given = Mapping[str, str]


def by_final_answer(asked: Asked, given: Given) -> tuple[PointMark, ...]:
    """Return every point of *asked* marked, from the answer and from lines that are just what is expected."""
    if asked.question.operation.name in IN_PARTS:
        given = put_apart([point.rule for point in asked.points], given)
    if asked.question.operation.name == "explain":
        return tuple(_in_words(point, given) for point in asked.points)
    expected = final_answer(work_question(asked.question)).split("; ")[0]
    answer = given.get("answer", "")
    right = len(patterns_in(asked.question, answer)) < 2 and one_spelling(asked.question, answer) == expected
    alone = not set(given) - {"answer", "decimal"}
    marks = [_marked(asked, point, given, right=right, alone=alone) for point in asked.points]
    if right and is_value(asked.question, answer):
        marks = [without_pattern(mark) for mark in marks]
    marks = undecided(asked.question, marks, answer)
    return tuple(unread(asked.question, mark) for mark in marks)


def _in_words(point: SchemePoint, given: Given) -> PointMark:
    text = given.get(point.rule, "") or given.get("answer", "")
    if not text:
        return PointMark(point, 0, "absent", "Nothing is written.")
    return PointMark(
        point,
        0,
        "off",
        f"For the teacher to decide. It may say: {point.expects}",
        for_teacher=True,
        written=text,
    )


def _marked(asked: Asked, point: SchemePoint, given: Given, *, right: bool, alone: bool) -> PointMark:
    text = given.get(point.rule, "")
    if point.rule == "answer":
        if right:
            return PointMark(point, point.marks, "right", "Right.", written=text)
        why = f"{point.expects} was expected."
        return PointMark(point, 0, "off" if text else "absent", why, bool(text) and not alone, text)
    if text and same_line(asked.question, point, text):
        return PointMark(point, point.marks, "right", "Right.", written=text)
    if point.rule == "decimal" and text and _of_own_answer(asked.question, text, given.get("answer", "")):
        return PointMark(
            point, point.marks, "follow-through", "Read rightly from their own answer.", written=text
        )
    if right and asked.alone >= asked.marks:
        return PointMark(point, point.marks, "implied", "Not judged; the answer is right.", written=text)
    why = f"{point.expects} was expected; this line is not judged by itself."
    return PointMark(point, 0, "off" if text else "absent", why, bool(text), text)


def _of_own_answer(question: Question, text: str, answer: str) -> bool:
    """Tell whether *text* has the value of the pattern the pupil answered with."""
    fmt = answer_format(question)
    try:
        own = value_or_none(fmt, fmt.read(one_spelling(question, answer)))
    except EntryError:
        return False
    return own is not None and own in {_value(part, question) for part in split_answers(text)}


def same_line(question: Question, point: SchemePoint, text: str) -> bool:
    """Tell whether *text* is just what is expected at *point*: the same digits, or the same numbers.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "6.5", "1.25", course=Course(format="binary16"))
    >>> point = SchemePoint("round", "", "A", 1, "1.1111000000 \u00d7 2^2", True)
    >>> same_line(asked, point, "1.1111 x 2^2"), same_line(asked, point, "1.1111 x 2^3")
    (True, False)
    """
    if point.rule in {"decimal", "absolute", "relative", "value", "answer"} or not _is_binary(point.expects):
        wanted = {_value(part, question) for part in split_answers(point.expects)} - {None}
        said = {_value(part, question) for part in split_answers(text)} - {None}
        if wanted and said:
            return bool(said & wanted) if point.rule == "decimal" else said == wanted
    expected, written = (split_answers(entry) for entry in (point.expects, text))
    return len(expected) == len(written) and all(map(_same, expected, written))


def _value(text: str, question: Question) -> Fraction | None:
    plain = text.strip()
    try:
        if plain.endswith("%"):
            return parse_value(plain[:-1], point=question.course.point) / 100
        return parse_value(plain, point=question.course.point)
    except EntryError:
        return None


def _plain(text: str) -> str:
    for one, other in (("\u2212", "-"), ("\u2026", ""), ("_", ""), ("|", ""), ("**", "^")):
        text = text.replace(one, other)
    return "".join(text.split()).lower()


def _is_binary(text: str) -> bool:
    return all(BINARY.fullmatch(_plain(part)) for part in split_answers(text)) and (
        len(_plain(text)) > 1 or text in {"0", "1"}
    )


def _same(expected: str, written: str) -> bool:
    one, other = _plain(expected), _plain(written)
    if one == other or one == other.replace(".", ""):
        return True
    first, second = BINARY.fullmatch(one), BINARY.fullmatch(other)
    if first is None or second is None or "." not in one or "." not in other:
        return False
    return _number(first[1]) == _number(second[1]) and first[2] == second[2]


def _number(digits: str) -> Fraction:
    whole, _, rest = digits.partition(".")
    return Fraction(int(whole + rest, 2), 1 << len(rest))

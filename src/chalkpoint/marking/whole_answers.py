"""Marking by final answers: formats, and operations, whose lines are not judged one from another.

What is written as the scheme has it is right, in whatever spelling; the rest of the working, which may
follow from an earlier slip, is left to the teacher with what was expected.
"""

from __future__ import annotations

import re
from fractions import Fraction

from chalkpoint.marking.answer import Answer
from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.points import Given, PointMark
from chalkpoint.marking.reading import values_in
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import value_or_none
from chalkpoint.setting.answering import answer_format, final_answer
from chalkpoint.setting.papers import Asked
from chalkpoint.setting.schemes import Mark
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["by_final_answer", "in_parts", "same_line"]

BINARY = re.compile(r"(-?[01]+(?:\.[01]*)?)(?:[x*]2\^?\(?(-?\d+)\)?)?")
ROWS = re.compile(r"[;\n]| and | or ")
NUMBERS = {"decimal", "absolute", "relative", "value", "answer"}


def in_parts(question: Question) -> bool:
    """Tell whether *question* asks for several answers, typed as one or each on its own line."""
    return question.operation.name in {"error", "range"}


def by_final_answer(asked: Asked, given: Given) -> tuple[PointMark, ...]:
    """Return every point of *asked* marked, from the answer and from lines that are just what is expected."""
    question = asked.question
    if question.operation.name == "explain":
        return tuple(_in_words(point, given) for point in asked.points)
    expected = final_answer(work_question(question)).split("; ")[0]
    right = given.answer.readable and given.answer.spelling == expected
    return tuple(_left(_marked(asked, point, given, right=right), given) for point in asked.points)


def _in_words(point: Mark, given: Given) -> PointMark:
    text = given.text.get(point.rule, "") or given.text.get("answer", "")
    if not text:
        return PointMark(point, 0, "absent", "Nothing is written.")
    made = PointMark(point, 0, "off", "", written=text)
    return made.waits("in words", f"For the teacher to decide. It may say: {point.expects}")


def _marked(asked: Asked, point: Mark, given: Given, *, right: bool) -> PointMark:
    text = given.text.get(point.rule, "")
    if point.rule == "answer":
        if right:
            return PointMark(point, point.marks, "right", "Right.", written=text)
        why = f"{point.expects} was expected."
        made = PointMark(point, 0, "off" if text else "absent", why, written=text)
        return (
            made.waits("an answer that may follow from the lines above", why)
            if text and not given.alone
            else made
        )
    if text and same_line(asked.question, point, text):
        return PointMark(point, point.marks, "right", "Right.", written=text)
    if point.rule == "decimal" and text and _of_own_answer(asked.question, text, given.answer):
        return PointMark(
            point, point.marks, "follow-through", "Read rightly from their own answer.", written=text
        )
    if right and asked.alone >= asked.marks:
        return PointMark(point, point.marks, "implied", "Not judged; the answer is right.", written=text)
    why = f"{point.expects} was expected; this line is not judged by itself."
    made = PointMark(point, 0, "off" if text else "absent", why, written=text)
    return made.waits("a line that is not judged by itself", why) if text else made


def _left(mark: PointMark, given: Given) -> PointMark:
    """Return *mark*, left to the teacher where the answer cannot be read."""
    if (
        mark.point.rule != "answer"
        or mark.marks
        or mark.for_teacher
        or not mark.written
        or given.answer.readable
    ):
        return mark
    return mark.not_read()


def _of_own_answer(question: Question, text: str, answer: Answer) -> bool:
    """Tell whether *text* has the value of the pattern the pupil answered with."""
    fmt = answer_format(question)
    try:
        own = value_or_none(fmt, fmt.read(answer.spelling))
    except EntryError:
        return False
    return own is not None and own in values_in(text, question.course.point)


def same_line(question: Question, point: Mark, text: str) -> bool:
    """Tell whether *text* is just what is expected at *point*: the same digits, or the same numbers.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "6.5", "1.25", course=Course(format="binary16"))
    >>> point = Mark("round", "", "A", 1, "1.1111000000 \u00d7 2^2", True, (), "")
    >>> same_line(asked, point, "1.1111 x 2^2"), same_line(asked, point, "1.1111 x 2^3")
    (True, False)
    """
    expected, written = (ROWS.split(plain_text(one)) for one in (point.expects, text))
    decimal = question.course.point
    if point.rule in NUMBERS or not all(BINARY.fullmatch(_bare(part)) for part in expected):
        wanted = set(values_in(point.expects, decimal))
        said = (
            set(values_in(text, decimal))
            if point.rule == "decimal"
            else {_last(part, decimal) for part in written}
        )
        if wanted and said != {None}:
            return bool(said & wanted) if point.rule == "decimal" else said == wanted
    return len(expected) == len(written) and all(map(_same, expected, written))


def _last(text: str, point: str) -> Fraction | None:
    return value_of(text.rsplit("=", maxsplit=1)[-1], point)


def _bare(text: str) -> str:
    return "".join(text.rsplit("=", maxsplit=1)[-1].replace("|", "").replace("**", "^").split()).lower()


def _same(expected: str, written: str) -> bool:
    one, other = _bare(expected), _bare(written)
    if one == other or one == other.replace(".", ""):
        return True
    first, second = BINARY.fullmatch(one), BINARY.fullmatch(other)
    if first is None or second is None or "." not in one or "." not in other:
        return False
    return _number(first[1]) == _number(second[1]) and first[2] == second[2]


def _number(digits: str) -> Fraction:
    whole, _, rest = digits.partition(".")
    return Fraction(int(whole + rest, 2), 1 << len(rest))

"""Awarding the points of an answer, a field at a time, and of its check in decimal."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.points import Given, earned
from chalkpoint.marking.reading import read_place, values_in
from chalkpoint.marking.rows import is_field
from chalkpoint.marking.walk import LineMark
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import FLOATING, SIZES
from chalkpoint.numbers.named import AnyFormat, AnyPattern, value_or_none
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["answer_point", "decimal_point", "exact_answer", "fields_right", "is_unnormalised"]


def answer_point(asked: Asked, point: Mark, by_line: dict[str, LineMark], given: Given) -> Mark:
    """Return the point of the answer, or of one of its fields, marked."""
    mark = by_line.get("answer")
    alone = by_line.get("exponent") if point.part == "exponent" else None
    if mark is None or not mark.written:
        if alone is not None and alone.written:
            return earned(point, alone.status, alone)
        text = given.text.get("answer", "")
        costs = [by_line[line] for line in ("absolute", "relative") if line in by_line]
        if not text and any(cost.written and cost.status == "right" for cost in costs):
            return point.marked(point.marks, "implied", "Not written; it is implied by its error.")
        return point.marked(0, "absent", f"Not written; {point.expects} was expected.", written=text)
    status = _part_status(asked.question, point, mark, given)
    if point.part == "exponent" and status == "absent" and alone is not None and alone.written:
        return earned(point, alone.status, alone)
    if status == "absent":
        return point.marked(0, status, f"Not written; {point.expects} was expected.")
    written = _written_field(point, given)
    made = replace(earned(point, status, mark), written=written or mark.written)
    if status == "follow-through" and _made_easy(asked.question, by_line):
        why = "Right from their own sum, but that needed no normalising or repair, which this question asks for."
        return made.waits("an easier path", why)
    return made


def _part_status(question: Question, point: Mark, mark: LineMark, given: Given) -> str:
    """Return the status of one field of the answer: each is held against its own expected field."""
    if not point.part or mark.status in {"right", "recovered"}:
        return mark.status
    entry = given.answer.reading or Reading("")
    right, own = (_field(question, text, point.part) for text in (mark.expects, mark.own))
    if (
        len(entry.bare) >= question.float_format.mantissa_bits - 1 and not entry.exponent
    ):  # a mantissa and nothing else
        if point.part == "exponent":
            return "absent"
    elif not (entry.bare and entry.exponent):  # a value or a word: judged as a whole
        return "right" if mark.status == "follow-through" and own == right and right else mark.status
    if is_field(entry, right, point.part):
        return "right"
    if is_field(entry, own, point.part):
        return "follow-through"
    return mark.status if mark.status in {"misconception", "copied"} else "off"


def fields_right(question: Question, mark: LineMark, given: Given) -> set[str]:
    """Return which fields of a wrong answer are right, where it has both."""
    parts = ("mantissa", "exponent")
    if question.format.family == SIZES:
        return _sized_fields_right(question.format, given.answer.spelling, mark.expects)
    if question.format.family == FLOATING and question.format.name:
        fields = {part: _field(question, given.answer.spelling, part) for part in parts}
        return {
            part for part in parts if fields[part] and fields[part] == _field(question, mark.expects, part)
        }
    entry = given.answer.reading or Reading("")
    if not (entry.bare and entry.exponent):
        return set()
    return {part for part in parts if is_field(entry, _field(question, mark.expects, part), part)}


def _sized_fields_right(fmt: AnyFormat, written: str, expected: str) -> set[str]:
    """Return which of a wrong answer's sign, exponent and fraction are right, and whether a mantissa they make is."""
    names = getattr(fmt, "order", "").split()
    pairs = zip(written.split(), expected.split(), strict=False)
    if len(written.split()) != len(names) or len(expected.split()) != len(names):
        return set()
    right = {name for name, (one, other) in zip(names, pairs, strict=True) if one == other}
    return right | ({"mantissa"} if right == {*names} - {"exponent"} else set())


def is_unnormalised(question: Question, mark: LineMark, given: Given) -> bool:
    """Tell whether a wrong answer is a pattern of the right value, whose normalising alone is missing."""
    if question.format.family != FLOATING or mark.status in {"right", "recovered"}:
        return False
    value = _value_of(question, given.answer.spelling)
    return value is not None and value != 0 and value == _value_of(question, mark.expects)


def _written_field(point: Mark, given: Given) -> str:
    """Return what is written of the answer's part that a point is for; "" where it does not part."""
    entry = given.answer.reading
    if not point.part or entry is None or given.answer.manners or not (entry.bare and entry.exponent):
        return ""
    return entry.digits if point.part == "mantissa" else entry.exponent


def _field(question: Question, text: str, part: str) -> str:
    fields = text.replace(".", "").split()
    if len(fields) != 2 or set("".join(fields)) - set("01"):
        return ""  # a word, or a value
    found: str = fields[(part == "exponent") != question.float_format.exponent_first]
    return found


def _made_easy(question: Question, by_line: dict[str, LineMark]) -> bool:
    """Tell whether the pupil's own sum spared them the normalising or repair that the question asks for."""
    asked_for = [by_line[name] for name in ("repair", "normalise") if name in by_line]
    if question.operation.name not in {"add", "subtract"} or not asked_for:
        return False
    if any(mark.written for mark in asked_for):
        return False
    added = by_line.get("add")
    if added is None or not added.written or added.status == "right":
        return False
    readings = read_place(question, "add", added.written)
    bare = readings[0].bare[-question.float_format.mantissa_bits :] if readings else ""
    return len(bare) > 1 and bare[0] != bare[1]


# === The check in decimal ===


def exact_answer(question: Question) -> tuple[str, str]:
    """Return the exact answer, and the value of the course's own answer, as the course writes them.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> exact_answer(ask("subtract", "8.875", "3.6875", course=Course()))
    ('5.1875', '5.25')
    """
    working = work_question(question)
    point = question.course.point
    value = working.result.value
    return write_value(working.check.exact, point=point), "" if value is None else write_value(
        value, point=point
    )


def decimal_point(asked: Asked, point: Mark, answer: LineMark | None, given: Given) -> Mark:
    """Return the point of the check marked: the exact value, or that of their own answer."""
    question, text = asked.question, given.text.get("decimal", "")
    values = values_in(text, question.course.point) if text else list(given.answer.values)
    text = text or given.text.get("answer", "")
    if not values:
        if answer is not None and answer.status == "right" and "decimal" not in given.text:
            return point.marked(point.marks, "implied", "Not written; the answer is right.")
        written = given.text.get("decimal", "")
        return point.marked(0, "absent", f"Not written; {point.expects} was expected.", written=written)
    said = {write_value(value, point=question.course.point) for value in values}
    if said & set(exact_answer(question)):
        return point.marked(point.marks, "right", "Right.", written=text)
    own = _own_value(question, given)
    if own in said and point.follows:
        return point.marked(
            point.marks, "follow-through", "Read rightly from their own answer.", written=text
        )
    return point.marked(0, "off", f"{point.expects} was expected.", written=text)


def _own_value(question: Question, given: Given) -> str:
    """Return the value of the pattern the pupil answered with; "" where it is none."""
    value = _value_of(question, given.answer.spelling)
    return "" if value is None else write_value(value, point=question.course.point)


def _value_of(question: Question, text: str) -> Fraction | None:
    """Return the value of the pattern *text*; None where it is none."""
    try:
        pattern: AnyPattern = question.format.read(text)
    except EntryError:
        return None
    return value_or_none(question.format, pattern)

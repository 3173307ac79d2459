"""Awarding a scheme's points, from lines that were judged one from another."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from chalkpoint.marking.answer_points import answer_point, decimal_point, fields_right, is_unnormalised
from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.doubts import error_but_for, is_row_in_decimal, lacks_zeros
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.points import Given, earned, reason, unread
from chalkpoint.marking.reading import read_place, values_in
from chalkpoint.marking.walk import Account, LineMark
from chalkpoint.numbers.families import SIZES
from chalkpoint.numbers.named import AnyFormat, AnyPattern, value_or_none
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked

__all__ = ["award", "in_decimal"]

ERRORS = ("absolute", "relative")
SIZED = ("product", "quotient")
LEAST_ROW = 3  # digits: of fewer an answer may be the same by chance


def award(asked: Asked, account: Account, given: Given) -> tuple[Mark, ...]:
    """Return every point of *asked* marked, from the lines judged in *account*."""
    by_line = {mark.line: mark for mark in account.marks}
    seen = [_point_mark(asked, point, by_line, given) for point in asked.points]
    if given.alone:
        seen = _answer_alone(asked, seen)
    return tuple(unread(asked.question, _dependent(point, seen)) for point in seen)


def _point_mark(asked: Asked, point: Mark, by_line: dict[str, LineMark], given: Given) -> Mark:
    if point.rule == "decimal":
        return decimal_point(asked, point, by_line.get("answer"), given)
    if point.rule == "answer":
        return answer_point(asked, point, by_line, given)
    mark = by_line.get(point.rule)
    if mark is None or mark.status in {"absent", "implied"}:
        found = _not_written(asked, point, by_line, given)
        if found.written and not found.given and not found.for_teacher:
            rows = read_place(asked.question, point.rule, found.written)
            if in_decimal(asked, point, rows):
                return found.waits("a row in decimal", f"In decimal; {point.expects} was expected.")
        return found
    if mark.status == "off":
        return _but_for(asked, point, mark)
    if mark.status == "recovered" and point.rule == "relative" and _right_but_for(by_line.get("absolute")):
        return earned(point, "right", mark)
    if mark.status == "misconception" and mark.at in {other.rule for other in asked.points}:
        why = f"Right from what stands there; what went wrong is charged once, at {mark.at}."
        return point.marked(point.marks, "follow-through", why, written=mark.written)
    return earned(point, mark.status, mark)


def _right_but_for(error: LineMark | None) -> str:
    """Return what keeps a line from being the error asked for: its sign, or its rounding; or ""."""
    if error is None or error.status != "off":
        return ""
    return error_but_for(error.written, error.own) or error_but_for(error.written, error.expects)


def _but_for(asked: Asked, point: Mark, mark: LineMark) -> Mark:
    """Return the point of a line that is not as expected: the teacher's where it is right but for its manner."""
    off = earned(point, mark.status, mark)
    if point.rule in ERRORS and (but_for := _right_but_for(mark)):
        return off.waits(f"an error right but for {but_for}", f"{mark.own} was expected.")
    manner = (
        _manner_of_remainder(asked.question.format, mark.written, point.expects)
        if point.rule == "remainder"
        else ""
    )
    if manner:
        course, why = (
            asked.question.course,
            f"Right but for its manner: {manner}; {point.expects} was expected.",
        )
        if manner in course.takes:
            return replace(off, given=point.marks, status="right", why="Right.")
        return replace(off, why=why) if manner in course.refuses else off.waits(manner, why)
    return off


def _manner_of_remainder(fmt: AnyFormat, written: str, row: str) -> str:
    """Return in which manner a remainder is right that is not its *row*: a number, or without zeros; or ""."""
    if lacks_zeros(written, row):
        return "leading zeros left off"
    return "value without its pattern" if values_in(written)[-1:] == [_value(fmt, row)] else ""


def _value(fmt: AnyFormat, row: str) -> Fraction | None:
    pattern: AnyPattern = fmt.read(row)
    return value_or_none(fmt, pattern)


def in_decimal(asked: Asked, point: Mark, rows: Iterable[Reading]) -> bool:
    """Tell whether one of *rows* is the value, in decimal, of the row that *point* is for."""
    if asked.question.operation.name == "decode" or point.rule in {"product", "quotient"}:
        return False  # numbers there, whatever they are written in
    return any(is_row_in_decimal(one, point.expects) for one in rows)


def _not_written(asked: Asked, point: Mark, by_line: dict[str, LineMark], given: Given) -> Mark:
    """Return a mark for a line not written, or not to be read: implied where what follows needs it, else absent."""
    order = list(by_line)
    after = order[order.index(point.rule) + 1 :] if point.rule in by_line else order
    later = next((by_line[name] for name in after if by_line[name].written), None)
    text = given.text.get(point.rule, "")
    absent = point.marked(0, "absent", f"Not written; {point.expects} was expected.", written=text)
    if later is None:
        return absent
    if later.at == point.rule and later.line != "answer":
        why = f"Not written; the line {later.line} is what comes without it. {reason('misconception', later)}"
        return replace(absent, status="misconception", why=why, among=later.among)
    needs = later.status in {"right", "follow-through"}
    if needs or (later.status == "misconception" and later.line != "answer" and not later.at):
        why = f"Not written; it is implied by the line {later.line}."
        return point.marked(point.marks, "implied", why, written=text)
    if later.status == "recovered" and later.line == "answer":
        return absent.waits("right, but not from the line above", reason(later.status, later))
    if later.line == "answer" and (
        found := _in_the_answer(asked, absent, given) or _field_in_the_answer(asked, absent, later, given)
    ):
        return found
    if later.line == "answer" and is_unnormalised(asked.question, later, given):
        why = "Not written; it is implied by the answer, whose value is right though it is not normalised."
        return point.marked(point.marks, "implied", why, written=text)
    if (
        later.line == "answer"
        and "exponent" not in (fields := fields_right(asked.question, later, given))
        and "mantissa" in fields
    ):
        why = f"Not written; the answer's mantissa implies it, its exponent is wrong. {point.expects} was expected."
        return absent.waits("right mantissa, wrong exponent", why)
    return absent


def _in_the_answer(asked: Asked, absent: Mark, given: Given) -> Mark | None:
    """Return a line that stands in the answer's place: a row of bits is that line, a number may be; or None."""
    written, row = given.text.get("answer", ""), absent.expects
    reading = given.answer.reading
    if reading is None or absent.kind != "M" or given.answer.several:
        return None
    if absent.rule in SIZED and _is_size_of(written, row):
        return absent.waits("a line in the answer's place", "The answer is the size, with its sign.")
    if set(row) <= set("01.") and len(row) > LEAST_ROW:
        if reading.exponent or reading.bare != row.replace(".", ""):
            return None
        why = "It stands where the answer should."
        return absent.marked(absent.marks, "implied", why, written=written)
    if asked.question.operation.name != "decode" or value_of(row) is None or reading.value != value_of(row):
        return None
    return absent.waits("a line in the answer's place", f"{row} stands where the answer should.")


def _is_size_of(written: str, row: str) -> bool:
    """Tell whether *written* is the size in *row*, with a minus before it."""
    size = re.fullmatch(r"-\s*([01.]{2,})", plain_text(written))
    return size is not None and size[1].lstrip("0") == row.lstrip("0")


def _field_in_the_answer(asked: Asked, absent: Mark, answer: LineMark, given: Given) -> Mark | None:
    """Return the sign of a wrong answer, or the place of its point, where that field of it is right; or None."""
    fields = fields_right(asked.question, answer, given)
    if (
        asked.question.format.family != SIZES
        or {"sign": "sign", "point": "exponent"}.get(absent.rule) not in fields
    ):
        return None
    why = "Not written; the answer shows it."
    return absent.marked(absent.marks, "implied", why, written=absent.written)


def _answer_alone(asked: Asked, seen: list[Mark]) -> list[Mark]:
    """Return the points where nothing but an answer is written: it earns what the scheme says."""
    if asked.alone >= asked.marks:
        return seen
    why = "An answer without working does not earn this mark here."
    return [
        replace(mark, given=0, status="absent", why=why)
        if mark.status == "implied" and mark.kind == "M"
        else mark
        for mark in seen
    ]


def _dependent(mark: Mark, seen: list[Mark]) -> Mark:
    """Return *mark*, withheld where a point it depends on was not earned."""
    missing = [other for other in seen if other.name in mark.needs and not other.given]
    if not mark.given or not missing:
        return mark
    why = f"It depends on {missing[0].name}, which was not earned."
    if all(other.for_teacher for other in missing):
        return mark.waits(missing[0].group, why, could=mark.given)
    return replace(mark, given=0, why=why)

"""Awarding a scheme's points from lines that were judged: what is earned, why, and what is left to the teacher.

Sources of the rules: method, accuracy and independent marks, follow-through and dependence as in the
mark-scheme glossaries of mathematics awarding bodies; what is done with doubtful cases is this
project's own: they earn nothing yet and are flagged for the teacher.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from chalkpoint.marking.entries import Entry, parse_entry, same_digits, split_answers
from chalkpoint.marking.papers import Asked, SchemePoint
from chalkpoint.marking.spelling import can_be_read, is_value, patterns_in
from chalkpoint.marking.walk import Account, LineMark
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["PointMark", "award", "exact_answer", "undecided", "unread", "without_pattern"]

GIVEN = {"right", "follow-through", "implied"}


@dataclass(frozen=True, slots=True)
class PointMark:
    """One point of a scheme, marked.

    point        the point
    marks        what is given
    status       right, follow-through, recovered, misconception, copied, off, implied or absent
    why          the reason in words
    for_teacher  whether a person should decide
    written      what the pupil wrote there
    among        beliefs whose rule gives exactly that
    was          the marks before a teacher's decision, or None where there was none
    """

    point: SchemePoint
    marks: int
    status: str
    why: str
    for_teacher: bool = False
    written: str = ""
    among: tuple[str, ...] = ()
    was: int | None = None

    def to_dict(self) -> dict[str, Any]:
        """Return the entry of chalkpoint.marks/1."""
        entry: dict[str, Any] = {
            "rule": self.point.rule,
            "marks": self.marks,
            "of": self.point.marks,
            "status": self.status,
            "why": self.why,
            "for_teacher": self.for_teacher,
        }
        if self.point.part:
            entry["part"] = self.point.part
        if self.was is not None:
            entry["was"] = self.was
        return entry


def award(asked: Asked, account: Account, written: dict[str, str]) -> tuple[PointMark, ...]:
    """Return every point of *asked* marked, from the lines judged in *account*.

    written  everything the pupil wrote, by line, "decimal" and "answer" included
    """
    by_line = {mark.line: mark for mark in account.marks}
    seen = [_point_mark(asked, point, by_line, written) for point in asked.points]
    if set(written) <= {"answer", "decimal"}:
        seen = _answer_alone(asked, seen)
        if is_value(asked.question, written.get("answer", "")):
            seen = [without_pattern(mark) for mark in seen]
    seen = undecided(asked.question, seen, written.get("answer", ""))
    return tuple(unread(asked.question, _dependent(point, seen)) for point in seen)


def without_pattern(mark: PointMark) -> PointMark:
    """Return *mark* where a value stands alone in the place of a pattern: it shows none of the pattern's digits."""
    if not mark.marks or mark.point.rule == "decimal":
        return mark
    why = f"The value is right, but no pattern is written; {mark.point.expects} was expected."
    return replace(mark, marks=0, status="absent", why=why, for_teacher=mark.point.rule == "answer")


def undecided(question: Question, marks: list[PointMark], answer: str) -> list[PointMark]:
    """Return *marks*, the answer's left to the teacher where several patterns are written and none is chosen."""
    several = patterns_in(question, answer)
    if len(several) < 2:
        return marks
    says = f"{len(several)} answers are written: {', '.join(several)}"
    return [
        replace(
            mark, marks=0, status="off", why=f"{says}; {mark.point.expects} was expected.", for_teacher=True
        )
        if mark.point.rule == "answer"
        else mark
        for mark in marks
    ]


def unread(question: Question, mark: PointMark) -> PointMark:
    """Return *mark*, left to the teacher where something is written that cannot be read."""
    blank = not any(sign.isalnum() for sign in mark.written)  # a dash or a question mark is as good as one
    if blank or mark.marks or mark.for_teacher or can_be_read(question, mark.written):
        return mark
    why = f"\u201c{mark.written}\u201d cannot be read; {mark.why}"
    return replace(mark, why=why, for_teacher=True)


def _point_mark(
    asked: Asked, point: SchemePoint, by_line: dict[str, LineMark], written: dict[str, str]
) -> PointMark:
    if point.rule == "decimal":
        return _decimal(asked, point, by_line.get("answer"), written)
    if point.rule == "answer":
        return _answer(asked, point, by_line, written)
    mark = by_line.get(point.rule)
    if mark is None or mark.status in {"absent", "implied"}:
        return _not_written(point, {} if asked.question.operation.name == "range" else by_line)
    return _given(point, mark.status, mark)


def _given(point: SchemePoint, status: str, mark: LineMark) -> PointMark:
    """Return what a status earns at a point."""
    earned, doubt, why = point.marks, False, _why(status, mark)
    if status == "follow-through" and not point.follows and point.kind != "M":
        earned, why = 0, f"{why} This mark is for the right value only."
    elif status == "recovered" and point.kind != "M":
        earned, doubt = 0, True
    elif status in {"off", "copied"}:
        earned, doubt = 0, status == "off" and bool(mark.slip) and point.kind == "M"
    elif status not in GIVEN and status != "recovered":
        earned = 0
    return PointMark(point, earned, status, why, doubt, mark.written, mark.among)


def _why(status: str, mark: LineMark) -> str:
    names = " or ".join(f"\u201c{BELIEFS[name].says}\u201d ({name})" for name in mark.among[:3])
    slip = f" A slip would give it: {mark.slip}." if mark.slip else ""
    return {
        "right": "Right.",
        "follow-through": f"Right from the line before it; {mark.expects} would be right.",
        "recovered": "Right, but it does not follow from the line above.",
        "misconception": f"Just what this gives: {names}. From the line before, {mark.own} was expected.",
        "copied": f"The row above, copied; {mark.own} was expected.",
        "off": f"{mark.own} was expected.{slip}",
    }[status]


def _not_written(point: SchemePoint, by_line: dict[str, LineMark]) -> PointMark:
    """Return a mark for a line not written: implied where what follows it is right, else absent."""
    # The extremes stand each alone, so they hand no lines in: none is implied by another.
    order = list(by_line)
    after = order[order.index(point.rule) + 1 :] if point.rule in by_line else order
    later = next((by_line[name] for name in after if by_line[name].written), None)
    if later is not None and later.status in {"right", "follow-through"}:
        why = f"Not written; it is implied by the line {later.line}."
        return PointMark(point, point.marks, "implied", why)
    return PointMark(point, 0, "absent", f"Not written; {point.expects} was expected.")


# === The answer ===


def _answer(
    asked: Asked, point: SchemePoint, by_line: dict[str, LineMark], written: dict[str, str]
) -> PointMark:
    mark = by_line.get("answer")
    alone = by_line.get("exponent") if point.part == "exponent" else None
    if mark is None or not mark.written:
        if alone is not None and alone.written:
            return _given(point, alone.status, alone)
        return PointMark(point, 0, "absent", f"Not written; {point.expects} was expected.")
    status = _part_status(asked.question, point, mark)
    if point.part == "exponent" and status == "absent" and alone is not None and alone.written:
        return _given(point, alone.status, alone)
    if status == "absent":
        return PointMark(point, 0, status, f"Not written; {point.expects} was expected.")
    given = replace(_given(point, status, mark), written=_written_field(asked.question, point, mark.written))
    if status == "follow-through" and _made_easy(asked.question, by_line):
        why = "Right from their own sum, but that needed no normalising or repair, which this question asks for."
        return replace(given, marks=0, for_teacher=True, why=why)
    return given


def _part_status(question: Question, point: SchemePoint, mark: LineMark) -> str:
    """Return the status of one field of the answer: each is held against its own expected field."""
    if not point.part or mark.status in {"right", "recovered"}:
        return mark.status
    entry = parse_entry(split_answers(mark.written)[0], question.format, point=question.course.point)
    right, own = (_field(question, text, point.part) for text in (mark.expects, mark.own))
    if len(entry.bare) == question.format.mantissa_bits and not entry.exponent:  # a mantissa and nothing else
        if point.part == "exponent":
            return "absent"
    elif not (entry.bare and entry.exponent):  # a value or a word: judged as a whole
        return "right" if mark.status == "follow-through" and own == right and right else mark.status
    if _is_field(entry, right, point.part):
        return "right"
    if _is_field(entry, own, point.part):
        return "follow-through"
    return mark.status if mark.status in {"misconception", "copied"} else "off"


def _written_field(question: Question, point: SchemePoint, written: str) -> str:
    """Return what is written of the answer's part that a point is for; the whole where it does not part."""
    entry = parse_entry(split_answers(written)[0], question.format, point=question.course.point)
    if not point.part or not (entry.bare and entry.exponent):
        return written
    return entry.digits if point.part == "mantissa" else entry.exponent


def _field(question: Question, text: str, part: str) -> str:
    entry = parse_entry(text, question.format, point=question.course.point)
    return entry.bare if part == "mantissa" else entry.exponent


def _is_field(entry: Entry, expected: str, part: str) -> bool:
    if not expected:
        return False
    if part == "mantissa":
        return not entry.lead and same_digits(entry.digits, expected)
    return not entry.power and entry.exponent == expected


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
    entry = parse_entry(added.written, question.format, point=question.course.point)
    bare = entry.bare[-question.format.mantissa_bits :]
    return len(bare) > 1 and bare[0] != bare[1]


def _answer_alone(asked: Asked, seen: list[PointMark]) -> list[PointMark]:
    """Return the points where nothing but an answer is written: a right one earns what the scheme says."""
    answers = [mark for mark in seen if mark.point.rule in {"answer", "decimal"}]
    if any(mark.status not in {"right", "absent"} for mark in answers) or asked.alone >= asked.marks:
        return seen
    why = "A right answer without working does not earn this mark here."
    return [
        replace(mark, marks=0, status="absent", why=why) if mark.status == "implied" else mark
        for mark in seen
    ]


# === The decimal check ===


def exact_answer(question: Question) -> tuple[str, str]:
    """Return the exact answer, and the value of the course's own answer, as the course writes them."""
    working = work_question(question)
    point = question.course.point
    value = working.result.value
    return write_value(working.check.exact, point=point), "" if value is None else write_value(
        value, point=point
    )


def _decimal(asked: Asked, point: SchemePoint, answer: LineMark | None, written: dict[str, str]) -> PointMark:
    question = asked.question
    text = written.get("decimal", "") or written.get("answer", "")
    parts = [parse_entry(part, question.format, point=question.course.point) for part in split_answers(text)]
    beside = [entry for entry in parts if "decimal" in written or not entry.exponent]
    values = [
        entry.value for entry in beside if entry.value is not None and len(entry.bare) < question.format.bits
    ]
    if not values:
        right = answer is not None and answer.status == "right"
        if right and set(written) <= {"answer"}:
            return PointMark(point, point.marks, "implied", "Not written; the answer is right.")
        return PointMark(point, 0, "absent", f"Not written; {point.expects} was expected.")
    said = {write_value(value, point=question.course.point) for value in values}
    if said & set(exact_answer(question)):
        return PointMark(point, point.marks, "right", "Right.", written=text)
    own = _own_value(question, written, answer)
    if own in said and point.follows:
        return PointMark(
            point, point.marks, "follow-through", "Read rightly from their own answer.", written=text
        )
    return PointMark(point, 0, "off", f"{point.expects} was expected.", written=text)


def _own_value(question: Question, written: dict[str, str], answer: LineMark | None) -> str:
    """Return the value of the pattern the pupil answered with, or would have."""
    fmt = question.format
    candidates = [written.get("answer", "")] + (
        [answer.own] if answer and answer.status == "follow-through" else []
    )
    for text in candidates:
        try:
            return write_value(fmt.value(fmt.read(text)), point=question.course.point)
        except EntryError:
            continue
    return ""


def _dependent(mark: PointMark, seen: list[PointMark]) -> PointMark:
    """Return *mark*, withheld where a point it depends on was not earned."""
    earned = {other.point.name for other in seen if other.marks}
    missing = [name for name in mark.point.needs if name not in earned]
    if mark.marks and missing and any(other.point.name in missing for other in seen):
        return replace(mark, marks=0, why=f"It depends on {missing[0]}, which was not earned.")
    return mark

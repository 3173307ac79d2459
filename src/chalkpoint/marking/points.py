"""Awarding a scheme's points from lines that were judged: what is earned, why, and what is left to the teacher.

Sources of the rules: method, accuracy and independent marks, follow-through and dependence as in the
mark-scheme glossaries of mathematics awarding bodies; what is done with doubtful cases is this
project's own: they earn nothing yet and are flagged for the teacher, with the marks either ruling gives.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from chalkpoint.marking.answer import Answer
from chalkpoint.marking.doubts import error_but_for, is_row_in_decimal
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.reading import Reading, read_place, values_in
from chalkpoint.marking.rows import same_digits
from chalkpoint.marking.walk import Account, LineMark
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.named import AnyPattern
from chalkpoint.setting.papers import Asked
from chalkpoint.setting.schemes import Mark
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = [
    "Given",
    "PointMark",
    "asks_for_value",
    "award",
    "exact_answer",
    "extreme_points",
    "in_decimal",
    "unread",
]

GIVEN = {"right", "follow-through", "implied"}
ERRORS = ("absolute", "relative")


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
    could        the marks it has if the teacher rules for the pupil; None where nothing is to be decided
    group        what is to be decided, in words that are the same for every pupil it is alike for; or ""
    """

    point: Mark
    marks: int
    status: str
    why: str
    for_teacher: bool = False
    written: str = ""
    among: tuple[str, ...] = ()
    was: int | None = None
    could: int | None = None
    group: str = ""

    @property
    def most(self) -> int:
        """The marks it has if everything is ruled for the pupil."""
        return max(self.marks, self.could) if self.for_teacher and self.could is not None else self.marks

    def waits(self, group: str, why: str, *, could: int | None = None) -> PointMark:
        """Return the point without marks, left to the teacher, who may give it *could* (all of them)."""
        could = self.point.marks if could is None else could
        return replace(self, marks=0, why=why, for_teacher=True, could=could, group=group)

    def not_read(self) -> PointMark:
        """Return the point left to the teacher, since what is written there cannot be read."""
        expected = f"{self.point.expects} was expected."
        return self.waits("cannot be read", f"\u201c{self.written}\u201d cannot be read; {expected}")

    def to_dict(self) -> JsonObject:
        """Return the entry of chalkpoint.marks/1."""
        entry: JsonObject = {
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
        if self.for_teacher:
            entry["could"] = self.most
        if self.group:
            entry["group"] = self.group
        return entry


@dataclass(frozen=True)
class Given:
    """What a pupil wrote to one question.

    text    by line, as it was written
    answer  what stands in the answer's place, read
    """

    text: Mapping[str, str]
    answer: Answer

    @property
    def alone(self) -> bool:
        """Whether no line of working is written."""
        return set(self.text) <= {"answer", "decimal"}


def award(asked: Asked, account: Account, given: Given) -> tuple[PointMark, ...]:
    """Return every point of *asked* marked, from the lines judged in *account*."""
    by_line = {mark.line: mark for mark in account.marks}
    seen = [_point_mark(asked, point, by_line, given) for point in asked.points]
    if given.alone:
        seen = _answer_alone(asked, seen)
    return tuple(unread(asked.question, _dependent(point, seen)) for point in seen)


def unread(question: Question, mark: PointMark) -> PointMark:
    """Return *mark*, left to the teacher where something is written that cannot be read."""
    blank = not any(sign.isalnum() for sign in mark.written)  # a dash or a question mark is as good as one
    if blank or mark.marks or mark.for_teacher or _can_be_read(question, mark):
        return mark
    return mark.not_read()


def _can_be_read(question: Question, mark: PointMark) -> bool:
    if mark.point.rule == "decimal":
        return bool(values_in(mark.written, question.course.point))
    return any(reading.says_something for reading in read_place(question, mark.point.rule, mark.written))


def _point_mark(asked: Asked, point: Mark, by_line: dict[str, LineMark], given: Given) -> PointMark:
    if point.rule == "decimal":
        return _decimal(asked, point, by_line.get("answer"), given)
    if point.rule == "answer":
        return _answer(asked, point, by_line, given)
    mark = by_line.get(point.rule)
    if mark is None or mark.status in {"absent", "implied"}:
        found = _not_written(asked, point, by_line, given)
        if found.written and not found.marks and not found.for_teacher:
            rows = read_place(asked.question, point.rule, found.written)
            if in_decimal(asked, point, rows):
                return found.waits("a row in decimal", f"In decimal; {point.expects} was expected.")
        return found
    if mark.status == "off" and (
        but_for := error_but_for(mark.written, mark.own) if point.rule in ERRORS else ""
    ):
        return _given(point, mark.status, mark).waits(
            f"an error right but for {but_for}", f"{mark.own} was expected."
        )
    if mark.status == "misconception" and mark.at in {other.rule for other in asked.points}:
        why = f"Right from what stands there; what went wrong is charged once, at {mark.at}."
        return PointMark(point, point.marks, "follow-through", why, written=mark.written)
    return _given(point, mark.status, mark)


def in_decimal(asked: Asked, point: Mark, rows: Iterable[Reading]) -> bool:
    """Tell whether one of *rows* is the value, in decimal, of the row that *point* is for."""
    if asked.question.operation.name == "decode" or point.rule in {"product", "quotient"}:
        return False  # numbers there, whatever they are written in
    return any(is_row_in_decimal(one, point.expects) for one in rows)


def _given(point: Mark, status: str, mark: LineMark) -> PointMark:
    """Return what a status earns at a point."""
    made = PointMark(point, point.marks, status, _why(status, mark), written=mark.written, among=mark.among)
    if status == "follow-through" and not point.follows and point.kind != "M":
        return replace(made, marks=0, why=f"{made.why} This mark is for the right value only.")
    if status == "recovered" and point.kind != "M":
        return made.waits("right, but not from the line above", made.why)
    if status == "off" and mark.slip and point.kind == "M":
        return made.waits(f"a slip: {mark.slip}", made.why)
    return made if status in GIVEN or status == "recovered" else replace(made, marks=0)


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


def _not_written(asked: Asked, point: Mark, by_line: dict[str, LineMark], given: Given) -> PointMark:
    """Return a mark for a line not written, or not to be read: implied where what follows needs it, else absent."""
    order = list(by_line)
    after = order[order.index(point.rule) + 1 :] if point.rule in by_line else order
    later = next((by_line[name] for name in after if by_line[name].written), None)
    text = given.text.get(point.rule, "")
    absent = PointMark(point, 0, "absent", f"Not written; {point.expects} was expected.", written=text)
    if later is None:
        return absent
    if later.at == point.rule and later.line != "answer":
        why = f"Not written; the line {later.line} is what comes without it. {_why('misconception', later)}"
        return replace(absent, status="misconception", why=why, among=later.among)
    needs = later.status in {"right", "follow-through"}
    if needs or (later.status == "misconception" and later.line != "answer" and not later.at):
        why = f"Not written; it is implied by the line {later.line}."
        return PointMark(point, point.marks, "implied", why, written=text)
    if later.line == "answer" and _fields_right(asked.question, later, given) == {"mantissa"}:
        why = f"Not written; the answer's mantissa implies it, its exponent is wrong. {point.expects} was expected."
        return absent.waits("right mantissa, wrong exponent", why)
    return absent


# === The answer ===


def _answer(asked: Asked, point: Mark, by_line: dict[str, LineMark], given: Given) -> PointMark:
    mark = by_line.get("answer")
    alone = by_line.get("exponent") if point.part == "exponent" else None
    if mark is None or not mark.written:
        if alone is not None and alone.written:
            return _given(point, alone.status, alone)
        text = given.text.get("answer", "")
        costs = [by_line[line] for line in ("absolute", "relative") if line in by_line]
        if not text and any(cost.written and cost.status == "right" for cost in costs):
            return PointMark(point, point.marks, "implied", "Not written; it is implied by its error.")
        return PointMark(point, 0, "absent", f"Not written; {point.expects} was expected.", written=text)
    status = _part_status(asked.question, point, mark, given)
    if point.part == "exponent" and status == "absent" and alone is not None and alone.written:
        return _given(point, alone.status, alone)
    if status == "absent":
        return PointMark(point, 0, status, f"Not written; {point.expects} was expected.")
    written = _written_field(point, given)
    made = replace(_given(point, status, mark), written=written or mark.written)
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
    if _is_field(entry, right, point.part):
        return "right"
    if _is_field(entry, own, point.part):
        return "follow-through"
    return mark.status if mark.status in {"misconception", "copied"} else "off"


def _fields_right(question: Question, mark: LineMark, given: Given) -> set[str]:
    """Return which fields of a wrong answer are right, where it has both."""
    entry = given.answer.reading or Reading("")
    if not (entry.bare and entry.exponent):
        return set()
    parts = ("mantissa", "exponent")
    return {part for part in parts if _is_field(entry, _field(question, mark.expects, part), part)}


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


def _is_field(entry: Reading, expected: str, part: str) -> bool:
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
    readings = read_place(question, "add", added.written)
    bare = readings[0].bare[-question.float_format.mantissa_bits :] if readings else ""
    return len(bare) > 1 and bare[0] != bare[1]


def _answer_alone(asked: Asked, seen: list[PointMark]) -> list[PointMark]:
    """Return the points where nothing but an answer is written: a right one earns what the scheme says."""
    answers = [mark for mark in seen if mark.point.rule == "answer"]
    if asked.alone >= asked.marks or any(
        mark.status not in {"right", "absent", "implied"} for mark in answers
    ):
        return seen
    why = "A right answer without working does not earn this mark here."
    return [
        replace(mark, marks=0, status="absent", why=why)
        if mark.status == "implied" and mark.point.kind == "M"
        else mark
        for mark in seen
    ]


# === The extremes of a range ===


def extreme_points(asked: Asked, account: Account, answers: Mapping[str, Answer]) -> tuple[PointMark, ...]:
    """Return the points of the four extremes: each field is held against its own, whatever the other is."""
    by_line = {mark.line: mark for mark in account.marks}
    return tuple(
        _extreme(asked.question, point, by_line[point.rule], answers.get(point.rule, Answer()))
        for point in asked.points
    )


def asks_for_value(question: Question, point: Mark) -> bool:
    """Tell whether a point of a range is for a value, as a scheme written by hand may have it, and not for bits."""
    digits = point.expects.replace(" ", "").replace(".", "")
    return not point.part and not (len(digits) == question.format.bits and set(digits) <= {"0", "1"})


def _extreme(question: Question, point: Mark, mark: LineMark, answer: Answer) -> PointMark:
    entry = answer.reading
    if not mark.written or entry is None:
        return PointMark(
            point, 0, "absent", f"Not written; {point.expects} was expected.", written=mark.written
        )
    if asks_for_value(question, point):
        return _extreme_value(question, point, mark, answer)
    if mark.status == "right" or (
        entry.bare and entry.exponent and _is_field(entry, point.expects, point.part)
    ):
        return PointMark(point, point.marks, "right", "Right.", written=mark.written)
    return _given(point, mark.status, mark)


def _extreme_value(question: Question, point: Mark, mark: LineMark, answer: Answer) -> PointMark:
    """Return the point of an extreme whose value is asked for: its right pattern alone is the teacher's."""
    right = PointMark(point, point.marks, "right", "Right.", written=mark.written)
    if value_of(point.expects, question.course.point) in answer.values:
        return right
    if mark.status == "right" and not answer.values:
        manner = "pattern without its value"
        why = f"Right but for its manner: {manner}; {point.expects} was expected."
        if manner in question.course.takes:
            return right
        held = replace(right, marks=0, status="off", why=why)
        return held if manner in question.course.refuses else held.waits(manner, why)
    return replace(right, marks=0, status="off", why=f"{point.expects} was expected.")


# === The decimal check ===


def exact_answer(question: Question) -> tuple[str, str]:
    """Return the exact answer, and the value of the course's own answer, as the course writes them."""
    working = work_question(question)
    point = question.course.point
    value = working.result.value
    return write_value(working.check.exact, point=point), "" if value is None else write_value(
        value, point=point
    )


def _decimal(asked: Asked, point: Mark, answer: LineMark | None, given: Given) -> PointMark:
    question, text = asked.question, given.text.get("decimal", "")
    values = values_in(text, question.course.point) if text else list(given.answer.values)
    text = text or given.text.get("answer", "")
    if not values:
        if answer is not None and answer.status == "right" and "decimal" not in given.text:
            return PointMark(point, point.marks, "implied", "Not written; the answer is right.")
        written = given.text.get("decimal", "")
        return PointMark(point, 0, "absent", f"Not written; {point.expects} was expected.", written=written)
    said = {write_value(value, point=question.course.point) for value in values}
    if said & set(exact_answer(question)):
        return PointMark(point, point.marks, "right", "Right.", written=text)
    own = _own_value(question, given, answer)
    if own in said and point.follows:
        return PointMark(
            point, point.marks, "follow-through", "Read rightly from their own answer.", written=text
        )
    return PointMark(point, 0, "off", f"{point.expects} was expected.", written=text)


def _own_value(question: Question, given: Given, answer: LineMark | None) -> str:
    """Return the value of the pattern the pupil answered with, or would have."""
    fmt = question.format
    own = answer.own if answer is not None and answer.status == "follow-through" else ""
    for text in (given.answer.spelling, own):
        try:
            pattern: AnyPattern = fmt.read(text)
            return write_value(fmt.value(pattern), point=question.course.point)
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

"""Marks for a question: the best over accepted methods and over readings of it that would explain everything."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from chalkpoint.marking.entries import Entry, parse_entry
from chalkpoint.marking.extremes import judge_extremes
from chalkpoint.marking.judging import accepted_methods, believing_for, is_followed, read_lines, sheet_for
from chalkpoint.marking.papers import Asked
from chalkpoint.marking.plainly import by_final_answer
from chalkpoint.marking.points import PointMark, award
from chalkpoint.marking.sheets import Sheet, Written, rows_of
from chalkpoint.marking.spelling import answers_apart, plainly_put
from chalkpoint.marking.walk import Account, walk, walk_clean
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.answering import final_answer
from chalkpoint.working.extremes import RANGING
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["QuestionMarks", "mark_question"]

LEAST_LINES = 2  # lines that must all be right before a question counts as misread


@dataclass(frozen=True, slots=True)
class QuestionMarks:
    """One question marked.

    asked        the question and its scheme
    points       each point of the scheme
    first_wrong  the first line that went wrong, or ""
    method       the accepted method under which the marks are best
    reading      how the question was misread, where that reading is best, or ""
    account      every line judged; None where nothing was written
    notes        what else the teacher should know
    """

    asked: Asked
    points: tuple[PointMark, ...]
    first_wrong: str = ""
    method: str = ""
    reading: str = ""
    account: Account | None = None
    notes: tuple[str, ...] = ()

    @property
    def marks(self) -> int:
        """Marks given."""
        return sum(point.marks for point in self.points)

    @property
    def waiting(self) -> tuple[PointMark, ...]:
        """The points a person should decide."""
        return tuple(point for point in self.points if point.for_teacher)

    @property
    def blank(self) -> bool:
        """Whether nothing was written."""
        return self.account is None

    def to_dict(self) -> dict[str, Any]:
        """Return the entry of chalkpoint.marks/1."""
        entry: dict[str, Any] = {
            "question": self.asked.number,
            "marks": self.marks,
            "of": self.asked.marks,
            "first_wrong": self.first_wrong or None,
            "points": [point.to_dict() for point in self.points],
        }
        if self.reading:
            entry["reading"] = self.reading
        if self.notes:
            entry["notes"] = list(self.notes)
        return entry


def mark_question(asked: Asked, written: Mapping[str, str]) -> QuestionMarks:
    """Return *asked* marked.

    written  what the pupil wrote, by line; the answer is the line "answer", a decimal check "decimal"

    >>> from chalkpoint.marking.papers import papers_from
    >>> paper = papers_from({"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]}).first
    >>> lines = {"align": "0.0010100", "negate": "1.1101011", "add": "0.1010011", "exponent": "0011"}
    >>> marked = mark_question(paper.questions[0], lines | {"answer": "5.1875"})
    >>> marked.marks, marked.first_wrong
    (5, 'negate')
    """
    followed = is_followed(asked.question)
    apart = answers_apart(asked.question, written) if followed else written
    given = {line: plainly_put(asked.question, line, text) for line, text in apart.items() if text.strip()}
    if not given:
        points = tuple(PointMark(point, 0, "absent", "Nothing is written.") for point in asked.points)
        return QuestionMarks(asked, points)
    if asked.kind == "mistake":
        return _found_mistake(asked, given)
    name = asked.question.operation.name
    if not followed:
        return _by_answer(asked, given)
    if name == "range":
        return _extremes(asked, given)
    sheet = sheet_for(asked.question)
    lines, notes = _readable(asked.question, sheet, given)
    given = {line: text for line, text in given.items() if line in lines or line == "decimal"}
    best = max(_readings(asked, sheet, lines, given), key=lambda marked: (marked.marks, not marked.reading))
    return replace(best, notes=(*notes, *best.notes))


def _readable(question: Question, sheet: Sheet, given: Mapping[str, str]) -> tuple[Written, tuple[str, ...]]:
    """Return the lines this question has, read, and a note on each other line."""
    lines: dict[str, Any] = {}
    notes = []
    for name, text in given.items():
        if name == "answer":
            lines["answer"] = (_stored(question, rows_of(text, question)[0]),)
        elif name != "decimal":
            try:
                lines |= read_lines(question, sheet, {name: text})
            except EntryError as reason:
                notes.append(f"not marked: {reason}")
    return lines, tuple(notes)


def _stored(question: Question, entry: Entry) -> Entry:
    """Return the answer as the pattern stored where it gives the value of it, for what storing costs."""
    if question.operation.name != "error" or entry.value is None or entry.exponent:
        return entry
    pattern = final_answer(work_question(question)).split("; ")[0]
    stored = parse_entry(pattern, question.format)
    if not stored.digits or question.format.value(question.format.read(pattern)) != entry.value:
        return entry
    return stored._replace(text=entry.text)


def _readings(asked: Asked, sheet: Sheet, lines: Written, given: dict[str, str]) -> Iterator[QuestionMarks]:
    """Yield the marks under every accepted method and, where a line is wrong, under every misreading."""
    believing = believing_for(asked.question.operation.name)
    first_line = next(
        (line.name for line in sheet.lines(accepted_methods(asked.question)[0]) if line.name in lines), ""
    )
    astray = False
    for base in accepted_methods(asked.question):
        account = walk_clean(sheet, base, lines) or walk(sheet, base, lines, believing=believing)
        first = account.first_wrong
        marked = QuestionMarks(
            asked, award(asked, account, given), first.line if first else "", base.name, "", account
        )
        astray = astray or (marked.first_wrong != "" and marked.first_wrong == first_line)
        yield marked
        if marked.marks == asked.marks:
            return
    if astray and len(lines) >= LEAST_LINES:  # a misreading shows on the first line that is written
        yield from _misread(asked, lines, given)


def _misread(asked: Asked, lines: Written, given: dict[str, str]) -> Iterator[QuestionMarks]:
    """Yield the marks where one digit of the question was misread and every line is right from there."""
    sheet = sheet_for(asked.question)
    for words, page in sheet.altered():
        sheet.start = page
        for base in accepted_methods(asked.question):
            account = walk_clean(sheet, base, lines)
            if account:
                points = _one_accuracy_less(award(asked, account, given), words)
                yield QuestionMarks(asked, points, "", base.name, words, account)


def _one_accuracy_less(points: tuple[PointMark, ...], words: str) -> tuple[PointMark, ...]:
    """Return *points* with one accuracy mark withheld for a misreading."""
    why = f"Misread: {words}. All that follows is right, so one accuracy mark is lost."
    taken = next((at for at, mark in enumerate(points) if mark.point.kind != "M" and mark.marks), None)
    return tuple(
        replace(mark, marks=mark.marks - 1, status="off", why=why, for_teacher=True)
        if at == taken
        else replace(mark, status="follow-through", why=f"Right for the question as read ({words}).")
        if mark.status == "right"
        else mark
        for at, mark in enumerate(points)
    )


def _found_mistake(asked: Asked, given: Mapping[str, str]) -> QuestionMarks:
    """Return the marks for naming the wrong line of a shown working; what it should be is for the teacher."""
    text = given.get("answer", "")
    points = []
    for point in asked.points:
        right = point.expects.lower() in text.lower()
        why = "Right." if right else f"{point.expects} was expected."
        points.append(
            PointMark(point, point.marks * right, "right" if right else "off", why, not right, text)
        )
    return QuestionMarks(asked, tuple(points), account=Account(accepted_methods(asked.question)[0]))


def _by_answer(asked: Asked, given: Mapping[str, str]) -> QuestionMarks:
    """Return the marks of a question whose lines are not judged one from another."""
    points = by_final_answer(asked, given)
    answers = [point for point in points if point.point.rule == "answer"]
    wrong = "answer" if any(point.status != "right" for point in answers) else ""
    return QuestionMarks(asked, points, wrong, "", "", Account(Method("", "", (), {})))


def _extremes(asked: Asked, given: Mapping[str, str]) -> QuestionMarks:
    """Return the marks for the four extreme values, a field at a time."""
    notes = []
    known = {}
    for name, text in given.items():
        try:
            judge_extremes(
                asked.question, {name: text} if name != "answer" else {}, text if name == "answer" else ""
            )
            known[name] = text
        except EntryError as reason:
            notes.append(f"not marked: {reason}")
    lines = {name: text for name, text in known.items() if name != "answer"}
    judged = judge_extremes(asked.question, lines, known.get("answer", ""))
    account = Account(RANGING, list(judged.marks))
    first = account.first_wrong
    return QuestionMarks(
        asked, award(asked, account, dict(given)), first.line if first else "", "", "", account, tuple(notes)
    )

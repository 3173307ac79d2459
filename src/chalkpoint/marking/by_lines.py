"""Marks for lines judged one from another: the best over methods, and over readings that explain everything."""

from __future__ import annotations

from collections.abc import Iterator
from copy import copy
from dataclasses import replace

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.awarding import award, in_decimal
from chalkpoint.marking.fallen import read_otherwise
from chalkpoint.marking.judging import (
    accepted_methods,
    accounts_elsewhere,
    believing_for,
    method_elsewhere,
    read_lines,
    sheet_for,
)
from chalkpoint.marking.manners import is_own_value
from chalkpoint.marking.points import Given
from chalkpoint.marking.question_marks import QuestionMarks, either
from chalkpoint.marking.reading import read_place
from chalkpoint.marking.rows import sized_values
from chalkpoint.marking.sheets import Sheet, Written
from chalkpoint.marking.sums import ABOVE
from chalkpoint.marking.walk import FAULTS, walk, walk_clean
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked
from chalkpoint.working.work import work_question

__all__ = ["marked_by_lines"]

COUNTED = ("exponent", "exponents", "point", "sign", "remainder")  # lines that hold a whole number
LEAST_LINES = 2  # lines that must all be right before a question counts as misread


def marked_by_lines(asked: Asked, given: Given) -> QuestionMarks:
    """Return the marks, best over methods and readings, of a question whose lines are judged one from another."""
    sheet = sheet_for(asked.question)
    lines, notes = _readable(asked, sheet, given)
    kept = {line: one for line, one in given.text.items() if line in lines or line in {"decimal", "answer"}}
    kept |= {line: one for line, one in given.text.items() if line in {point.rule for point in asked.points}}
    given = replace(given, text=kept)
    best = _best(asked, sheet, lines, given)
    aside = [line for line in lines if best.marks < asked.marks and _says_result(asked, line, given)]
    if aside:
        other = _without_results(asked, sheet, lines, given, aside)
        best = other if (other.marks, other.most) > (best.marks, best.most) else best
    if best.marks < asked.marks:
        best = _by_another_method(
            asked, sheet, lines, given, _read_otherwise(asked, sheet, lines, given, best)
        )
    return replace(best, notes=(*notes, *best.notes))


def _read_otherwise(
    asked: Asked, sheet: Sheet, lines: Written, given: Given, best: QuestionMarks
) -> QuestionMarks:
    """Return *best*, what it would earn if rows were read in the other way they can be left to the teacher."""
    others = read_otherwise(lines)
    if not others:
        return best
    lenient = _best(asked, sheet, {**lines, **others}, given)
    if lenient.most <= best.most:
        return best
    rows = ", ".join(f"\u201c{given.text[line]}\u201d" for line in others if line in given.text)
    why = f"{rows} may be read with its last digits as those that fell off"
    return either(lenient, best, "digits that fell off, or more", why)


def _by_another_method(
    asked: Asked, sheet: Sheet, lines: Written, given: Given, best: QuestionMarks
) -> QuestionMarks:
    """Return *best*; where all is right by a method that the course does not take, what that earns waits.

    Only a row above the line shows by which method someone works: a sum or an answer may be a belief's as well.
    """
    wrong = {mark.line for mark in best.account.marks if mark.status in FAULTS} if best.account else set()
    if not wrong & {*ABOVE}:
        return best
    for name, account in accounts_elsewhere(asked.question, sheet, lines):
        lenient = QuestionMarks(asked, award(asked, account, given), "", name, "", account)
        why = f"Right by {method_elsewhere(name)}, which the course does not take"
        return either(lenient, best, f"right by the method {name}", why)
    return best


def _best(asked: Asked, sheet: Sheet, lines: Written, given: Given) -> QuestionMarks:
    """Return the marks under the method and the reading of the question that are best for the pupil."""
    return max(_readings(asked, sheet, lines, given), key=lambda marked: (marked.marks, not marked.reading))


def _says_result(asked: Asked, line: str, given: Given) -> bool:
    """Tell whether *line* holds what the question comes to: it is right, though no step of the way there."""
    question, text = asked.question, given.text.get(line, "")
    if line == "answer" or not text:
        return False
    working, decodes = work_question(question), question.operation.name == "decode"
    if not decodes and read_answer(question, text)[1:3] == (final_answer(working).split("; ")[0], ()):
        return True
    known = {abs(value) for value in (working.check.exact, working.result.value) if value is not None}
    said = {abs(value) for reading in read_place(question, line, text) for value in sized_values(reading)}
    counts = (decodes or line in COUNTED) and "=" not in text  # and not by chance the result's own number
    return any(value in known and not (counts and value.denominator == 1) for value in said)


def _without_results(
    asked: Asked, sheet: Sheet, lines: Written, given: Given, aside: list[str]
) -> QuestionMarks:
    """Return the marks as if the lines called *aside* were empty; where that earns nothing, some may wait."""
    kept = replace(given, text={line: text for line, text in given.text.items() if line not in aside})
    best = _best(asked, sheet, {line: rows for line, rows in lines.items() if line not in aside}, kept)
    points = (
        _with_result(mark, given.text[mark.rule]) if mark.rule in aside else mark for mark in best.points
    )
    return replace(best, points=tuple(points))


def _with_result(mark: Mark, text: str) -> Mark:
    mark = replace(mark, written=text)
    if mark.given or mark.for_teacher or mark.rule not in {"product", "quotient"}:
        return mark
    why = f"That is what the numbers themselves come to; {mark.expects} was expected."
    return mark.waits("the result itself", why)


def _readable(asked: Asked, sheet: Sheet, given: Given) -> tuple[Written, tuple[str, ...]]:
    """Return the lines this question has, read, and a note on each other line.

    What cannot be read is left out, and a row whose value is written in decimal: what follows may imply it.
    """
    question = asked.question
    lines: JsonObject = {}
    notes = []
    if (
        given.answer.reading is not None
        and given.answer.readable
        and not is_own_value(question, given.answer)
    ):
        lines["answer"] = (given.answer.reading,)
    for name, text in given.text.items():
        if name in {"decimal", "answer"}:
            continue
        point = next((one for one in asked.points if one.rule == name), None)
        try:
            read = read_lines(question, sheet, {name: text})
        except EntryError as reason:
            notes.append(f"not marked: {reason}")
            continue
        if point is None or not in_decimal(asked, point, next(iter(read.values()), ())):
            lines |= {line: rows for line, rows in read.items() if any(row.says_something for row in rows)}
    return lines, tuple(notes)


def _readings(asked: Asked, sheet: Sheet, lines: Written, given: Given) -> Iterator[QuestionMarks]:
    """Yield the marks under every accepted method and, where a line is wrong, under every misreading."""
    believing = believing_for(asked.question)
    first_line = next(
        (line.name for line in sheet.lines(accepted_methods(asked.question)[0], lines) if line.name in lines),
        "",
    )
    astray = False
    for base in accepted_methods(asked.question):
        account = walk_clean(sheet, base, lines) or walk(sheet, base, lines, believing=believing)
        first = account.first_wrong
        marked = QuestionMarks(
            asked, award(asked, account, given), first.line if first else "", base.name, "", account
        )
        # What a belief gives, or what was copied down unchanged, is no misreading.
        astray = astray or (first is not None and first.line == first_line and first.status == "off")
        yield marked
        if marked.marks == asked.marks:
            return
    if astray and len(lines) >= LEAST_LINES:  # a misreading shows on the first line that is written
        yield from _misread(asked, lines, given)


def _misread(asked: Asked, lines: Written, given: Given) -> Iterator[QuestionMarks]:
    """Yield the marks where one digit of the question was misread and every line is right from there."""
    sheet = copy(sheet_for(asked.question))  # that of a conversion or a sum is kept for the next pupil
    for words, page in sheet.altered():
        sheet.start = page
        for base in accepted_methods(asked.question):
            account = walk_clean(sheet, base, lines)
            if account:
                points = _one_accuracy_less(award(asked, account, given), words)
                yield QuestionMarks(asked, points, "", base.name, words, account)


def _one_accuracy_less(points: tuple[Mark, ...], words: str) -> tuple[Mark, ...]:
    """Return *points* with one accuracy mark withheld for a misreading."""
    why = f"Misread: {words}. All that follows is right, so one accuracy mark is lost."
    taken = next((at for at, mark in enumerate(points) if mark.kind != "M" and mark.given), None)
    return tuple(
        replace(mark.waits(f"misread: {words}", why), given=mark.given - 1, status="off")
        if at == taken
        else replace(mark, status="follow-through", why=f"Right for the question as read ({words}).")
        if mark.status == "right"
        else mark
        for at, mark in enumerate(points)
    )

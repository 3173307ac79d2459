"""What is observed of one question: its answer, or each of several it asks for, with the lines judged.

The extremes of a range, and what storing costs, are answers beside one another. Each is looked at by
itself, from the pupil's own answer before it: what follows rightly from a wrong one is as good as right.
They stay answers to one question, and no belief is named from one question.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from typing import Any

from chalkpoint.marking.answer import read_answer, spelling_of
from chalkpoint.marking.chains import ChainSheet, number_written, result_line
from chalkpoint.marking.chances import AGAINST, Seen
from chalkpoint.marking.diagnosis import Diagnoser, Lines
from chalkpoint.marking.judging import (
    accepted_methods,
    believing_for,
    judge_question,
    methods_for,
    sheet_for,
)
from chalkpoint.marking.reading import read_place
from chalkpoint.marking.walk import FAULTS, LineMark
from chalkpoint.marking.ways import CHOICE, is_workable
from chalkpoint.numbers.families import FLOATING
from chalkpoint.working.chained import MADE_OF_PARTS, Word, part_asked, parts_asked
from chalkpoint.working.choosing import chosen_for, serves_as_well
from chalkpoint.working.page import AnyPage
from chalkpoint.working.procedures import parts_of
from chalkpoint.working.question import Question

__all__ = ["observe", "observe_answer", "observe_parts"]

KEPT_PAGES = 512  # questions whose lines under every belief are kept
AS_GOOD_AS_RIGHT = ("right", "follow-through")


def observe(
    diagnoser: Diagnoser,
    number: int,
    question: Question,
    written: Mapping[str, str],
    marks: Collection[LineMark],
    *,
    astray: bool = True,
) -> list[Seen]:
    """Return what *written*, by line, shows of how question *number* was worked.

    marks   its lines as they were judged; none where they were not
    astray  whether anything that the pupil wrote is wrong: if not, no right line need speak against a belief
    """
    if parts_of(question.operation.name, question.course):
        # in other families no rule writes one part apart from the others, so nothing is foretold of it
        parted = marks if question.format.family == FLOATING else ()
        return list(_parts(diagnoser, number, question, parted))
    sheet = sheet_for(question) if question.operation.name in MADE_OF_PARTS else None
    if isinstance(sheet, ChainSheet) and (
        found := observe_parts(diagnoser, number, question, sheet, written, marks)
    ):
        return found
    lines: Lines = ()
    if set(written) - {"answer", "decimal"} and not _by_another_method(question, marks):
        judged = [mark for mark in marks if mark.written]
        lines = tuple(_spoken_against(question, mark) for mark in judged) if astray else _judged(judged)
    answer = spelling_of(question, written.get("answer", ""))
    if question.operation.name == CHOICE and serves_as_well(answer, chosen := chosen_for(question)):
        answer = str(chosen.format)
    return [diagnoser.see(number, question, answer, lines)]


def _by_another_method(question: Question, marks: Collection[LineMark]) -> bool:
    """Tell whether lines that go wrong by the course's methods are all right by another method: no fault."""
    if not any(mark.status in FAULTS for mark in marks):
        return False
    lines = {mark.line: mark.written for mark in marks if mark.written}
    return bool(methods_for(question, lines))


def _spoken_against(question: Question, mark: LineMark) -> tuple[str, str, tuple[str, ...]]:
    """Return a line as it was judged; one written right, with the beliefs that would have written it otherwise."""
    if mark.status != "right" or mark.line == "answer":
        return mark.line, mark.status, mark.among
    sheet, entries = sheet_for(question), read_place(question, mark.line, mark.written)
    against = tuple(
        belief
        for before, after, beliefs in pages_by_belief(question).get(mark.line, ())
        if not entries or not sheet.shows(mark.line, before, after, entries)
        for belief in beliefs
    )
    return (mark.line, AGAINST, against) if against else (mark.line, mark.status, ())


@lru_cache(KEPT_PAGES)
def pages_by_belief(question: Question) -> dict[str, tuple[tuple[AnyPage, AnyPage, tuple[str, ...]], ...]]:
    """Return, by line, the pages around it that holders of each belief write, each with those beliefs."""
    sheet = sheet_for(question)
    base = accepted_methods(question)[0]
    right = {trail.line.name: trail for trail in base.trail(sheet.start, sheet.context)}
    rules_of = {line.name: rules for line, rules in base.written}
    found: dict[str, dict[tuple[AnyPage, AnyPage], list[str]]] = {}
    for belief, method in believing_for(question).methods(base):
        page = sheet.start
        for line, rules in method.written:
            before, usual = page, right.get(line.name)
            if usual is not None and before == usual.before and rules == rules_of[line.name]:
                page = usual.after  # as the right method has it: up to where the belief acts, most lines are
            else:
                page = method.apply(line, page, sheet.context)
            found.setdefault(line.name, {}).setdefault((before, page), []).append(belief)
    return {
        line: tuple((*around, tuple(beliefs)) for around, beliefs in pages.items())
        for line, pages in found.items()
    }


def observe_answer(diagnoser: Diagnoser, number: int, question: Question, text: str) -> list[Seen]:
    """Return what *text* shows, written as the answer; several answers have semicolons between."""
    several = parts_of(question.operation.name, question.course) and text.strip()
    marks = judge_question(question, {}, text).marks if several else ()
    return observe(diagnoser, number, question, {"answer": text}, marks)


def _parts(
    diagnoser: Diagnoser, number: int, question: Question, marks: Collection[LineMark]
) -> Iterable[Seen]:
    """Yield each answer of a question that asks for several."""
    by_line = {mark.line: mark for mark in marks if mark.written}
    for part, lines in parts_of(question.operation.name, question.course).items():
        mark = by_line.get(part)
        if (
            mark is None
            or mark.status == "recovered"
            or not read_answer(question, mark.written, part).readable
        ):
            continue
        item = diagnoser.item(question, _meant(question, part, mark.written))
        if mark.status in AS_GOOD_AS_RIGHT:
            yield Seen(number, item, item.right)
            continue
        # An extreme follows from nothing written before it, so it is told by what it is, as an answer is.
        judged = (
            [] if question.operation.name == "range" else [by_line[line] for line in lines if line in by_line]
        )
        yield Seen(number, item, read_answer(question, mark.written, part).spelling, _judged(judged))


def _meant(question: Question, part: str, text: str) -> str:
    """Return the part that *text* is: a value given as the answer, for what storing costs, is the relative error."""
    if part != "answer":
        return part
    entry = read_answer(question, text).reading
    return (
        part
        if entry is not None and (entry.exponent or entry.word or entry.digits)
        else list(parts_of(question.operation.name, question.course))[-1]
    )


def _judged(marks: Iterable[LineMark]) -> Lines:
    return tuple((mark.line, mark.status, mark.among) for mark in marks)


def observe_parts(
    diagnoser: Diagnoser,
    number: int,
    question: Question,
    sheet: ChainSheet,
    written: Mapping[str, str],
    marks: Collection[LineMark],
) -> list[Seen]:
    """Return each part of *question* as it is observed; none where a result on the way is not written."""
    found: list[Seen] = []
    carried: Any = None
    for stage in range(parts_asked(question)):
        line = result_line(question, stage)
        asked = part_asked(question, stage, carried)
        answer = read_answer(asked, written.get(line, ""))
        if answer.reading is None or not answer.readable:
            return []
        lines = tuple(
            (mark.line, mark.status, mark.among)
            for mark in marks
            if mark.written and mark.line != line and sheet.stage_of(mark.line) == stage
        )
        if is_workable(asked):  # zero is stored by a rule of its own, of which nothing is foretold
            found.append(Seen(number, diagnoser.item(asked), answer.spelling, lines))
        carried = number_written(asked, answer.reading)
        if carried is None or isinstance(
            carried, Word
        ):  # digits too many, or a word: nothing follows from it
            break
    return found

"""What is observed of one question: its answer, or each of several it asks for, with the lines judged.

The extremes of a range, and what storing costs, are answers beside one another. Each is looked at by
itself, from the pupil's own answer before it: what follows rightly from a wrong one is as good as right.
They stay answers to one question, and no belief is named from one question.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from chalkpoint.marking.answer import read_answer, spelling_of
from chalkpoint.marking.chances import Seen
from chalkpoint.marking.diagnosis import Diagnoser, Lines
from chalkpoint.marking.judging import judge_question
from chalkpoint.marking.walk import LineMark
from chalkpoint.working.extremes import EXTREMES
from chalkpoint.working.procedures import parts_of
from chalkpoint.working.question import Question

__all__ = ["observe", "observe_answer"]

AS_GOOD_AS_RIGHT = ("right", "follow-through")


def observe(
    diagnoser: Diagnoser,
    number: int,
    question: Question,
    written: Mapping[str, str],
    marks: Collection[LineMark],
) -> list[Seen]:
    """Return what *written*, by line, shows of how question *number* was worked.

    marks  its lines as they were judged; none where they were not
    """
    if parts_of(question.operation.name):
        return list(_parts(diagnoser, number, question, marks))
    lines: Lines = ()
    if set(written) - {"answer", "decimal"}:
        lines = _judged(mark for mark in marks if mark.written)
    text = written.get("answer", "")
    return [diagnoser.see(number, question, spelling_of(question, text), lines)]


def observe_answer(diagnoser: Diagnoser, number: int, question: Question, text: str) -> list[Seen]:
    """Return what *text* shows, written as the answer; several answers stand parted by semicolons."""
    several = parts_of(question.operation.name) and text.strip()
    marks = judge_question(question, {}, text).marks if several else ()
    return observe(diagnoser, number, question, {"answer": text}, marks)


def _parts(
    diagnoser: Diagnoser, number: int, question: Question, marks: Collection[LineMark]
) -> Iterable[Seen]:
    """Yield each answer of a question that asks for several."""
    by_line = {mark.line: mark for mark in marks if mark.written}
    for part, lines in parts_of(question.operation.name).items():
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
        judged = [] if mark.line in EXTREMES else [by_line[line] for line in lines if line in by_line]
        yield Seen(number, item, read_answer(question, mark.written, part).spelling, _judged(judged))


def _meant(question: Question, part: str, text: str) -> str:
    """Return the part that *text* is: a value given as the answer, for what storing costs, is the relative error."""
    if part != "answer":
        return part
    entry = read_answer(question, text).reading
    return (
        part
        if entry is not None and (entry.exponent or entry.word)
        else list(parts_of(question.operation.name))[-1]
    )


def _judged(marks: Iterable[LineMark]) -> Lines:
    return tuple((mark.line, mark.status, mark.among) for mark in marks)

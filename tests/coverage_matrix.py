"""What every room can do with every operation in every kind of format, found by trying it, for docs/coverage.md.

Run: python tests/coverage_matrix.py > docs/coverage.md
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from functools import cache

import chalkpoint as cp
from chalkpoint.marking.marks import mark_question
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.setter import set_papers
from chalkpoint.teaching.live.room import open_room, open_round
from chalkpoint.teaching.practising.session import begin
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, Question, ask

__all__ = ["ROOMS", "page", "reason"]

#: Kinds of formats, each with the small one that is tried.
KINDS = {
    "8+4": "5+3",
    "8+4 excess-8": "5+3 excess-4",
    "1750A": "1750A-32",
    "C3x": "C3x-16",
    "IEEE": "1+4+3",
    "E4M3": "E4M3",
    "sign and size": "5+3 sign-and-magnitude",
    "8": "5",
    "8 unsigned": "5 unsigned",
    "other codes": "5 ones-complement",
    "Q5.3": "Q3.2",
}
OPERANDS: dict[str, tuple[str, ...]] = {
    "encode": ("1.5",),
    "error": ("1.3",),
    "range": (),
    "add": ("1.5", "1"),
    "subtract": ("1.5", "1"),
    "multiply": ("1.5", "1"),
    "divide": ("1.5", "1"),
    "convert": ("1.5", "8+4"),
    "sum": ("1.5", "1", "0.5"),
    "choose-format": ("-10", "40", "0.25"),
    "explain": ("add", "1.5", "1"),
}
WHOLE_OPERANDS = {"1.5": "3", "0.5": "2", "1.3": "3"}


def question(operation: str, spelling: str) -> tuple[str, ...]:
    """Return operands that a format of this spelling holds."""
    operands = OPERANDS.get(operation, ("1.5",))
    whole = spelling[0].isdigit() and "+" not in spelling
    return tuple(WHOLE_OPERANDS.get(operand, operand) for operand in operands) if whole else operands


@cache
def asked(operation: str, spelling: str) -> Question:
    """Return the question that is tried."""
    return ask(operation, *question(operation, spelling), course=Course(format=spelling))


def worked(operation: str, spelling: str) -> None:
    """Work it."""
    cp.work_question(asked(operation, spelling))


def found(operation: str, spelling: str) -> None:
    """Count its questions."""
    into = ("binary16" if spelling == "8+4" else "8+4") if operation == "convert" else None
    assert cp.find(operation, format=spelling, into=into).count


def set_on_paper(operation: str, spelling: str) -> None:
    """Set it on a paper."""
    operands = ", ".join(f'"{operand}"' for operand in question(operation, spelling))
    given = f"operands = [{operands}]\n" if operands else ""
    if operation == "explain":
        given = 'about = "add"\n'
    text = (
        'title = "Gauge"\nmethods = "list the answers"\naccidental = "needs working"\n'
        f'[course]\nformat = "{spelling}"\n'
        f'[[question]]\noperation = "{operation}"\n{given}'
    )
    set_papers(parse_blueprint(text), variants=1, seed=1)


def judged(operation: str, spelling: str) -> None:
    """Judge its right answer."""
    one = asked(operation, spelling)
    assert cp.judge(one, answer=final_answer(cp.work_question(one))).right


def marked(operation: str, spelling: str) -> None:
    """Mark its right answer."""
    one = asked(operation, spelling)
    operands = list(question(operation, spelling))
    paper = {"variant": 1, "questions": [{"operation": operation, "operands": operands}]}
    papers = papers_from(
        {
            "schema": "chalkpoint.papers/1",
            "title": "Gauge",
            "course": {"format": spelling},
            "papers": [paper],
        }
    )
    marks = mark_question(papers.first.questions[0], {"answer": final_answer(cp.work_question(one))})
    if not marks.marks:
        raise cp.EntryError(f"{operation!r} earns no mark by its answer alone in {spelling}")


def diagnosed(operation: str, spelling: str) -> None:
    """Tell what a wrong answer of it shows."""
    set_papers(
        parse_blueprint(
            f'title = "Gauge"\npurpose = "diagnose"\nmost = 2\n[course]\nformat = "{spelling}"\n'
            f'[[question]]\noperation = "{operation}"\n' + ('to = "8+4"\n' if operation == "convert" else "")
        ),
        variants=1,
        seed=1,
    )


def practised(operation: str, spelling: str) -> None:
    """Begin a practice session of it."""
    begin(operation, course=Course(format=spelling), seed=1)


def taught_live(operation: str, spelling: str) -> None:
    """Open a room on it."""
    line = f"{operation} {', '.join(question(operation, spelling))}"
    open_round(open_room([line], course=Course(format=spelling)))


ROOMS: dict[str, Callable[[str, str], None]] = {
    "Worked": worked,
    "Found": found,
    "Set": set_on_paper,
    "Judged line by line": judged,
    "Marked on paper": marked,
    "Diagnosed": diagnosed,
    "Practised": practised,
    "Taught live": taught_live,
}


#: What a room says where it takes a question and does not take its right answer.
NOT_TAKEN = "a right answer is not taken for right here yet"


def reason(room: str, operation: str, kind: str) -> str:
    """Return the sentence with which *room* refuses *operation* in a format of *kind*; "" where it takes it."""
    spelling = KINDS[kind]
    try:
        ROOMS[room](operation, spelling)
    except cp.EntryError as refusal:
        return _general(str(refusal), operation, kind)
    except AssertionError:
        return NOT_TAKEN
    return ""


def _general(sentence: str, operation: str, kind: str) -> str:
    """Return a refusal without what it says of this question alone: line numbers, operands and spelling."""
    sentence = re.sub(r"^blueprint, line \d+: (?:operands: )?", "", sentence)
    sentence = sentence.replace(f"{operation!r}", "this operation")
    sentence = re.sub(r"^(?:[01]+ ?)+(?= )", "a pattern", sentence)
    spelling = re.escape(KINDS[kind])
    return re.sub(rf"'?(?<![\w.+-]){spelling}(?![\w.+-])'?", "this format", sentence)


def page() -> str:
    """Return docs/coverage.md."""
    kinds = list(KINDS)
    said = [INTRODUCTION]
    for room in ROOMS:
        notes: list[str] = []
        rows = []
        for operation in OPERATIONS:
            cells = []
            for kind in kinds:
                why = reason(room, operation, kind)
                if why and why not in notes:
                    notes.append(why)
                cells.append(f"({notes.index(why) + 1})" if why else "yes")
            rows.append(f"| {operation} | {' | '.join(cells)} |")
        said += [
            f"## {room}",
            "\n".join(
                [f"| | {' | '.join(kinds)} |", f"| --- |{' --- |' * len(kinds)}", *rows],
            ),
        ]
        if notes:
            said.append("\n".join(f"{number}. {note}" for number, note in enumerate(notes, 1)))
    return "\n\n".join(said) + "\n"


INTRODUCTION = """# What is worked, found, set, judged, marked, diagnosed, practised and taught, in which formats

Made by trying each (`python tests/coverage_matrix.py > docs/coverage.md`) and held by a test, so that it cannot say
more, or less, than is so. "yes", or the number of the reason, which is what the command says when asked.

Kinds of formats, by what distinguishes them: the school's (8+4), its exponent in excess (8+4 excess-8),
MIL-STD-1750A, TMS320C3x, IEEE 754 and its small relatives (IEEE), OCP E4M3, a sign and a size with a two's complement
exponent (sign and size), whole numbers in two's complement (8), unsigned (8 unsigned) and in ones' complement, sign
and magnitude or excess (other codes), and fixed point (Q5.3)."""


if __name__ == "__main__":
    sys.stdout.write(page())

"""What to ask next where a line has several explanations: the line of working that would tell them apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from chalkpoint.marking.asking import expected_falls, question_pool
from chalkpoint.marking.judging import accepted_methods, read_lines, sheet_for
from chalkpoint.marking.lines_ahead import ANSWER
from chalkpoint.marking.walk import walk
from chalkpoint.marking.ways import WORKABLE, Way
from chalkpoint.teaching.judged import Thought
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.page import AnyPage
from chalkpoint.working.procedures import method_named
from chalkpoint.working.question import Question, ask_line

__all__ = ["ask_to_see"]


@lru_cache(1024)
def ask_to_see(
    course: Course, asked: str, kept: tuple[tuple[str, str], ...], rule: str, thoughts: tuple[Thought, ...]
) -> str:
    """Return one sentence on what would tell *thoughts* apart, all of which write the same on the line *rule*.

    An earlier line of working, not on the board yet, is asked for first; else another question.

    >>> from chalkpoint.teaching.judged import judge_line
    >>> several = judge_line(Course(), "subtract 8.875, 3.6875", (), "answer", "0.1010010 0011")
    >>> ask_to_see(Course(), "subtract 8.875, 3.6875", (), "answer", several.thoughts)
    'Ask to see the align line.'
    """
    question = ask_line(asked, course=course)
    if question.operation.name == "range":  # no end leads to another, and a format has one range
        return ""
    ways = dict(_ways(question, thoughts))
    if len(ways) < 2:
        return ""
    line = _telling_line(question, dict(kept), rule, list(ways.values()))
    return f"Ask to see the {line} line." if line else _telling_question(question, thoughts)


def _ways(question: Question, thoughts: Sequence[Thought]) -> Iterator[tuple[str, Method]]:
    """Yield each explanation that is a method of its own."""
    operation, base = question.operation.name, accepted_methods(question)[0]
    for thought in thoughts:
        if thought.kind == "belief":
            method = BELIEFS[thought.name].method_for(operation, base, family_of(question.format))
            if method is not None:
                yield thought.name, method
        elif thought.kind == "method" and operation in {"add", "subtract"}:
            yield thought.name, method_named(question, thought.name)


def _telling_line(question: Question, kept: Mapping[str, str], rule: str, ways: Sequence[Method]) -> str:
    """Return the line, before *rule*, that the most of *ways* write differently; "" where none tells them apart."""
    seen: dict[str, list[str]] = {}
    for way in ways:
        for line, written in _written(question, kept, rule, way):
            seen.setdefault(line, []).append(written)
    apart = {line: len(set(written)) for line, written in seen.items() if len(written) == len(ways)}
    best = max(apart.values(), default=1)
    return next((line for line, count in apart.items() if count == best), "") if best > 1 else ""


def _written(
    question: Question, kept: Mapping[str, str], rule: str, way: Method
) -> Iterator[tuple[str, str]]:
    """Yield (line, what *way* writes there) for the lines after those kept and before *rule*."""
    sheet = sheet_for(question)
    written = read_lines(question, sheet, kept)
    lines = sheet.lines(way)
    page: AnyPage = walk(sheet, accepted_methods(question)[0], written).page
    last = max((at for at, line in enumerate(lines) if line.name in written), default=-1)
    for line in lines[last + 1 :]:
        if line.name in {rule, ANSWER}:
            return
        before, page = page, way.apply(line, page, sheet.context)
        if line.slots and line.name != "read":
            yield line.name, sheet.says(line.name, before, page)


def _telling_question(question: Question, thoughts: Sequence[Thought]) -> str:
    """Return the sentence that offers another question, whose answers differ."""
    operation, course = question.operation.name, question.course
    if operation not in WORKABLE:
        return ""
    likely = {
        Way("", (thought.name,)) if thought.kind == "belief" else Way(thought.name): 1 / len(thoughts)
        for thought in thoughts
        if thought.kind in {"belief", "method"}
    }
    pool = question_pool(course, frozenset({operation}))
    falls = [(round(fall, 6), -at) for at, fall in enumerate(expected_falls(pool, likely))]
    fall, at = max(falls, default=(0, 0))
    if not fall:
        return ""
    return f"No line here tells them apart; {operation} {', '.join(pool[-at].operands)} would."

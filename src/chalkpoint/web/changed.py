"""A written line changed on the page of a working: where it leads, by the same rules, and what can be said of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chalkpoint.marking.lines_ahead import Onward
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.teaching.board import Kept, left_to_write, question_on
from chalkpoint.teaching.judged import Judged, judge_line
from chalkpoint.teaching.lines import read_line
from chalkpoint.working.question import Question

__all__ = ["Changed", "Row", "change_lines", "line_of"]

MOST_LINES = 12


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the changed working.

    expects  what the rules write there from the line before
    written  what is written there
    judged   what can be said of a line that was changed; None for one the rules wrote
    """

    rule: str
    title: str
    detail: str
    expects: str
    written: str
    judged: Judged | None = None


@dataclass(frozen=True, slots=True)
class Changed:
    """A working with lines of one's own.

    rules  (rule, title) of every line that can be changed
    rows   every line, in order; none where nothing is changed
    """

    rules: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]


def line_of(question: Question) -> str:
    """Return *question* on one line, as it is asked.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> line_of(ask("add", "1.5", "2.5", course=Course()))
    'add 01100000 0001, 01010000 0010'
    """
    return f"{question.operation.name} {', '.join(question.operands)}"


def change_lines(question: Question, changes: Sequence[str]) -> Changed:
    """Return the working of *question* with lines changed, each written on from the one before it.

    changes  such as "align:00011100", each the name of a line and what is written there

    Raises EntryError for a question that is not judged line by line, or a line it has not.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> question = ask("subtract", "8.875", "3.6875", course=Course())
    >>> rows = change_lines(question, ["negate:11100010"]).rows
    >>> [(row.rule, row.expects, row.written) for row in rows if row.judged]
    [('negate', '1.1100011 × 2^4', '1.1100010')]
    """
    asked, course = line_of(question), question.course
    plain = left_to_write(course, asked, ())
    wanted = _wanted(changes, [line.rule for line in plain])
    kept: list[Kept] = []
    rows: list[Row] = []
    while wanted and (left := left_to_write(course, asked, kept)):
        row = _row(left[0], question, kept, wanted)
        rows.append(row)
        kept.append(Kept(row.rule, row.title, row.written, row.judged.kind if row.judged else "right"))
    return Changed(tuple((line.rule, line.title) for line in plain), tuple(rows))


def _row(line: Onward, question: Question, kept: Sequence[Kept], wanted: dict[str, str]) -> Row:
    if line.rule not in wanted:
        return Row(line.rule, line.title, line.detail, line.expects, line.expects)
    course, asked = question.course, line_of(question)
    read = read_line(question_on(course, asked), line.rule, wanted[line.rule], own=line.expects)
    before = tuple((one.rule, one.written) for one in kept)
    judged = judge_line(course, asked, before, line.rule, read.spelling)
    return Row(line.rule, line.title, line.detail, line.expects, read.spelling, judged)


def _wanted(changes: Sequence[str], rules: Sequence[str]) -> dict[str, str]:
    if len(changes) > MOST_LINES:
        raise EntryError(f"{len(changes)} lines are changed at once; change up to {MOST_LINES}")
    wanted = {}
    for change in changes:
        rule, colon, written = change.partition(":")
        if not colon or rule.strip() not in rules:
            raise EntryError(
                f"{rule.strip()!r} is not a line of this working; {near_misses(rule.strip(), rules)}"
            )
        if written.strip():
            wanted[rule.strip()] = written.strip()
    return wanted

"""A pupil's page: each question again with what was written above what is right, what was good, one thing to try.

What goes into which row is decided here, once for the page in a browser and the printed one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from importlib.resources import files

from markupsafe import Markup  # jinja2 brings it

from chalkpoint.marking.feedback import LineFeedback, QuestionFeedback, feedback
from chalkpoint.marking.students import Entry
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.classes.written import WrittenRows, ringed, rows_of, unmarked
from chalkpoint.publishing.html import drawing, rails_sheet, templates
from chalkpoint.publishing.parts import Rail
from chalkpoint.publishing.scene import scene
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.papers import Papers
from chalkpoint.working.question import Question
from chalkpoint.working.wording.heading import heading

__all__ = ["PupilRow", "columns_of", "empty_answer", "rows_for", "student_page"]

LABELS = {"decimal": "value", "answer": "answer"}
KEPT_FRESH = 64  # fresh questions that are kept drawn
LONGEST_TEXT = 60  # characters of what is no row of bits


@dataclass(frozen=True, slots=True)
class PupilRow:
    """One row of a question: what was given, written, or is right.

    kind   "given", "theirs" or "right"
    rail   its bits; None where *text* is given
    mark   the marks beside it, as "1 of 2"; "" where it has none
    tick   whether it is right, by itself or from the line before
    """

    kind: str
    label: str
    rail: Rail | None
    text: str = ""
    mark: str = ""
    tick: bool = False


def rows_for(told: QuestionFeedback) -> list[PupilRow]:
    """Return the rows of a question: of one with every mark only the answer."""
    rows = rows_of(told.question, only_answer=told.is_full)
    if told.is_full:
        answer = [line for line in told.lines if line.name == "answer"] or list(told.lines[-1:])
        return [_theirs(rows, line, told, label="") for line in answer]
    found = list(_given(rows, told))
    for line in told.lines:
        found.append(_theirs(rows, line, told))
        if line.is_wrong and (line.name in {told.first, "answer"}):
            found += _right(rows, line)
    answered = any(line.name == "answer" for line in told.lines)
    if not answered and told.question.operation.name not in {"range", "explain"}:
        found.append(_expected(rows, "answer", final_answer(rows.working)))
    return found


def _given(rows: WrittenRows, told: QuestionFeedback) -> Iterator[PupilRow]:
    """Yield the pattern that a question on one pattern gives: those of two are said in its words."""
    if len(rows.given) == 1:
        yield PupilRow("given", "given", replace(rows.given[0], value="", note="", soft=True))


def _theirs(
    rows: WrittenRows, line: LineFeedback, told: QuestionFeedback, label: str | None = None
) -> PupilRow:
    rail = rows.written(line.name, line.text)
    if rail is not None:
        cells = ringed(rail)
        is_first = line.name == told.first and line.is_wrong
        rail = cells if is_first else _plain(rail)
    mark = f"{line.marks} of {line.of}" if line.of and label is None else ""
    name = LABELS.get(line.name, line.name) if label is None else label
    text = line.text if len(line.text) <= LONGEST_TEXT else f"{line.text[:LONGEST_TEXT]}\u2026"
    return PupilRow("theirs", name, rail, text, mark, tick=line.is_well or told.is_full)


def _plain(rail: Rail) -> Rail:
    """Return *rail* with no bit marked."""
    cells, exponent, sign = map(unmarked, (rail.cells, rail.exponent, rail.sign))
    return replace(rail, cells=cells, exponent=exponent, sign=sign, exponent_moved=False)


def _right(rows: WrittenRows, line: LineFeedback) -> list[PupilRow]:
    return [_expected(rows, line.name, line.expects)] if line.expects else []


def _expected(rows: WrittenRows, name: str, expects: str) -> PupilRow:
    is_bits = len(expects) > 1 and not set(expects) - set("01. ")  # a range may be asked for by its values
    in_parts = (
        rows.question.operation.name == "range" and is_bits
    )  # a point's mark is for one field of the row
    rail = rows.expected(name) if in_parts else rows.written(name, expects)
    return PupilRow("right", "right", replace(_plain(rail), soft=True) if rail else None, expects)


def columns_of(rows: list[PupilRow]) -> tuple[int, int]:
    """Return the first and the last column that rows take; (0, -1) where none is drawn."""
    taken = [cell.column for row in rows if row.rail for cell in row.rail.cells]
    return min(taken, default=0), max(taken, default=-1)


def empty_answer(question: Question, line: str = "answer") -> Rail | None:
    """Return the row that the answer to *question* is written in, its boxes empty; None where a line is enough."""
    rail = rows_of(question).expected(line)
    if rail is None:
        return None
    empty = [
        tuple(replace(cell, digit="") for cell in field) for field in (rail.cells, rail.exponent, rail.sign)
    ]
    return replace(
        rail, label="you", cells=empty[0], exponent=empty[1], sign=empty[2], words="boxes for the answer"
    )


def student_page(entry: Entry, papers: Papers) -> str:
    """Return the page a pupil is given, complete in itself: legible on a phone, and it prints."""
    told = feedback(entry, papers)
    fresh = _fresh(told.fresh) if told.fresh else None
    page = templates().get_template("student.html.jinja")
    return page.render(
        told=told,
        styles=Markup(rails_sheet() + _sheet()) + (fresh["styles"] if fresh else ""),  # noqa: S704 - our own files
        questions=[(one, list(_drawn(one))) for one in told.questions],
        heading=heading,
        fresh=fresh,
    )


def _drawn(told: QuestionFeedback) -> Iterator[tuple[PupilRow, Markup | None]]:
    """Yield the rows of a question, drawn on columns of their own."""
    found, drawer = rows_for(told), rows_of(told.question, only_answer=told.is_full)
    start, _ = columns_of(found)
    for row in found:
        yield row, drawer.markup(row.rail, start=start) if row.rail else None


@lru_cache(KEPT_FRESH)
def _fresh(question: Question) -> JsonObject:
    """Return a fresh question drawn with its working: several pupils may be given the same one."""
    rows = rows_of(question)
    drawn = drawing(scene(rows.working), tag="h3")
    empty = empty_answer(question)
    return {
        "words": heading(question),
        "given": [rows.markup(rail) for rail in rows.given],
        "boxes": rows.markup(empty) if empty else None,
        "working": drawn.markup,
        "styles": drawn.styles,
        "answer": final_answer(rows.working),
    }


@cache
def _sheet() -> str:
    return files("chalkpoint.publishing").joinpath("templates", "student.css").read_text(encoding="utf-8")

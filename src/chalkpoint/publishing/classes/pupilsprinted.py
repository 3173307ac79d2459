"""The pupils' pages as one PDF: the rows of `pupils`, set by typst; ten questions take two sides of A4 at most."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from importlib.resources import files
from typing import TypeAlias

from chalkpoint.marking.feedback import QuestionFeedback, feedback
from chalkpoint.marking.students import Entry
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.classes.pupils import PupilRow, columns_of, empty_answer, rows_for
from chalkpoint.publishing.classes.written import rows_of
from chalkpoint.publishing.typst.compiling import compile_pdf
from chalkpoint.publishing.typst.literals import Length, literal
from chalkpoint.publishing.typst.rows import MEASURES, RowBuilder, pieces
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.papers import Papers
from chalkpoint.setting.points import text_of, written_row
from chalkpoint.working.question import Question
from chalkpoint.working.wording.heading import heading

__all__ = ["students_pdf"]

USUAL = 12.75  # u, the rails of 8+4: a line of text takes as much where a question has no rails
LABEL_CHARACTER, LABEL_ROOM, LEAST_LABELS = 1.85, 2.5, 16.0  # mm
LONGEST_TITLE = 62  # characters of a question that takes one line

Data: TypeAlias = JsonObject


def students_pdf(entries: Sequence[Entry], papers: Papers, *, paper: str = "a4") -> bytes:
    """Return the pupils' pages as one tagged PDF, each pupil beginning a side."""
    pupils = [_pupil(entry, papers) for entry in entries]
    title = papers.title or papers.course.name or "Your paper"
    folder = files("chalkpoint.publishing") / "classes"
    template = "\n".join((folder / name).read_text(encoding="utf-8") for name in ("class.typ", "pupils.typ"))
    given = ", ".join(literal(one) for one in (title, pupils, MEASURES, paper))
    return compile_pdf(f"{template}\n#pupil-pages({given})\n")


def _pupil(entry: Entry, papers: Papers) -> Data:
    told = feedback(entry, papers)
    return {
        "student": told.student,
        "title": told.title,
        "marks": str(told.marks),
        "of": str(told.of),
        "good": list(told.good),
        "try": pieces(f"{told.to_try} {told.look}".rstrip()),
        "test": f"Ask yourself: {told.test}" if told.test else "",
        "questions": [_question(one) for one in told.questions],
        "fresh": _fresh(told.fresh) if told.fresh else None,
    }


def _question(told: QuestionFeedback) -> Data:
    rows = rows_for(told)
    row_builder = _row_builder(told.question, rows)
    shown = heading(told.question) if told.is_full else told.words
    if told.is_full and len(shown) > LONGEST_TITLE:
        shown = f"{shown[:LONGEST_TITLE]}\u2026"
    return {
        "number": str(told.number),
        "words": pieces(shown),
        "full": told.is_full,
        "marks": str(told.marks),
        "of": str(told.of),
        "sentence": pieces(told.sentence),
        "rows": [_row(row, row_builder) for row in (rows[:1] if told.is_full else rows)],
        "wide": row_builder.grid.width if any(row.rail for row in rows) else USUAL,
        "labels": _labels(rows),
        "alt": " ".join(_said(row) for row in rows) or "nothing written",
    }


def _said(row: PupilRow) -> str:
    return f"{row.label} {row.rail.words if row.rail else row.text or 'nothing'}.".strip()


def _row_builder(question: Question, rows: list[PupilRow]) -> RowBuilder:
    """Return what places rows on the columns that they take, and no others."""
    first, last = columns_of(rows)
    return RowBuilder(replace(rows_of(question).scene, first=first, last=max(first, last)), labels=0)


def _labels(rows: list[PupilRow]) -> Length:
    return Length(max([LEAST_LABELS, *(LABEL_CHARACTER * len(row.label) + LABEL_ROOM for row in rows)]))


def _row(row: PupilRow, row_builder: RowBuilder) -> Data:
    return {
        "kind": row.kind,
        "label": row.label,
        "gap": 0.12 if row.kind == "right" else 0.3,
        "rail": row_builder.rows([replace(row.rail, label="")])[0] if row.rail else None,
        "text": row.text or "not written",
        "mark": row.mark,
        "tick": row.tick,
    }


def _fresh(question: Question) -> Data:
    rows = rows_of(question)
    empty = empty_answer(question)
    given = [
        PupilRow("given", "given" if at == 0 else "and", replace(rail, value="", note=""))
        for at, rail in enumerate(rows.given)
    ]
    boxes = [PupilRow("theirs", "you", empty)] if empty else []
    row_builder = _row_builder(question, given + boxes)
    lines = {step.rule: written_row(rows.working, step.rule) for step in rows.working.steps[1:]}
    said = [f"{rule} {text_of(row, question.format)}" for rule, row in lines.items() if row]
    return {
        "words": pieces(heading(question)),
        "given": [_row(row, row_builder) for row in given],
        "boxes": [_row(row, row_builder) for row in boxes],
        "wide": row_builder.grid.width,
        "labels": _labels(given),
        "alt": "boxes for the answer",
        "working": pieces("; ".join([*said[:4], f"answer {final_answer(rows.working)}"])),
    }

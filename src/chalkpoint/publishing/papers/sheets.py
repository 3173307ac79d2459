"""Sheets for marking: the key, and a template that answers are typed into, as text cells throughout.

A sheet program reads 0101 as the number 101 and 0.1 as a decimal: so every cell is text, in the cells
that are still empty too.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from chalkpoint.marking.cells import tame
from chalkpoint.publishing.papers.schemes import answer_of, answers_of
from chalkpoint.publishing.xlsxbook import write_book
from chalkpoint.setting.papers import Item, SetPapers

__all__ = ["answers_xlsx", "key_csv", "key_xlsx"]

ANSWERS = ("student", "variant", "question", "line", "written")
KEY = (
    "variant",
    "code",
    "question",
    "operation",
    "format",
    "first",
    "second",
    "marks",
    "answer",
    "also right",
)

Rows = list[tuple[str, ...]]


def key_rows(papers: SetPapers) -> Rows:
    """Return the key, a row a question."""
    rows: Rows = [KEY]
    for paper in papers:
        for item in paper.questions:
            question = item.question
            first, *more = [*question.operands, ""]
            operands = first, "; ".join(filter(None, more))
            rows.append(
                (
                    str(paper.variant),
                    paper.code,
                    str(item.number),
                    question.operation.name,
                    str(question.format),
                    *operands,
                    str(item.scheme.total),
                    answer_of(item),
                    "; ".join(answers_of(item)[1:]),
                )
            )
    return rows


def answer_rows(papers: SetPapers) -> Rows:
    """Return the template: a row for each line of each question, its last cell to be written in."""
    rows: Rows = [ANSWERS]
    for paper in papers:
        for item in paper.questions:
            rows += [("", str(paper.variant), str(item.number), line, "") for line in lines_asked(item)]
    return rows


def lines_asked(item: Item) -> list[str]:
    """Return the lines an item's answers have, each once, `answer` last."""
    named = dict.fromkeys(mark.rule for mark in item.scheme.marks if mark.rule != "answer")
    has_answer = any(mark.rule == "answer" for mark in item.scheme.marks)
    return [*named, "answer"] if has_answer else [*named]


def key_csv(papers: SetPapers) -> bytes:
    """Return the key as comma-separated text, with a mark that tells a sheet program it is UTF-8."""
    kept = io.StringIO(newline="")
    csv.writer(kept).writerows([tame(cell) for cell in row] for row in key_rows(papers))
    return kept.getvalue().encode("utf-8-sig")


def key_xlsx(papers: SetPapers) -> bytes:
    """Return the key as a workbook."""
    return _workbook("key", key_rows(papers), (9, 10, 10, 12, 9, 18, 18, 8, 24, 24), papers.blueprint.title)


def answers_xlsx(papers: SetPapers) -> bytes:
    """Return the template for answers as a workbook."""
    return _workbook("answers", answer_rows(papers), (24, 9, 10, 22, 28), papers.blueprint.title)


def _workbook(name: str, rows: Rows, widths: Sequence[int], title: str) -> bytes:
    kept = io.BytesIO()
    write_book(kept, name, rows, title=title, widths=widths, as_text=True)
    return kept.getvalue()

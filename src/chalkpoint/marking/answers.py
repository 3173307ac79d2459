"""Answers as a class types them: tables, long or wide, turned into one script a pupil, one at a time.

A long table has one row a line of working; a wide one has one row a pupil and one column a question.
A class's table is read whole, and a pupil's rows may be anywhere in it; a board's is read a pupil
at a time, and they are together. What cannot be read is named by row and column and left to the
teacher, and nothing else is lost.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import lru_cache, partial
from typing import TypeAlias

from chalkpoint.marking.answerfiles import Cell, Row
from chalkpoint.marking.cells import SHOWN, Trouble, cell_text, column_name, untame
from chalkpoint.marking.judging import ALIASES, is_followed, known_lines, sheet_for
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.setting.papers import Asked, Papers

__all__ = ["Script", "scripts", "whole_scripts"]

COLUMNS = {
    "student": ("student", "pupil", "name", "id", "candidate"),
    "variant": ("variant", "paper"),
    "question": ("question", "q", "item"),
    "line": ("line", "rule", "step"),
    "written": ("written", "answer", "response", "text"),
}
KEPT_LINES = 1024  # questions whose names of lines are kept
REMEMBERED = 10_000  # pupils, the first: enough to see that a table is sorted by something else
LONGEST_NUMBER = 9  # digits of a question or a variant
WIDE = re.compile(r"(?:question|q)?\s*(\d{1,9})(?:[\s._-]+([a-z][a-z ]*))?", re.IGNORECASE)


@dataclass(slots=True)
class Script:
    """What one pupil wrote.

    student  a name or a number: anything that tells pupils apart
    variant  which paper
    written  by question, by line, what is written
    troubles cells that were repaired or could not be read
    """

    student: str
    variant: int
    written: dict[int, dict[str, str]] = field(default_factory=dict)
    troubles: list[Trouble] = field(default_factory=list)


def scripts(rows: Iterable[Row], papers: Papers) -> Iterator[Script]:
    """Yield one script a pupil, in the order of *rows*, holding no more than one at a time.

    Raises EntryError where rows of one pupil name two variants, or are not together: they would make two scripts.
    The latter is noticed of the first pupils, as in a table sorted by question: memory does not grow with the rest.

    >>> from chalkpoint.setting.paperfile import papers_from
    >>> papers = papers_from({"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]})
    >>> [script.written for script in scripts([["student", "1"], ["Odo", "0.1010011 0011"]], papers)]
    [{1: {'answer': '0.1010011 0011'}}]
    """
    script: Script | None = None
    met: set[str] = set()
    for student, variant, more in _entries(rows, papers):
        if script is None or script.student != student:
            if script is not None:
                yield script
                if student in met:
                    raise EntryError(
                        f"rows of {student!r} stand apart; sort the table by pupil: so large a one is read a pupil "
                        "at a time"
                    )
            if len(met) < REMEMBERED:
                met.add(student)
            script = Script(student, variant or papers.first.variant)
        _check_variant(script, variant)
        more(script)
    if script is not None:
        yield script


def whole_scripts(rows: Iterable[Row], papers: Papers) -> list[Script]:
    """Return one script a pupil, wherever the pupil's rows are; all of them are held at once.

    Raises EntryError where rows of one pupil name two variants.
    """
    found: dict[str, Script] = {}
    for student, variant, more in _entries(rows, papers):
        script = found.setdefault(student, Script(student, variant or papers.first.variant))
        _check_variant(script, variant)
        more(script)
    return list(found.values())


def _check_variant(script: Script, variant: int) -> None:
    if variant and variant != script.variant:
        raise EntryError(
            f"rows of {script.student!r} are on variant {script.variant} and on variant {variant}; "
            "a pupil sits one: write it in every row, or give two pupils two codes"
        )


def _entries(rows: Iterable[Row], papers: Papers) -> Iterator[Entry]:
    """Yield whose each row is, on which variant (0 where it does not say), and what puts it on a script."""
    numbered = enumerate(rows, start=1)
    heads = next((row for _, row in numbered if any(str(cell or "").strip() for cell in row)), ())
    columns = _long_columns(heads)
    if {"student", "question", "written"} <= set(columns):
        return _long(numbered, heads, columns, papers)
    return _wide(numbered, heads, columns, papers)


def _long_columns(heads: Row) -> dict[str, int]:
    """Return the place of each column of a long table."""
    names = [str(head or "").strip().lower() for head in heads]
    found = {}
    for column, words in COLUMNS.items():
        place = next((at for at, name in enumerate(names) if name in words), None)
        if place is not None:
            found[column] = place
    return found


Put: TypeAlias = Callable[[Script], None]
Entry: TypeAlias = tuple[str, int, Put]


class Unread:
    """Columns whose heads say nothing to the reader: each is named once, at the first cell that it has.

    known  returns the heads that would be read
    """

    def __init__(self, heads: Row, taken: Iterable[int], known: Callable[[], list[str]]) -> None:
        read = set(taken)
        self.known = known
        self.heads = {at: _plain(head) for at, head in enumerate(heads) if at not in read}

    def name(self, number: int, row: Row, script: Script) -> None:
        """Name those that have their first cell in this row."""
        for at in [at for at in self.heads if at < len(row) and _plain(row[at])]:
            head, known = self.heads.pop(at), self.known()
            near = near_misses(head.lower(), known if get_close_matches(head.lower(), known) else known[:5])
            why = (
                f"stands under {head!r}, which is no head that is read, so nothing in this column is; {near}"
            )
            place = f"row {number}, column {column_name(at)}"
            script.troubles.append(Trouble(place, _plain(row[at])[:SHOWN], why))


def _long(
    numbered: Iterable[tuple[int, Row]], heads: Row, columns: Mapping[str, int], papers: Papers
) -> Iterator[Entry]:
    unread = Unread(heads, columns.values(), lambda: list(COLUMNS))
    for number, row in numbered:
        cells = {name: row[at] if at < len(row) else "" for name, at in columns.items()}
        if not any(str(cell or "").strip() for cell in cells.values()):
            continue
        student, variant, add = _long_entry(number, cells, columns, papers)
        yield student, variant, _both(add, partial(unread.name, number, row))


def _both(first: Put, second: Put) -> Put:
    def put(script: Script) -> None:
        first(script)
        second(script)

    return put


def _long_entry(number: int, cells: dict[str, Cell], columns: Mapping[str, int], papers: Papers) -> Entry:
    student = _pupil(cells["student"], number, columns["student"])
    variant = _whole(cells.get("variant")) or 0

    def add(script: Script) -> None:
        question = _whole(cells["question"])
        line = _plain(cells.get("line")).lower() or "answer"
        place = f"row {number}, column {column_name(columns['written'])}"
        _put(script, papers, Placed(question, line, cells["written"], place, _plain(cells["question"])))

    return student, variant, add


def _wide(
    numbered: Iterable[tuple[int, Row]], heads: Row, columns: Mapping[str, int], papers: Papers
) -> Iterator[Entry]:
    asked = {}
    for at, head in enumerate(heads):
        match = WIDE.fullmatch(_plain(head))
        if match and at not in columns.values():
            asked[at] = (int(match[1]), (match[2] or "answer").lower())
    if not asked or "student" not in columns:
        raise EntryError(
            "the answers have no heads that can be used: a long table has student, question, line and written; "
            "a wide one has student and a column for each question, headed 1, 2, 3"
        )
    unread = Unread(heads, {*columns.values(), *asked}, lambda: _wide_heads(papers))
    for number, row in numbered:
        if any(str(cell or "").strip() for cell in row):
            student, variant, add = _wide_entry(number, row, asked, columns, papers)
            yield student, variant, _both(add, partial(unread.name, number, row))


def _wide_heads(papers: Papers) -> list[str]:
    """Return the heads of a wide table of *papers*, the usual ones first."""
    asked = papers.first.questions
    lines = [f"{one.number} {line}" for one in asked for line in sorted(_lines_of(one))]
    return ["student", "variant", *(str(one.number) for one in asked), *lines]


def _wide_entry(
    number: int, row: Row, asked: Mapping[int, tuple[int, str]], columns: Mapping[str, int], papers: Papers
) -> Entry:
    own = columns["student"]
    student = _pupil(row[own] if own < len(row) else "", number, own)
    at = columns.get("variant")
    variant = _whole(row[at]) or 0 if at is not None and at < len(row) else 0

    def add(script: Script) -> None:
        for place, (question, line) in asked.items():
            if place < len(row):
                where = f"row {number}, column {column_name(place)}"
                _put(script, papers, Placed(question, line, row[place], where, str(question)))

    return student, variant, add


@dataclass(frozen=True, slots=True)
class Placed:
    """A cell and where it belongs: its question (None where it cannot be read), line and place in the table."""

    question: int | None
    line: str
    cell: Cell
    place: str
    said: str


def _put(script: Script, papers: Papers, placed: Placed) -> None:
    """Put one cell in its place on the script, or say why it has none."""
    written = _plain(placed.cell)
    paper = papers.variants.get(script.variant)
    asked = None
    if paper is not None:
        asked = next((one for one in paper.questions if one.number == placed.question), None)
    if written == "":
        return
    if asked is None:
        first, last = min(papers.variants), max(papers.variants)
        why = f"there is no question {placed.said!r} on variant {script.variant}"
        if paper is None:
            why = f"there is no variant {script.variant}; they are {first} to {last}"
        _name(script, Trouble(placed.place, written, why))
        return
    line = placed.line.replace("-", " ").replace("_", " ")
    if line not in _lines_of(asked):
        near = near_misses(line, sorted(_lines_of(asked)))
        why = f"stands under {line!r}, which is no line of question {asked.number}; {near}"
        _name(script, Trouble(placed.place, written, why))
        return
    text, trouble = cell_text(placed.cell, asked.question, line, placed.place)
    if trouble is not None:
        script.troubles.append(trouble)
    if text:
        lines = script.written.setdefault(asked.number, {})
        before = lines.get(line, text)
        if before != text:
            why = f"comes after {before!r}: a line written twice, or one code for two pupils? The later one is marked"
            script.troubles.append(Trouble(placed.place, text, why))
        lines[line] = text


@lru_cache(KEPT_LINES)
def _lines_of(asked: Asked) -> frozenset[str]:
    """Return the names under which something may be written to *asked*."""
    names = {"answer", "decimal", *(point.rule for point in asked.points)}
    if is_followed(asked.question) and asked.question.operation.name != "range":
        names |= {*known_lines(asked.question, sheet_for(asked.question)), *ALIASES}
    return frozenset(names)


def _name(script: Script, trouble: Trouble) -> None:
    """Name a cell that has no place; cells of one row with the same fault are named together."""
    row, _, column = trouble.place.rpartition(", column ")
    last = script.troubles[-1] if script.troubles else None
    if last is None or last.what != trouble.what or last.place.rpartition(", column ")[0] != row:
        script.troubles.append(trouble)
        return
    together = Trouble(f"{last.place}, {column}", f"{last.written}, {trouble.written}", trouble.what)
    script.troubles[-1] = together


def _plain(cell: Cell) -> str:
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return "" if cell is None else untame(str(cell).strip())


def _whole(cell: Cell) -> int | None:
    text = _plain(cell).lower().removeprefix("question").removeprefix("q").removeprefix("variant").strip()
    return int(text) if text.isdecimal() and len(text) <= LONGEST_NUMBER else None


def _pupil(cell: Cell, row: int, column: int) -> str:
    """Return whose row it is; answers that are nobody's would be lost."""
    code = _plain(cell)
    if not code:
        raise EntryError(
            f"row {row} has answers and no pupil; write the pupil's code in column {column_name(column)}, "
            "or take the row out"
        )
    return code

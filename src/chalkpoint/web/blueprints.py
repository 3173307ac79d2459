"""A blueprint as a form: its entries read into the blueprint's own text, and that text read back into entries."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence

from chalkpoint.numbers.datafiles import JsonMapping, JsonObject, load_toml
from chalkpoint.numbers.writingtoml import write_toml
from chalkpoint.setting.alike import course_table
from chalkpoint.setting.asking import ASKED_KEYS, BLUEPRINT_KEYS, DEMANDS, PRINT_KEYS
from chalkpoint.web.conditions import condition
from chalkpoint.web.forms import Form
from chalkpoint.working.course import Course

__all__ = ["blueprint_of_questions", "changed_by", "rows_of", "text_of_form", "unread"]

ROW = tuple(key for key in ASKED_KEYS if key != "context")  # what each question's row of the form asks
LISTS = ("where", "operands")


def text_of_form(form: Form, course: JsonMapping) -> str:
    """Return the blueprint that the form describes; rows without an operation are left out.

    course  the conventions, as the blueprint writes them
    """
    top = {key: _plain(key, form.text(key)) for key in BLUEPRINT_KEYS if form.text(key)}
    printed = {
        key: True if one.kind is bool else form.text(key) for key, one in PRINT_KEYS.items() if form.text(key)
    }
    return write_toml(top | {"course": course, "print": printed, "question": _rows(form)})


def _rows(form: Form) -> list[JsonObject]:
    columns = {key: form.texts(f"q-{key}") for key in ROW}
    context = form.texts("q-context")  # numbers of the rows that are ticked
    rows = []
    for at, operation in enumerate(columns["operation"]):
        if operation:
            row = {
                key: _cell(key, column[at])
                for key, column in columns.items()
                if at < len(column) and column[at]
            }
            lines = _lines(form, at, operation)
            if lines:
                row["where"] = [*_parted(form.texts("q-where")[at : at + 1]), *lines]
            rows.append(row | ({"context": True} if str(at) in context else {}))
    return rows


def _lines(form: Form, at: int, operation: str) -> list[str]:
    """Return the conditions of the question in row *at*: its lines as they are set, and the one that is added."""
    names, comparisons, values = (form.texts(f"c{at}-{part}") for part in ("trait", "is", "value"))
    lines = [text for text in form.texts(f"c{at}-where") if text]
    lines += [
        condition(operation, name, comparison, value)
        for name, comparison, value in zip(names, comparisons, values, strict=False)
        if name
    ]
    return list(dict.fromkeys(lines))


def _cell(key: str, text: str) -> object:
    if key in LISTS:
        return _parted([text])
    return _plain(key, text)


def _parted(texts: Sequence[str]) -> list[str]:
    """Split each text at semicolons and at "and"."""
    return [part.strip() for text in texts for part in text.replace(" and ", ";").split(";") if part.strip()]


def _plain(key: str, text: str) -> object:
    """Return *text* as the key takes it; a number that is none is left as it is, for the reader to refuse."""
    is_number = (BLUEPRINT_KEYS | ASKED_KEYS)[key].kind is int
    return int(text) if is_number and text.isascii() and text.isdigit() else text


def unread(text: str) -> JsonObject:
    """Return the tables of a blueprint's text, as the form shows them; none of one that is not TOML.

    >>> unread('title = "Levels"'), unread("title =")
    ({'title': 'Levels'}, {})
    """
    try:
        table = load_toml(text)
    except tomllib.TOMLDecodeError:
        return {}
    return table


#: What a click on a question or on a line does: its name, and the question's number or row after a colon.
STEPS = {"harder": 1, "easier": -1}
ROOMS = {"more room": 1, "less room": -1}


def changed_by(text: str, do: str, rows: Mapping[int, int]) -> str:
    r"""Return the blueprint *text* as a click leaves it; unchanged by one that means nothing here.

    do    such as "swap:4", "harder:4", "more room:4"; "off:1:0" (question's row, line), "add:1:carry-dropped"
    rows  by question number: which [[question]] it is of

    >>> text = 'title = "L"\n[[question]]\noperation = "add"\ncount = 2'
    >>> print(changed_by(text, "swap:2", {1: 0, 2: 0}).partition("[[question]]")[2])
    <BLANKLINE>
    operation = "add"
    <BLANKLINE>
    [[question]]
    operation = "add"
    draw = 2
    """
    table = unread(text)
    entries = table.get("question")
    what, _, rest = do.partition(":")
    number, _, last = rest.partition(":")
    if not isinstance(entries, list) or not number.isdigit():
        return text
    at = int(number)
    if what in {"off", "add"}:
        if not at < len(entries):
            return text
        lines = list(entries[at].get("where", []))
        if what == "add":
            lines.append(last)
        elif last.isdigit() and int(last) < len(lines):
            lines.pop(int(last))
        entries[at]["where"] = list(dict.fromkeys(lines))
    elif at in rows:
        _change(_alone(entries, at, rows), what)
    return write_toml(table)


def rows_of(table: JsonMapping) -> dict[int, int]:
    """Return which [[question]] of a blueprint each question of its papers is of, from 0, by its number from 1.

    >>> rows_of({"question": [{"operation": "add", "count": 2}, {"operation": "decode"}]})
    {1: 0, 2: 0, 3: 1}
    """
    entries = [entry for entry in table.get("question", []) if isinstance(entry, dict)]
    counts = [entry.get("count", 1) for entry in entries]
    rows = [row for row, count in enumerate(counts) if isinstance(count, int) for _ in range(count)]
    return dict(enumerate(rows, start=1))


def _alone(entries: list[JsonObject], number: int, rows: Mapping[int, int]) -> JsonObject:
    """Return the entry of a question, first separated from others of the same entry."""
    row = rows[number]
    count = entries[row].get("count", 1)
    if count > 1:
        one = {key: value for key, value in entries[row].items() if key != "count"}
        entries[row : row + 1] = [dict(one) for _ in range(count)]
        row += sum(1 for other, of in rows.items() if of == row and other < number)
    return entries[row]


def _change(entry: JsonObject, what: str) -> None:
    if what == "swap":
        entry["draw"] = min(entry.get("draw", 1) + 1, ASKED_KEYS["draw"].most)
    elif what in STEPS:
        at = DEMANDS.index(entry.get("demand", "usual")) + STEPS[what]
        entry["demand"] = DEMANDS[min(max(at, 0), len(DEMANDS) - 1)]
    elif what in ROOMS:
        entry["room"] = min(max(entry.get("room", 0) + ROOMS[what], 0), ASKED_KEYS["room"].most)
        if not entry["room"]:
            del entry["room"]


def blueprint_of_questions(lines: Sequence[str], course: Course, title: str) -> str:
    """Return a blueprint that asks the questions in *lines*, such as "subtract 8.875, 3.6875", in every variant.

    >>> print(blueprint_of_questions(["add 1.5, 2.5"], Course(), "Gauges"))
    title = "Gauges"
    purpose = "paper"
    accidental = "needs working"
    <BLANKLINE>
    [course]
    format = "8+4"
    <BLANKLINE>
    [[question]]
    operation = "add"
    operands = ["1.5", "2.5"]
    """
    rows = []
    for line in lines:
        operation, _, operands = line.partition(" ")
        rows.append(
            {
                "operation": operation,
                "operands": [part.strip() for part in operands.split(",") if part.strip()],
            }
        )
    top = {"title": title, "purpose": "paper", "accidental": "needs working"}
    return write_toml(top | {"course": course_table(course), "question": rows})

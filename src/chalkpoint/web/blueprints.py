"""A blueprint as a form: its entries read into the blueprint's own text, and that text read back into entries."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence

from chalkpoint.numbers.datafiles import JsonMapping, JsonObject, load_toml
from chalkpoint.setting.asking import ASKED_KEYS, BLUEPRINT_KEYS, PRINT_KEYS
from chalkpoint.web.courses import course_table
from chalkpoint.web.forms import Form
from chalkpoint.web.toml import write_toml
from chalkpoint.working.course import Course

__all__ = ["blueprint_of_questions", "text_of_form", "unread"]

ROW = tuple(key for key in ASKED_KEYS if key != "context")  # what each question's row of the form asks
LISTS = ("where", "operands")


def text_of_form(form: Form, course: JsonMapping) -> str:
    """Return the blueprint that the form describes; rows without an operation are left out.

    course  the conventions, as the blueprint writes them
    """
    top = {key: _plain(key, form.text(key)) for key in BLUEPRINT_KEYS if form.text(key)}
    printed = {key: form.text(key) for key in PRINT_KEYS if form.text(key)}
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
            rows.append(row | ({"context": True} if str(at) in context else {}))
    return rows


def _cell(key: str, text: str) -> object:
    if key in LISTS:
        return [part.strip() for part in text.replace(" and ", ";").split(";") if part.strip()]
    return _plain(key, text)


def _plain(key: str, text: str) -> object:
    """Return *text* as the key takes it; a number that is none is left as it is, for the reader to refuse."""
    is_number = (BLUEPRINT_KEYS | ASKED_KEYS)[key].kind is int
    return int(text) if is_number and text.isascii() and text.isdigit() else text


def unread(text: str) -> JsonObject:
    """Return the tables of a blueprint's text, as the form shows them; none of one that is not TOML."""
    try:
        table = load_toml(text)
    except tomllib.TOMLDecodeError:
        return {}
    return table


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

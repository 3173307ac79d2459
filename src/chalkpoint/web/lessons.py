"""A lesson as a form: its entries read into the lesson's own text, and that text read back into entries."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence

from chalkpoint.numbers.datafiles import JsonMapping, JsonObject, load_toml
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.writingtoml import write_toml
from chalkpoint.setting.alike import course_table
from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.lessonfile import PART_KEYS, lesson_from
from chalkpoint.web.forms import Form
from chalkpoint.working.course import Course

__all__ = ["lesson_in", "lesson_of_questions", "tables_of", "text_of_form"]

LISTS = {  # what separates the entries of a list in the form
    key: {"says": "|", "find": " and "}.get(key, ",") for key, (kind, _) in PART_KEYS.items() if kind is list
}
WHERE = "the lesson: "


def lesson_in(text: str) -> Lesson:
    """Return the lesson written in *text*.

    >>> from chalkpoint.teaching.lessonfile import STARTING
    >>> lesson_in(STARTING).parts[1].kind
    'worked'

    Raises EntryError for a line that cannot be taken.
    """
    try:
        table = load_toml(text)
    except tomllib.TOMLDecodeError as reason:
        raise EntryError(f"{WHERE}{reason}; a lesson has tables such as [[part]]") from reason
    if isinstance(table.get("course"), str):
        raise EntryError(
            f'{WHERE}course = "{table["course"]}" is a file; write a table [course], since none is beside it'
        )
    return lesson_from(table, where=WHERE)


def text_of_form(form: Form, course: JsonMapping) -> str:
    """Return the lesson that the form describes; rows without a kind are left out."""
    columns = {key: form.texts(f"p-{key}") for key in PART_KEYS}
    rows = []
    for at, kind in enumerate(columns["kind"]):
        if kind:
            cells = {key: column[at] for key, column in columns.items() if at < len(column) and column[at]}
            rows.append({key: _cell(key, text) for key, text in cells.items()})
    pace = {"pace": _number(form.text("pace"))} if form.text("pace") else {}
    return write_toml({"title": form.text("title"), **pace, "course": course, "part": rows})


def _cell(key: str, text: str) -> object:
    if key in LISTS:
        return [part.strip() for part in text.split(LISTS[key]) if part.strip()]
    return _number(text) if PART_KEYS[key][0] is int else text


def _number(text: str) -> int | str:
    """Return the number in *text*; what is none is left as it is, for the reader to refuse."""
    return int(text) if text.isascii() and text.isdigit() else text


def tables_of(text: str) -> JsonObject:
    """Return the tables of a lesson's text, lists as the form's rows show them; none of one that is not TOML.

    >>> tables_of('format = "8+4"')
    {'course': {'format': '8+4'}, 'part': []}
    """
    try:
        table = load_toml(text)
    except tomllib.TOMLDecodeError:
        return {}
    if "format" in table and isinstance(table.setdefault("course", {}), dict):  # one place for it in the form
        table["course"]["format"] = table.pop("format")
    listed = table.get("part", [])
    parts = [part for part in listed if isinstance(part, dict)] if isinstance(listed, list) else []
    return table | {"part": [{key: _shown(key, value) for key, value in part.items()} for part in parts]}


def _shown(key: str, value: object) -> object:
    separator = LISTS.get(key, ", ").replace("|", " | ")
    return separator.join(map(str, value)) if isinstance(value, list) else value


def lesson_of_questions(title: str, course: Course, parts: Sequence[JsonMapping]) -> str:
    """Return the text of a lesson with *parts*.

    >>> part = {"kind": "worked", "question": "subtract 8.875, 3.6875"}
    >>> tables_of(lesson_of_questions("The gauge", Course(), [part]))["part"] == [part]
    True
    """
    return write_toml({"title": title, "course": course_table(course), "part": list(parts)})

"""Reading blueprints: every error is answered with the line, the key and what is accepted."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

from chalkpoint.numbers.datafiles import JsonObject, load_toml, read_text
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.setting.asking import (
    ASKED_KEYS,
    BLUEPRINT_KEYS,
    MOST_QUESTIONS,
    PRINT_KEYS,
    Blueprint,
    BlueprintQuestion,
    Key,
    Printing,
)
from chalkpoint.setting.ownstory import own_context
from chalkpoint.setting.sources import SET_OPERATIONS
from chalkpoint.setting.validation import (
    RefusedError,
    check_extras,
    check_format,
    check_kind,
    check_marks,
    check_operands,
    check_where,
    is_diagnosed,
)
from chalkpoint.working.course import Course, course_from, read_course

__all__ = ["STARTING", "parse_blueprint", "read_blueprint"]

STARTING = """\
# A blueprint: what a paper asks. Lines that begin with # are notes.

title = "Gauge readings"
purpose = "paper"            # "paper", "practice" (graded sheets), "diagnose" or "starter" (five minutes)

# Where the methods your course accepts give different answers, a question is not asked
# ("same answer"); or say "name the method", or "list the answers" in the mark scheme.
methods = "same answer"

# Where a common belief ends at the right answer by wrong working, a question is not asked
# ("refuse"); or its answer alone does not earn full marks ("needs working").
accidental = "refuse"

# "required": a right answer without its lines earns the answer's marks only, on every question.
working = "optional"

# The class's conventions. A file may hold them instead: course = "course.toml"
[course]
name = "12 Heron"
format = "8+4"               # mantissa bits + exponent bits
method = "align-then-negate"
accepts = ["negate-then-align"]

# How it is printed.
[print]
paper = "A4"                 # or "Letter"
text = "usual"               # or "large"
spacing = "usual"            # or "wide"
tint = "none"                # or "cream", "blue", "green", "rose"
scan = false                 # true: to be read from a scanner or a phone

# One of these for each question; count = 2 asks two of a kind.
# "chalkpoint find --traits" lists what may stand in where.
[[question]]
operation = "decode"
where = ["sign-pattern = -"]
marks = 3

[[question]]
operation = "add"
where = ["align-shift = 1", "mantissa-overflow", "exact-result"]
context = true               # put as a word problem

[[question]]
operation = "subtract"
where = ["align-shift = 2", "exact-result"]
marks = 6
count = 2

# A story of your own: story = "The mast reads {first} at noon, {second} at night. How much warmer was noon?" with
# unit = "°C", step = "0.25", between = "-10 to 40", answer = "0 to 40".
# A range is asked for by its patterns, or by its values: kind = "values".
# More for a question: demand = "harder" (easiest, easier, usual, harder, hardest), draw = 2 (other numbers),
# room = 1 (6 mm more for each row).

# A question of your own, the same in every variant, has its operands instead of where:
# operands = ["8.875", "3.6875"]
# Other formats have traits of their own: format = "binary16", "8", "Q5.3" ... (chalkpoint find --traits --format 8).
# convert needs to = "binary16", explain about = "subtract"; sum may have terms = 4.
"""

HEADER = re.compile(r"\s*\[+\s*([\w-]+)\s*\]+")
ASSIGNED = re.compile(r"""\s*["']?([\w-]+)["']?\s*(?:\.\s*[\w-]+\s*)?=""")


@dataclass(frozen=True, slots=True)
class Place:
    """One table of a blueprint's text: its keys' lines are looked up here, for the sentences of errors.

    table   "", "course", "print" or "question"
    number  which of the tables of that name, from 0
    """

    source: str
    text: str
    table: str = ""
    number: int = 0

    def line(self, key: str = "") -> int:
        """Return the line of *key*, or the table's own."""
        table, seen, header = "", {"": 0}, 1
        for number, line in enumerate(self.text.splitlines(), start=1):
            if (head := HEADER.match(line)) and "=" not in line.partition("#")[0]:
                table = head[1]
                seen[table] = seen.get(table, -1) + 1
            here = table == self.table and seen[table] == self.number
            if here and head:
                header = number
            if here and key and (found := ASSIGNED.match(line)) and found[1] == key:
                return number
        return header

    def refuse(self, key: str, what: str) -> EntryError:
        """Return the error: file, line, and *what* is wrong."""
        return EntryError(f"{self.source}, line {self.line(key)}: {what}")


def read_blueprint(path: str | Path) -> Blueprint:
    """Return the blueprint in the TOML file at *path*; a course it names is looked for beside it.

    Raises FileError when a file cannot be read, EntryError for a line that cannot be taken.
    """
    text = read_text(path, "blueprint", "a TOML text file")
    return parse_blueprint(text, source=str(path), folder=Path(path).parent)


def parse_blueprint(text: str, *, source: str = "blueprint", folder: Path = Path()) -> Blueprint:
    """Return the blueprint written in *text*.

    source  what it is called in errors
    folder  where a course file it names is looked for

    >>> parse_blueprint(STARTING).questions[2].count
    2
    """
    try:
        table = load_toml(text)
    except tomllib.TOMLDecodeError as reason:
        raise EntryError(
            f'{source}: {reason}; a blueprint has lines such as title = "Gauge readings"'
        ) from reason
    top = Place(source, text)
    plain = {key: value for key, value in table.items() if key not in {"course", "print", "question"}}
    _check(plain, BLUEPRINT_KEYS, top, "a blueprint", extra=("course", "print", "question"))
    if "title" not in plain:
        raise top.refuse("", 'a blueprint needs a title; write title = "Gauge readings"')
    course = _course(table.get("course"), top, folder)
    printing = _table(table, "print", PRINT_KEYS, top)
    questions = _questions(table, top, course)
    if plain.get("purpose") == "diagnose" and any(asked.operands for asked in questions):
        raise top.refuse(
            "purpose",
            'a diagnosing paper chooses its own questions; leave operands out, or write purpose = "paper"',
        )
    if plain.get("purpose") == "diagnose" and not all(is_diagnosed(asked) for asked in questions):
        raise top.refuse(
            "purpose",
            "a diagnosing paper asks what beliefs are told of, and not explain, which asks for words; take those "
            'questions out, or write purpose = "paper"',
        )
    return Blueprint(**plain, course=course, printing=Printing(**printing), questions=questions, where=source)


def _check(
    table: JsonObject, keys: dict[str, Key], place: Place, what: str, extra: tuple[str, ...] = ()
) -> None:
    for key, value in table.items():
        if key not in keys:
            raise place.refuse(key, f"{key!r} is not a key of {what}; {near_misses(key, [*keys, *extra])}")
        if not keys[key].takes(value):
            accepted = f"{keys[key].accepted}, such as {keys[key].example}"
            raise place.refuse(key, f"{key} = {_shown(value)} is not taken; write {accepted}")


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else str(value)


def _table(table: JsonObject, name: str, keys: dict[str, Key], top: Place) -> JsonObject:
    found = table.get(name, {})
    if not isinstance(found, dict):
        raise top.refuse(name, f"{name} is a table; write [{name}] on a line and its keys below it")
    _check(found, keys, Place(top.source, top.text, name), f"[{name}]")
    return found


def _course(value: object, top: Place, folder: Path) -> Course:
    if value is None:
        return Course()
    if isinstance(value, str):
        return read_course(folder / value)
    if isinstance(value, dict):
        place = Place(top.source, top.text, "course")
        for key, entry in value.items():  # one key at a time, so that the line named is the one at fault
            try:
                course_from({key: entry})
            except EntryError as reason:
                raise place.refuse(key, str(reason)) from reason
        return course_from(value)
    raise top.refuse(
        "course", f'course = {_shown(value)} is not taken; write course = "course.toml" or [course]'
    )


def _questions(table: JsonObject, top: Place, course: Course) -> tuple[BlueprintQuestion, ...]:
    found = table.get("question", [])
    if not isinstance(found, list) or not all(isinstance(entry, dict) for entry in found):
        raise top.refuse(
            "question", "question is not taken; write [[question]] on a line and its keys below it"
        )
    if not found:
        raise top.refuse("", 'a blueprint needs a question; write [[question]] and operation = "subtract"')
    if len(found) > MOST_QUESTIONS:
        raise top.refuse(
            "question", f"a paper has {MOST_QUESTIONS} questions at most, and here are {len(found):,}"
        )
    asked = tuple(
        _asked(entry, Place(top.source, top.text, "question", number), course)
        for number, entry in enumerate(found)
    )
    count = sum(one.count for one in asked)
    if count > MOST_QUESTIONS:
        raise top.refuse(
            "question", f"a paper has {MOST_QUESTIONS} questions at most, and here are {count:,}"
        )
    return asked


def _asked(entry: JsonObject, place: Place, course: Course) -> BlueprintQuestion:
    _check(entry, ASKED_KEYS, place, "a question")
    operation = entry.get("operation")
    if operation not in SET_OPERATIONS:
        said = (
            "a question needs an operation"
            if operation is None
            else f'operation = "{operation}" is not taken'
        )
        raise place.refuse("operation", f"{said}; {near_misses(operation or '', SET_OPERATIONS)}")
    try:
        course = course.with_(format=entry.get("format"))
    except EntryError as reason:
        raise place.refuse("format", str(reason)) from reason
    try:
        told = own_context(operation, entry)
    except EntryError as reason:
        raise place.refuse(str(reason).partition(":")[0], str(reason)) from reason
    asked = BlueprintQuestion(
        operation,
        course,
        tuple(entry.get("where", ())),
        entry.get("marks"),
        entry.get("count", 1),
        entry.get("context", False) or told is not None,
        entry.get("kind", "work"),
        place.line(),
        tuple(entry.get("operands", ())),
        entry.get("to", ""),
        entry.get("about", ""),
        entry.get("terms", 3),
        entry.get("demand", "usual"),
        entry.get("draw", 1),
        entry.get("room", 0),
        told,
    )
    for check in (check_extras, check_format, check_kind, check_where, check_operands, check_marks):
        try:
            check(asked, entry)
        except RefusedError as reason:
            raise place.refuse(reason.key, str(reason)) from reason
    return asked

"""Lessons read from a TOML file; every refusal names the file, the part, the key and what is taken."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from chalkpoint.numbers.datafiles import JsonMapping, JsonObject, load_toml, read_text
from chalkpoint.numbers.errors import ChalkpointError, EntryError, FileError, near_misses
from chalkpoint.teaching.choosing import (
    Request,
    faded_rules,
    find_questions,
    hinge_choices,
    next_choices,
    with_belief,
)
from chalkpoint.teaching.lesson import KINDS, Lesson, Part
from chalkpoint.working.course import Course, course_from, read_course
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.work import work_question
from chalkpoint.working.working import Working

__all__ = ["PART_KEYS", "STARTING", "lesson_from", "lesson_of", "read_lesson"]

#: A lesson to start from.
STARTING = """\
title = "Taking one reading from another"

[course]
name = "12 Heron"
format = "8+4"

[[part]]
kind = "explain"
title = "Why the level is a difference"
says = ["The bed gauge reads from the sea bed.", "The datum stands above it, so the level is a difference."]

[[part]]
kind = "worked"
question = "subtract 8.875, 3.6875"
names = ["gauge", "datum"]

[[part]]
kind = "try"
find = ["align-shift = 2", "lost-ones >= 1"]
pause = 60

[[part]]
kind = "hinge"
question = "subtract 8.875, 3.6875"
"""

LESSON_KEYS: dict[str, tuple[type | tuple[type, ...], str]] = {
    "title": (str, '"Taking one reading from another"'),
    "course": ((str, dict), '"course.toml", or a table [course]'),
    "format": (str, '"8+4"'),
    "pace": (int, "130"),
    "part": (list, "[[part]]"),
}
PART_KEYS: dict[str, tuple[type, str]] = {
    "kind": (str, '"worked"'),
    "title": (str, '"Match the exponents"'),
    "says": (list, '["Gauges keep few bits."]'),
    "question": (str, '"subtract 010111 0011, 010100 0001"'),
    "names": (list, '["gauge", "datum"]'),
    "find": (list, '["align-shift = 2"]'),
    "operation": (str, '"subtract"'),
    "pause": (int, "60"),
    "blanks": (list, '["normalise"]'),
    "belief": (str, '"invert-only"'),
    "beliefs": (list, '["invert-only", "align-skip", "carry-kept"]'),
    "parallels": (int, "20"),
}
WITHOUT_QUESTION = ("explain", "summary")
#: How a part without a title of its own is called: this, then its question.
OPENINGS = {
    "try": "Your turn: ",
    "faded": "Fill the gaps: ",
    "mistake": "Find the mistake: ",
    "hinge": "Which answer? ",
    "next": "What comes next? ",
    "split": "Where they part: ",
}
WITH_PARALLELS = ("worked", "try", "faded")
PARALLELS = 20  # for "another one", where the question was found by traits
MOST_PARTS = 200
LONGEST_PAUSE = 3600
SLOWEST, FASTEST = 80, 150  # words a minute


def read_lesson(path: str | Path) -> Lesson:
    """Return the lesson in the TOML file at *path*, its questions found and worked.

    Raises FileError when the file cannot be read and EntryError when an entry is not taken.
    """
    path = Path(path)
    try:
        table = load_toml(read_text(path, "lesson", "a TOML text file"))
    except tomllib.TOMLDecodeError as reason:
        raise EntryError(f"{path}: {reason}; a lesson has tables such as [[part]]") from reason
    return lesson_from(table, where=f"{path}: ", folder=path.parent)


def lesson_from(table: JsonMapping, *, where: str = "", folder: Path | None = None) -> Lesson:
    """Return the lesson in *table*; *where* opens the sentence of an error, *folder* holds its course.

    >>> lesson = lesson_from({"title": "Gauges", "part": [{"kind": "worked", "question": "add 1.5, 2.5"}]})
    >>> lesson.parts[0].title
    '1.5 + 2.5 in 8+4'
    """
    _check_keys(table, LESSON_KEYS, where)
    if not table.get("part"):
        raise EntryError(f'{where}a lesson needs at least one part; write [[part]] and kind = "worked"')
    if len(table["part"]) > MOST_PARTS:
        raise EntryError(
            f"{where}a lesson has {len(table['part']):,} parts; {MOST_PARTS} at most are taken, so split it"
        )
    course = _course(table.get("course"), where, folder or Path())
    course = _in_place(where, lambda: course.with_(format=table.get("format")))
    pace = table.get("pace", 130)
    if not SLOWEST <= pace <= FASTEST:
        raise EntryError(f"{where}pace = {pace} is not taken; give {SLOWEST} to {FASTEST} words a minute")
    reader = PartReader(course)
    parts = [
        _in_place(f"{where}part {number}: ", partial(reader.read, entry))
        for number, entry in enumerate(table["part"], start=1)
    ]
    return Lesson(title=table.get("title", "A lesson"), course=course, parts=tuple(parts), pace=pace)


def _course(value: str | JsonMapping | None, where: str, folder: Path) -> Course:
    """Return the course in a file beside the lesson, or in a table of the lesson's own."""
    if value is None:
        return Course()
    if isinstance(value, Mapping):
        return course_from(dict(value), where=f"{where}[course] ")
    return read_course(folder / value)


def lesson_of(working: Working) -> Lesson:
    """Return the lesson that shows *working* and nothing else."""
    part = Part(kind="worked", title=working.title, working=working)
    return Lesson(title=working.title, course=working.question.course, parts=(part,))


def _in_place(where: str, read: Callable[[], Any]) -> Any:
    """Return what *read* returns; its refusals say where they arose."""
    try:
        return read()
    except FileError:
        raise
    except ChalkpointError as reason:
        said = str(reason)
        raise EntryError(said if where and said.startswith(where) else f"{where}{said}") from reason


def _check_keys(
    table: object, known: Mapping[str, tuple[type | tuple[type, ...], str]], where: str = ""
) -> None:
    if not isinstance(table, Mapping):
        raise EntryError(f"{where}{table!r} is not a table of keys; write [[part]] and the keys below it")
    for key, value in table.items():
        if key not in known:
            raise EntryError(f"{where}{key!r} is not a key here; {near_misses(key, sorted(known))}")
        kind, example = known[key]
        wanted = isinstance(value, kind) and not (kind is int and isinstance(value, bool))
        if kind is list and wanted and key != "part":
            wanted = all(isinstance(entry, str) for entry in value)
        if not wanted:
            raise EntryError(f"{where}{key} = {value!r} is not taken; write {key} = {example}")


class PartReader:
    """Reads the parts of one lesson in order; a request met again is answered with the next question."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self._asked: dict[tuple[str, ...], int] = {}

    def read(self, entry: JsonMapping) -> Part:
        """Return the part in the table *entry*."""
        _check_keys(entry, PART_KEYS)
        kind = entry.get("kind", "")
        if kind not in KINDS:
            raise EntryError(f"kind = {kind!r} is not taken; {near_misses(kind, KINDS)}")
        pause = entry.get("pause")
        if pause is not None and not 0 <= pause <= LONGEST_PAUSE:
            raise EntryError(f"pause = {pause} is not taken; give 0 to {LONGEST_PAUSE} seconds")
        says = tuple(entry.get("says", ()))
        questions = self._questions(entry, kind)
        if not questions:
            if not says:
                raise EntryError(f'a part of kind {kind!r} needs sentences; write says = ["..."]')
            return Part(kind=kind, title=entry.get("title", kind.capitalize()), says=says, pause=pause)
        working = work_question(questions[0])
        return Part(
            kind=kind,
            title=entry.get("title", f"{OPENINGS.get(kind, '')}{working.title}"),
            says=says,
            working=working,
            pause=pause,
            parallels=tuple(work_question(question) for question in questions[1:]),
            **self._own(entry, kind, working),
        )

    def _own(self, entry: JsonMapping, kind: str, working: Working) -> JsonObject:
        """Return what only parts of *kind* have."""
        match kind:
            case "faded":
                return {"blanks": faded_rules(working, entry.get("blanks"))}
            case "mistake" | "split":
                belief, wrong = with_belief(working, entry.get("belief"))
                return {"belief": belief.id, "wrong": wrong}
            case "next":
                rule, choices = next_choices(working, entry.get("blanks"), entry.get("beliefs"))
                return {"blanks": (rule,), "choices": choices}
            case "hinge":
                return {"choices": hinge_choices(working, entry.get("beliefs"))}
        return {}

    def _questions(self, entry: JsonMapping, kind: str) -> list[Question]:
        """Return the part's question, then its parallels; none for a part that has no question."""
        names = tuple(entry.get("names", ()))
        if "question" in entry and "find" in entry:
            raise EntryError("question and find are both given; keep one of them")
        if "question" in entry:
            return [_ask(entry["question"], self.course, names)]
        if "find" in entry:
            return self._found(entry, names)
        if kind in WITHOUT_QUESTION:
            return []
        raise EntryError(
            f"a part of kind {kind!r} needs a question; write question = {PART_KEYS['question'][1]} "
            f"or find = {PART_KEYS['find'][1]}"
        )

    def _found(self, entry: JsonMapping, names: tuple[str, ...]) -> list[Question]:
        operation = entry.get("operation", "subtract")
        if operation not in OPERATIONS:
            raise EntryError(f"operation = {operation!r} is not taken; {near_misses(operation, OPERATIONS)}")
        traits = tuple(entry["find"])
        before = self._asked.get((operation, *traits), 0)
        self._asked[operation, *traits] = before + 1
        usual = PARALLELS if entry["kind"] in WITH_PARALLELS else 0
        request = Request(operation, traits, before, entry.get("parallels", usual))
        return find_questions(request, self.course, names=names)


def _ask(written: str, course: Course, names: tuple[str, ...]) -> Question:
    """Return the question *written* as "subtract 010111 0011, 010100 0001"."""
    operation, _, operands = written.strip().partition(" ")
    listed = [operand.strip() for operand in operands.split(",") if operand.strip()]
    if course.point == "," and ";" in operands:
        listed = [operand.strip() for operand in operands.split(";") if operand.strip()]
    return ask(operation, *listed, course=course, names=names)

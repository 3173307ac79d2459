"""Whatever a file holds: it is read, or refused in one sentence; never a traceback.

Here a few hundred mutations; many by `CHALKPOINT_MUTATIONS=1000000 pytest tests/test_mutated.py`.
"""

from __future__ import annotations

import copy
import json
import os
import random
import tomllib
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import text

from chalkpoint.numbers.datafiles import load_json, load_toml
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records.store import open_store
from chalkpoint.setting.paperfile import papers_from, read_papers
from chalkpoint.teaching.lessonfile import STARTING
from chalkpoint.web.blueprints import unread
from chalkpoint.web.courses import course_in
from chalkpoint.web.lessons import lesson_in, tables_of

MANY = int(os.environ.get("CHALKPOINT_MUTATIONS", "400"))
PAPERS: dict[str, Any] = {
    "schema": "chalkpoint.papers/1",
    "title": "Gauges",
    "course": {"format": "6+4"},
    "papers": [
        {
            "variant": 1,
            "code": "G1",
            "questions": [{"question": 1, "operation": "subtract", "operands": ["6.5", "1.25"], "marks": 6}],
        }
    ],
}
ODD: list[Any] = [
    None,
    3,
    -1,
    "x",
    "",
    [],
    {},
    True,
    1.5,
    [[1]],
    {"a": 1},
    "9" * 5000,
    10**30,
    [None],
    "\ud800",
    "0x",
]
ODD += ["nan", float("inf"), float("nan"), "1e9999", "1/0", "-" * 3000, ["6.5"] * 3]
LINES = (
    "part = 3", "part = [3]", "title = 3", "course = 3", "format = 3", "question = 3", "question = [3]", "print = 3",
    "pace = inf", "pace = 1979-05-27", "[part]", "[[part]]\nkind = 3", '[[part]]\nkind = "try"\nfind = 3',
    '[[part]]\nkind = "worked"\nquestion = ""', "[[question]]\noperation = 3", "a = " + "9" * 5000,
    "a = " + "[" * 5000, 'name = "\\u0000"', "accepts = [3]", '[[part]]\nkind = "try"\npause = ' + "9" * 40,
)  # fmt: skip


def places(thing: Any, before: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield where every value of a thing is."""
    yield before
    if isinstance(thing, dict | list):
        for key in thing if isinstance(thing, dict) else range(len(thing)):
            yield from places(thing[key], (*before, key))


def changed(thing: Any, place: tuple[Any, ...], value: Any) -> Any:
    """Return a thing with another value in one place."""
    if not place:
        return value
    made = copy.deepcopy(thing)
    inner = made
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = value
    return made


def is_taken_or_refused(read: Callable[[], object]) -> None:
    """Read something, which may be refused in a sentence of ours."""
    with suppress(ChalkpointError):
        read()


@pytest.mark.parametrize("place", list(places(PAPERS)), ids=str)
def test_papers_with_anything_anywhere(place: tuple[Any, ...]) -> None:
    """Each value of the papers, replaced by each odd one."""
    for value in ODD:
        is_taken_or_refused(lambda value=value: papers_from(changed(PAPERS, place, value)))  # type: ignore[misc]


def test_papers_and_texts_with_signs_changed() -> None:
    """Signs left out, doubled and put in, anywhere in a file of papers, a lesson, a course."""
    rng = random.Random(7)
    for number in range(MANY):
        whole = json.dumps(PAPERS) if number % 2 else STARTING
        at = rng.randrange(len(whole))
        put = rng.choice(
            ["", whole[at] * 2, '"', "[", "{", "\\", "-", "9" * 20, "\ud800", "\x00", "[[part]]"]
        )
        made = whole[:at] + put + whole[at + rng.randrange(3) :]
        if number % 2:
            try:
                table = load_json(made)
            except json.JSONDecodeError:
                continue
            is_taken_or_refused(lambda table=table: papers_from(table))  # type: ignore[misc]
        else:
            is_taken_or_refused(lambda made=made: lesson_in(made))  # type: ignore[misc]
            tables_of(made)


@pytest.mark.parametrize("line", LINES, ids=lambda line: line[:30])
def test_lines_that_are_no_lesson_course_or_blueprint(line: str) -> None:
    """Each is refused by whoever reads it, and a form shows what it can of it."""
    for read in (lesson_in, course_in):
        is_taken_or_refused(lambda read=read: read(line))  # type: ignore[misc]
    tables_of(line)
    unread(line)


@pytest.mark.parametrize("made", ["[" * 100_000, "9" * 5_000, '{"a": ' * 50_000], ids=len)
def test_a_file_nested_deep_or_with_a_number_of_many_digits(tmp_path: Path, made: str) -> None:
    """Papers and tables are refused in a sentence that names the file."""
    (tmp_path / "papers.json").write_text(made)
    with pytest.raises(ChalkpointError, match=r"papers\.json"):
        read_papers(tmp_path / "papers.json")
    with pytest.raises(tomllib.TOMLDecodeError):
        load_toml("a = " + made)


def test_a_database_of_a_newer_version_is_refused_in_a_sentence(tmp_path: Path) -> None:
    """It is left as it is."""
    url = f"sqlite:///{(tmp_path / 'store.db').as_posix()}"
    store = open_store(url)
    with store.write() as db:
        db.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    store.close()
    with pytest.raises(ChalkpointError, match="made by a newer version"):
        open_store(url)

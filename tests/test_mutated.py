"""Whatever a file holds: it is read, or refused in one sentence; never a traceback.

Here a few hundred mutations; a million by `CHALKPOINT_MUTATIONS=480000 pytest tests/test_mutated.py`.
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

from chalkpoint import work
from chalkpoint.marking.answerfiles import rows_in_text
from chalkpoint.marking.answers import whole_scripts
from chalkpoint.numbers.datafiles import load_json, load_toml
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import exchange
from chalkpoint.records.store import Store, open_store
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.paperfile import papers_from, read_papers
from chalkpoint.teaching.lessonfile import STARTING
from chalkpoint.web.app import create_app
from chalkpoint.web.blueprints import unread
from chalkpoint.web.courses import course_in
from chalkpoint.web.lessons import lesson_in, tables_of
from chalkpoint.web.settings import Settings
from conftest_web import ORIGIN, Client

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


SHEET = "student,variant,1,2\nH01,1,010100 0011,16\nH02,1,0.1010100 0011,\n"
PUTS = (
    "",
    '"',
    ",",
    "\n",
    ";",
    "\t",
    "[",
    "{",
    "=",
    "\x00",
    "\ud800",
    "9" * 30,
    "student",
    "H01,1",
    "\u2212",
    "line",
)


def mutated(rng: random.Random, whole: str) -> str:
    """Return a text with one to three signs left out, doubled or put in."""
    for _ in range(rng.randint(1, 3)):
        at = rng.randrange(len(whole) + 1)
        put = rng.choice((*PUTS, whole[at : at + 1] * 2))
        whole = whole[:at] + put + whole[at + rng.randrange(3) :]
    return whole


def test_sheets_with_signs_changed() -> None:
    """A table of answers, as text and as JSON, is read whole or refused."""
    rng, papers = random.Random(7), papers_from(PAPERS)
    as_json = json.dumps([{"student": "H01", "question": 1, "line": "answer", "written": "010100 0011"}])
    for number in range(MANY):
        made = mutated(rng, as_json if number % 2 else SHEET)
        is_taken_or_refused(
            lambda made=made, number=number: whole_scripts(  # type: ignore[misc]
                list(rows_in_text(made, is_json=bool(number % 2))), papers
            )
        )


def archive(body: str = json.dumps(PAPERS)) -> list[str]:
    """Return the lines of an export with papers and a script in it."""
    time = "2030-01-01T00:00:00.000000Z"
    rows: list[dict[str, Any]] = [
        {"table": "teacher", "id": "t" * 12, "name": "ada", "local": False, "created": time},
        {
            "table": "kept", "id": "k" * 12, "teacher": "t" * 12, "kind": "papers", "title": "Gauges", "body": body,
            "about": "{}", "created": time, "changed": time, "deleted": None,
        },
        {
            "table": "script", "id": "s" * 12, "papers": "k" * 12, "student": "H01", "variant": 1, "troubles": "[]",
            "created": time, "changed": time, "deleted": None,
        },
        {"table": "answer", "script": "s" * 12, "question": 1, "line": "answer", "place": 0, "written": "1"},
    ]  # fmt: skip
    totals = {name: sum(row["table"] == name for row in rows) for name in exchange.TABLES}
    return [json.dumps(one) for one in ({"schema": exchange.SCHEMA, "rows": totals}, *rows)]


def rows_kept(store: Store) -> int:
    """Return how many teachers, things and scripts there are."""
    with store.read() as db:
        return sum(
            db.scalar(text(f"SELECT count(*) FROM {name}")) or 0  # noqa: S608 - our own names
            for name in ("teacher", "kept", "script")
        )


def test_archives_with_signs_or_values_changed(tmp_path: Path) -> None:
    """All of an archive is brought in, or it is refused in a sentence and nothing is."""
    rng = random.Random(7)
    store = open_store(f"sqlite:///{(tmp_path / 'store.db').as_posix()}")
    whole = archive()
    for number in range(max(40, MANY // 8)):
        lines = list(whole)
        at = rng.randrange(len(lines))
        if number % 2:
            lines[at] = mutated(rng, lines[at])
        else:
            thing = json.loads(lines[at])
            lines[at] = json.dumps(changed(thing, rng.choice(list(places(thing))), rng.choice(ODD)))
        before = rows_kept(store)
        try:
            exchange.import_all(store, lines)
        except ChalkpointError:
            assert rows_kept(store) == before, lines[at]
        with store.write() as db:
            db.execute(text("DELETE FROM teacher"))
    exchange.import_all(store, whole)
    assert rows_kept(store) == 3
    store.close()


@pytest.mark.parametrize("broken", ["{}", "[", '"x"', json.dumps(PAPERS | {"papers": []})], ids=str)
def test_an_archive_whose_papers_cannot_be_drawn_is_refused(tmp_path: Path, broken: str) -> None:
    """The line is named, and nothing of the archive is kept."""
    store = open_store(f"sqlite:///{(tmp_path / 'store.db').as_posix()}")
    with pytest.raises(
        ChalkpointError, match=r"line 3: these papers cannot be shown \(.{10,220}nothing was brought in"
    ):
        exchange.import_all(store, archive(broken))
    assert rows_kept(store) == 0
    store.close()


def test_papers_an_archive_brought_in_are_drawn(tmp_path: Path) -> None:
    """Whatever papers are taken: their pages are answered with a page or a sentence."""
    rng = random.Random(7)
    store = open_store(f"sqlite:///{(tmp_path / 'store.db').as_posix()}")
    with Client(create_app(store, Settings(), cache=tmp_path / "made"), base_url=ORIGIN) as client:
        client.get("/work")
        with store.read() as db:
            me = db.scalar(text("SELECT id FROM teacher"))
        every = [(place, value) for place in places(PAPERS) for value in ODD]
        for place, value in rng.sample(every, min(len(every), max(30, MANY // 10))):
            with suppress(UnicodeEncodeError):
                lines = archive(json.dumps(changed(PAPERS, place, value)))
            with suppress(ChalkpointError):
                exchange.import_all(store, [line.replace("t" * 12, str(me)) for line in lines], teacher=None)
                for page in ("/set/papers", "/mark/papers", "/mark/papers/{}/scripts/H01"):
                    where = page.format("k" * 12) if "{}" in page else f"{page}/{'k' * 12}"
                    assert client.get(where).status_code < 500, (place, value, where)
            with store.write() as db:
                db.execute(text("DELETE FROM kept"))
    store.close()


def test_more_questions_than_a_paper_has_are_refused_at_once() -> None:
    """Five thousand in papers, a blueprint or a lesson: one sentence with the limit."""
    asked = PAPERS["papers"][0]["questions"] * 5000
    with pytest.raises(ChalkpointError, match="a paper has 5,000 questions; 200 at most"):
        papers_from(changed(PAPERS, ("papers", 0, "questions"), asked))
    with pytest.raises(ChalkpointError, match="200 questions at most"):
        parse_blueprint('title = "x"\n' + '[[question]]\noperation = "decode"\n' * 5000)
    with pytest.raises(ChalkpointError, match="a lesson has 5,000 parts; 200 at most"):
        lesson_in('title = "x"\n' + '[[part]]\nkind = "worked"\nquestion = "add 1.5, 2.5"\n' * 5000)


@pytest.mark.parametrize(
    ("format", "entry"),
    [("8+4", "1e9999"), ("8+4", "-1e9999"), ("8+4", "1e-9999"), ("Q1.3", "1e9999"), ("binary128", "1e9999")],
)
def test_a_number_of_ten_thousand_digits_is_refused_shortly(format: str, entry: str) -> None:
    """The sentence tells its size, not its digits."""
    with pytest.raises(ChalkpointError, match=r"^\u2212?10\^\u2212?9999 .{20,200}$"):
        work("add", entry, "2", format=format)

"""Out and in again: the same bytes, on either database and from one to the other; all of it or nothing."""

from __future__ import annotations

import io
import json
import subprocess
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from chalkpoint.marking.answers import Script
from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.records import exchange, kept, marks, overrides, scripts, sessions, teachers
from chalkpoint.records.schema import TeacherRow
from chalkpoint.records.store import Store, back_up, open_store
from conftest_records import fresh_database, fresh_server_database
from postgresql import tool

PAPERS = {
    "schema": "chalkpoint.papers/1",
    "title": "Gauges",
    "papers": [{"variant": 1, "questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}],
}
WORDS = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=30)
TITLES = WORDS.filter(lambda text: bool(text.strip()))
CODES = st.text(st.characters(codec="utf-8", exclude_characters="\0"), min_size=1, max_size=8)


def furnish(store: Store, title: str, body: str, codes: set[str]) -> None:
    """Keep something in every table that goes out."""
    with store.write() as db:
        teacher = teachers.local_teacher(db)
        teachers.set_password(db, teacher, "long enough for a test")
        sessions.open_session(db, teacher)
        papers = kept.keep(db, teacher.id, "papers", title, json.dumps(PAPERS), about={"class": title}).id
        kept.keep(db, teacher.id, "question", title, body)
        scripts.put_scripts(
            db, teacher.id, papers, [Script(code, 1, {1: {"answer": body}}) for code in sorted(codes)]
        )
        entries = [
            {
                "student": code,
                "marks": 1,
                "of": 2,
                "beliefs": [
                    {"misconception": "invert-only", "shown_on": [1], "could_show_on": [1], "named": False}
                ],
            }
            for code in sorted(codes)
        ]
        marks.keep_marks(db, teacher.id, papers, entries)
        overrides.decide(db, teacher.id, papers, student="H", question=1, line="add", marks=1, reason=title)


def out(store: Store) -> str:
    """Return the export of a store."""
    file = io.StringIO()
    exchange.export_all(store, file)
    return file.getvalue()


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(title=TITLES, body=WORDS, codes=st.sets(CODES, max_size=4))
def test_out_in_and_out_again_gives_the_same_bytes(
    make_store: Callable[[], Store], title: str, body: str, codes: set[str]
) -> None:
    """Whatever was kept, the second export is the first, byte for byte; a second import brings nothing new."""
    first, second = make_store(), make_store()
    furnish(first, title, body, codes)
    written = out(first)
    exchange.import_all(second, io.StringIO(written))
    assert out(second) == written
    assert sum(exchange.import_all(second, io.StringIO(written)).values()) == 0
    first.close()
    second.close()


def test_a_laptop_moves_to_a_server_and_back(tmp_path: Path, postgresql_server: str) -> None:
    """From SQLite to PostgreSQL and back the same rows stand, those with signs that collations disagree on too."""
    laptop = open_store(f"sqlite:///{(tmp_path / 'laptop.db').as_posix()}")
    furnish(laptop, "Å gauge", "0.1010100", {"H01", "h02", "H-1", "É", "z", "_"})
    server = open_store(fresh_database(postgresql_server))
    back = open_store(f"sqlite:///{(tmp_path / 'back.db').as_posix()}")
    exchange.import_all(server, io.StringIO(out(laptop)))
    exchange.import_all(back, io.StringIO(out(server)))
    assert out(laptop) == out(server) == out(back)
    for store in (laptop, server, back):
        store.close()


def test_secrets_do_not_go_out(store: Store) -> None:
    """No password's digest and no session is in the file."""
    furnish(store, "Gauges", "x", {"H01"})
    written = out(store)
    assert "argon2" not in written
    assert '"table":"session"' not in written


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda text: text.replace("records/1", "records/9"), "does not begin"),
        (lambda text: text.rsplit("\n", 2)[0] + "\n", "not whole"),
        (lambda text: text.replace('"table":"script"', '"table":"other"', 1), "not a row"),
        (lambda text: text.replace('"variant":1', '"variant":"many"', 1), "does not fit"),
        (lambda text: text.replace('"variant":1', '"variants":1', 1), "has"),
        (lambda text: text + "nonsense\n", "not a row"),
        (lambda text: "", "does not begin"),
    ],
    ids=[
        "another schema",
        "cut short",
        "another table",
        "another type",
        "another column",
        "a line more",
        "nothing",
    ],
)
def test_a_file_that_is_not_whole_brings_in_nothing(
    make_store: Callable[[], Store], change: Callable[[str], str], said: str
) -> None:
    """One broken line, and every table is as it was."""
    first, second = make_store(), make_store()
    furnish(first, "Gauges", "x", {"H01"})
    before = out(second)
    with pytest.raises(EntryError, match=said):
        exchange.import_all(second, io.StringIO(change(out(first))))
    assert out(second) == before


def test_a_row_that_is_another_one_here_is_refused(make_store: Callable[[], Store]) -> None:
    """What was changed since is not overwritten."""
    first, second = make_store(), make_store()
    furnish(first, "Gauges", "x", {"H01"})
    written = out(first)
    exchange.import_all(second, io.StringIO(written))
    changed = written.replace('"title":"Gauges"', '"title":"Other"')
    with pytest.raises(EntryError, match="kept here already"):
        exchange.import_all(second, io.StringIO(changed))
    assert out(second) == written


def test_a_laptop_opened_before_the_import_keeps_its_teacher(tmp_path: Path) -> None:
    """Its own teacher then has what was brought in."""
    first, second = (open_store(f"sqlite:///{(tmp_path / name).as_posix()}") for name in ("a.db", "b.db"))
    furnish(first, "Gauges", "x", {"H01"})
    with second.write() as db:
        mine = teachers.local_teacher(db).id
    exchange.import_all(second, io.StringIO(out(first)))
    with second.read() as db:
        assert [one.title for one in kept.all_of(db, mine, "papers")] == ["Gauges"]
    first.close()
    second.close()


def test_two_laptops_on_one_server_stay_apart(tmp_path: Path, postgresql_server: str) -> None:
    """Every laptop's teacher has one name; on a server it must be said whose the things are."""
    server = open_store(fresh_database(postgresql_server))
    written = []
    for name in ("one", "two"):
        laptop = open_store(f"sqlite:///{(tmp_path / name).as_posix()}")
        furnish(laptop, name, "x", {"H01"})
        written.append(out(laptop))
        laptop.close()
    with server.write() as db:
        ada, grace = (teachers.add_teacher(db, name).id for name in ("ada", "grace"))
    with pytest.raises(EntryError, match="add one with"):
        exchange.import_all(server, io.StringIO(written[0]), teacher="nobody")
    for text, name in zip(written, ("ada", "grace"), strict=True):
        exchange.import_all(server, io.StringIO(text), teacher=name)
        assert sum(exchange.import_all(server, io.StringIO(text), teacher=name).values()) == 0
    with server.read() as db:
        assert [one.title for one in kept.all_of(db, ada, "papers")] == ["one"]
        assert [one.title for one in kept.all_of(db, grace, "papers")] == ["two"]
    server.close()


def test_a_second_laptop_is_not_taken_for_the_first(tmp_path: Path, postgresql_server: str) -> None:
    """Brought in without a name, its things are refused."""
    server = open_store(fresh_database(postgresql_server))
    for name in ("one", "two"):
        laptop = open_store(f"sqlite:///{(tmp_path / name).as_posix()}")
        furnish(laptop, name, "x", {"H01"})
        if name == "one":
            exchange.import_all(server, io.StringIO(out(laptop)))
        else:
            before = out(server)
            with pytest.raises(EntryError, match="--teacher NAME"):
                exchange.import_all(server, io.StringIO(out(laptop)))
            assert out(server) == before
        laptop.close()
    server.close()


@pytest.mark.parametrize(
    "row",
    [
        {"table": "teacher", "id": "a" * 13, "name": "x", "local": False, "created": ""},
        {"table": "teacher", "id": "a", "name": "x", "local": "maybe", "created": ""},
        {"table": "teacher", "id": ["a"], "name": {"b": 1}, "local": False, "created": None},
        {"table": "share", "kept": "none", "teacher": "none", "role": "viewer", "created": ""},
        {"table": "share", "kept": {}, "teacher": [], "role": 1, "created": "\0"},
    ],
    ids=["long", "no truth", "lists", "no parent", "odd"],
)
def test_a_row_that_cannot_be_is_refused_with_its_line(store: Store, row: dict[str, object]) -> None:
    """Whatever stands in its columns; never a traceback."""
    totals = dict.fromkeys(exchange.TABLES, 0) | {str(row["table"]): 1}
    head = {"schema": exchange.SCHEMA, "rows": totals}
    with pytest.raises(EntryError, match="line 2: this"):
        exchange.import_all(store, io.StringIO(f"{json.dumps(head)}\n{json.dumps(row)}\n"))
    assert json.loads(out(store))["rows"]["teacher"] == 0


@contextmanager
def written_all_the_while(store: Store) -> Iterator[None]:
    """Keep papers with a script each, one after the other, until the block ends."""
    ended = threading.Event()
    with store.write() as db:
        teacher = teachers.local_teacher(db).id

    def write() -> None:
        while not ended.is_set():
            with store.write() as db:
                papers = kept.keep(db, teacher, "papers", "Gauges", json.dumps(PAPERS) + " " * 5000).id
                scripts.put_script(db, teacher, papers, Script("H01", 1, {1: {"answer": "1"}}))

    thread = threading.Thread(target=write)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join()


def test_an_export_while_others_write_is_of_one_moment(make_store: Callable[[], Store]) -> None:
    """Each comes in whole: as many rows as the head says, none without its parent."""
    first = make_store()
    with written_all_the_while(first):
        files = [out(first) for _ in range(20)]
    second = make_store()
    for file in files:
        exchange.import_all(second, io.StringIO(file))


def test_a_backup_while_another_process_writes(tmp_path: Path) -> None:
    """It ends, and has each papers with its script."""
    url = f"sqlite:///{(tmp_path / 'store.db').as_posix()}"
    store, other = open_store(url), open_store(url)
    with store.write() as db:
        teacher = teachers.local_teacher(db).id
        kept.keep(db, teacher, "course", "of many pages", "x" * 20_000_000)
    with written_all_the_while(other):
        for number in range(5):
            back_up(store, tmp_path / f"copy-{number}.db")
    for number in range(5):
        copy = open_store(f"sqlite:///{(tmp_path / f'copy-{number}.db').as_posix()}")
        rows = json.loads(out(copy).partition("\n")[0])["rows"]
        assert rows["kept"] - 1 == rows["script"] == rows["answer"]
        copy.close()
    store.close()
    other.close()


def test_a_backup_is_the_whole_database_while_it_is_written(store: Store, tmp_path: Path) -> None:
    """The copy opens as a store of its own and has the same rows; another of the name is not overwritten."""
    furnish(store, "Gauges", "x", {"H01"})
    path = tmp_path / "copy.db"
    if not store.is_file:
        with pytest.raises(EntryError, match="pg_dump"):
            back_up(store, path)
        return
    with store.read() as reader:
        kept.all_of(reader, "nobody", "course")
        back_up(store, path)
    copy = open_store(f"sqlite:///{path.as_posix()}")
    assert out(copy) == out(store)
    copy.close()
    with pytest.raises(FileError, match="there already"):
        back_up(store, path)


def test_the_first_line_says_what_follows(store: Store) -> None:
    """The head has the schema and how many rows each table has."""
    furnish(store, "Gauges", "x", {"H01", "H02"})
    head, *rows = [json.loads(line) for line in out(store).splitlines()]
    assert head["schema"] == exchange.SCHEMA
    assert head["rows"]["script"] == 2
    assert sum(head["rows"].values()) == len(rows)


def test_a_backup_restored_elsewhere_is_equal(store: Store, tmp_path: Path) -> None:
    """By the command for a file, by its own tools for a server: opened elsewhere, every row is the same."""
    furnish(store, "Å gauge", "0.1010100", {"H01", "É", "_"})
    if store.is_file:
        back_up(store, tmp_path / "monday.db")
        url = f"sqlite:///{(tmp_path / 'monday.db').as_posix()}"
    else:
        where = store.url.set(drivername="postgresql").render_as_string(hide_password=False)
        url = fresh_server_database(where)
        for words in (
            [tool("pg_dump"), "--dbname", where, "--file", str(tmp_path / "monday.sql")],
            [
                tool("psql"),
                "--quiet",
                "--dbname",
                url,
                "--set",
                "ON_ERROR_STOP=1",
                "--file",
                str(tmp_path / "monday.sql"),
            ],
        ):
            subprocess.run(words, check=True, stdout=subprocess.DEVNULL)
    restored = open_store(url)
    assert out(restored) == out(store)
    with restored.read() as db:
        assert {one.name for one in db.query(TeacherRow) if one.password} == {"teacher"}
    restored.close()

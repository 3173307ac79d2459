"""The store: opened or refused in a sentence, brought up and down, and never half-written, whatever kills it."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import inspect, text, update

from chalkpoint.marking.answers import Script
from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.records import (
    jobs,
    kept,
    migrate,
    passwords,
    purge,
    rooms,
    scripts,
    sessions,
    teachers,
    tries,
)
from chalkpoint.records.ids import now, time_text
from chalkpoint.records.kept import NotKept
from chalkpoint.records.roomlines import Line, lines_of, write_lines
from chalkpoint.records.schema import Base, JobRow, KeptRow, SessionRow, TryRow
from chalkpoint.records.store import Store, open_store, read_url


@pytest.mark.parametrize("url", ["nonsense", "mysql://x/y", "sqlite://", "sqlite:///:memory:", "postgresql"])
def test_a_url_that_is_none_is_refused(url: str) -> None:
    """The sentence says what would do."""
    with pytest.raises(EntryError, match="give postgresql://"):
        read_url(url)


def test_a_file_that_cannot_be_opened_is_refused(tmp_path: Path) -> None:
    """A file that is no database, and a folder that cannot be, are said to be that."""
    (tmp_path / "note.db").write_text("This is a note, and no database at all." * 50)
    with pytest.raises(FileError, match="cannot be opened"):
        open_store(f"sqlite:///{(tmp_path / 'note.db').as_posix()}")
    with pytest.raises(FileError, match="cannot be opened"):
        open_store(f"sqlite:///{(tmp_path / 'note.db' / 'x.db').as_posix()}")


def test_a_server_that_is_behind_says_so(postgresql_server: str) -> None:
    """A PostgreSQL is brought up to date by its own command, never by opening it."""
    with pytest.raises(EntryError, match="records migrate"):
        open_store(postgresql_server)


def described(store: Store) -> dict[str, list[str]]:
    """Return all that the database itself says of its tables, whatever the order of their columns."""
    asked = inspect(store.engine)
    parts = ("columns", "pk_constraint", "foreign_keys", "unique_constraints", "indexes", "check_constraints")
    return {
        f"{table} {part}": sorted(map(str, found if isinstance(found, list) else [found]))
        for table in asked.get_table_names()
        for part in parts
        for found in [getattr(asked, f"get_{part}")(table)]
    }


def test_migrations_go_up_and_down(store: Store, teacher: str) -> None:
    """Down to nothing and up again, step by step; no table is left behind, and what a new database has is there."""
    new = described(store)
    with store.write() as db:
        kept.keep(db, teacher, "course", "12 Heron", "")
    for revision in ("0001", "base"):
        migrate.downgrade(store.engine, revision)
    assert migrate.current(store.engine) is None
    left = (
        "SELECT name FROM sqlite_master WHERE type = 'table'"
        if store.is_file
        else ("SELECT tablename FROM pg_tables WHERE schemaname = 'public'")
    )
    with store.engine.connect() as connection:
        assert {row[0] for row in connection.execute(text(left))} <= {"alembic_version"}
    migrate.upgrade(store.engine)
    assert migrate.current(store.engine) == migrate.head() == migrate.LATEST
    assert described(store) == new
    with store.engine.connect() as connection:
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, Base.metadata) == []


def test_two_who_write_at_once_wait_for_each_other(store: Store, teacher: str) -> None:
    """No write is lost or refused while another goes on."""

    def write() -> None:
        for number in range(20):
            with store.write() as db:
                kept.keep(db, teacher, "course", f"{number}", "")

    threads = [threading.Thread(target=write) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with store.read() as db:
        assert kept.count_of(db, teacher, "course") == 80


def test_reading_changes_nothing(store: Store, teacher: str) -> None:
    """What a reader does is undone."""
    with store.read() as db:
        kept.keep(db, teacher, "course", "12 Heron", "")
    with store.read() as db:
        assert kept.count_of(db, teacher, "course") == 0


def test_sessions_end(store: Store) -> None:
    """A session is known by its secret alone, until it is closed, all are, or it is too old."""
    with store.write() as db:
        ada = teachers.add_teacher(db, "ada")
        secrets = [sessions.open_session(db, ada) for _ in range(4)]
    with store.write() as db:
        assert all(sessions.who(db, secret) == ada for secret in secrets)
        assert sessions.who(db, "guess") is None
        sessions.close_session(db, secrets[0])
        assert sessions.who(db, secrets[0]) is None
        db.execute(update(SessionRow).values(created=time_text(datetime.now(UTC) - timedelta(days=31))))
        assert sessions.who(db, secrets[1]) is None
        fresh = sessions.open_session(db, ada)
        sessions.forget_old(db)
        assert sessions.who(db, fresh) == ada
        sessions.close_all(db, ada)
        assert sessions.who(db, fresh) is None


def test_passwords(store: Store) -> None:
    """Only the right name with the right password is let in; what is easily guessed is no password."""
    with store.write() as db:
        ada = teachers.add_teacher(db, "ada")
        assert not teachers.any_password(db)
        for easy in ("aaaaaaaaaaaa", "password1234", "qwertyuiop", "1234567890"):
            with pytest.raises(EntryError, match="first that anyone would try"):
                teachers.set_password(db, ada, easy)
        for wrong in ("short", "x" * 1001):
            with pytest.raises(EntryError, match="give it from 10"):
                teachers.set_password(db, ada, wrong)
        teachers.set_password(db, ada, "tide gauge at dawn")
        assert teachers.any_password(db)
        known, digest = teachers.digest_for(db, "ada")
        assert known == ada
        assert passwords.fits(digest, "tide gauge at dawn")
        assert not passwords.fits(digest, "tide gauge at dusk")
        assert teachers.digest_for(db, "grace")[0] is None
        with pytest.raises(EntryError, match="already"):
            teachers.add_teacher(db, "ada")


def test_tries_wait_longer_each_time_and_are_forgotten(store: Store) -> None:
    """Five are free; then each next one waits twice as long, a minute at most; a quarter of an hour forgets them."""
    with store.write() as db:
        waits = []
        for _ in range(14):
            waits.append(tries.wait_for(db, "password x"))
            tries.note(db, "password x")
        assert waits == [0, 0, 0, 0, 0, 1, 2, 4, 8, 16, 32, 60, 60, 60]
        assert tries.wait_for(db, "password y") == 0
        db.execute(update(TryRow).values(at=time_text(datetime.now(UTC) - timedelta(minutes=16))))
        assert tries.wait_for(db, "password x") == 0


def test_work_whose_process_is_gone_has_stopped(store: Store, teacher: str, other: str) -> None:
    """A job tells how far it is to its teacher only; one that was silent for a minute is said to have stopped."""
    with store.write() as db:
        job = jobs.start(db, teacher, "Setting 30 papers", 30)
        jobs.progress(db, job, 7, 30)
    with store.write() as db:
        assert (jobs.state(db, teacher, job).state, jobs.state(db, teacher, job).done) == ("running", 7)
        with pytest.raises(NotKept):
            jobs.state(db, other, job)
        db.execute(update(JobRow).values(seen=time_text(datetime.now(UTC) - timedelta(minutes=2))))
        assert jobs.state(db, teacher, job).state == "stopped"
        jobs.finish(db, job, "/set/papers/x")
        assert jobs.state(db, teacher, job).result == "/set/papers/x"


def test_a_live_room_counts_each_seat_once_and_is_forgotten(store: Store, teacher: str, other: str) -> None:
    """A line sent twice is one line; a closed room leaves nothing."""
    with store.write() as db:
        room = rooms.keep_room(db, teacher, "heron dune", "{}")
        secret = rooms.sit(db, room, 7)
        with pytest.raises(EntryError, match="sits on seat 7"):
            rooms.sit(db, room, 7)
        for written in ("0001", "0001", "0011"):
            write_lines(db, [Line(room, 1, 7, written)])
        write_lines(db, [Line(room, 2, 7, "1")])
    with store.read() as db:
        assert lines_of(db, room, 1) == {7: "0011"}
        seat = rooms.seat_of(db, secret)
        assert seat is not None
        assert (seat.number, rooms.came(db, [room])) == (7, {room: 1})
        with pytest.raises(NotKept):
            rooms.one_room(db, other, room)
    with store.write() as db:
        rooms.put_codes(db, teacher, room, [(7, "ABC"), (8, "DEF")])
        by_slip = rooms.code_room(db, "ABC")
        assert by_slip is not None
        fresh = rooms.sit(db, room, by_slip.number, by_slip=True)
        assert rooms.seat_of(db, secret) is None
        rooms.free_seat(db, teacher, room, 7)
        assert rooms.seat_of(db, fresh) is None
    with store.write() as db:
        rooms.close_room(db, teacher, room)
    with store.read() as db:
        assert lines_of(db, room, 1) == {}
        assert rooms.words_taken(db) == []


def test_purging_forgets_what_is_old_and_says_how_much(store: Store, teacher: str) -> None:
    """What is deleted goes with age, what is kept stays; a dry run forgets nothing."""
    with store.write() as db:
        gone = kept.keep(db, teacher, "course", "gone", "")
        kept.keep(db, teacher, "course", "stays", "")
        kept.delete(db, teacher, "course", gone.id)
    assert purge.purge(store, 1)["deleted things"] == 0
    assert purge.purge(store, 0, dry_run=True)["deleted things"] == 1
    assert purge.purge(store, 0)["deleted things"] == 1
    with store.read() as db:
        assert [one.title for one in kept.all_of(db, teacher, "course")] == ["stays"]
        assert list(kept.deleted(db, teacher)) == []
    with pytest.raises(EntryError, match="0 to"):
        purge.purge(store, -1)


def test_what_is_purged_is_in_no_byte_of_the_file(tmp_path: Path) -> None:
    """Neither in the database nor in its log of writes; and what belongs to a deleted thing is counted with it."""
    path = tmp_path / "store.db"
    store = open_store(f"sqlite:///{path.as_posix()}")
    with store.write() as db:
        me = teachers.local_teacher(db).id
        papers = kept.keep(db, me, "papers", "Gauges", "told by gull-4711").id
        scripts.put_script(db, me, papers, Script("gull-4711", 1, {1: {"answer": "written by gull-4711"}}))
        kept.delete(db, me, "papers", papers)
        db.execute(update(KeptRow).values(deleted=time_text(datetime.now(UTC) - timedelta(days=9))))
    assert any(b"gull-4711" in file.read_bytes() for file in tmp_path.iterdir())
    counts = purge.purge(store, 7)
    assert (counts["deleted things"], counts["scripts"]) == (1, 1)
    assert not any(b"gull-4711" in file.read_bytes() for file in tmp_path.iterdir())
    store.close()


def test_of_two_who_take_a_seat_at_once_one_has_it(store: Store, teacher: str) -> None:
    """The others are told that somebody sits there."""
    with store.write() as db:
        room = rooms.keep_room(db, teacher, "heron dune", "{}")
    secrets: list[str] = []
    refused: list[EntryError] = []

    def sit() -> None:
        try:
            with store.write() as db:
                secrets.append(rooms.sit(db, room, 7))
        except EntryError as reason:
            refused.append(reason)

    threads = [threading.Thread(target=sit) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(secrets), len(refused)) == (1, 5)
    with store.read() as db:
        assert rooms.seat_of(db, secrets[0]) is not None


def test_many_who_open_a_new_file_at_once_make_it_once(tmp_path: Path) -> None:
    """Each waits for the one who is making it."""
    url = f"sqlite:///{(tmp_path / 'store.db').as_posix()}"
    words = [
        sys.executable,
        "-c",
        "import sys; from chalkpoint.records.store import open_store as o; o(sys.argv[1])",
    ]
    opening = [subprocess.Popen([*words, url], stderr=subprocess.PIPE) for _ in range(4)]
    assert [(one.communicate()[1], one.returncode) for one in opening] == [(b"", 0)] * 4


def test_times_never_repeat() -> None:
    """However coarse the clock, what was written later says a later time."""
    times = [now() for _ in range(2000)]
    assert sorted(set(times)) == times


def test_a_store_is_made_where_there_is_none(tmp_path: Path, make_store: Callable[[], Store]) -> None:
    """Folders are made, and the file is ready to be written to."""
    store = open_store(f"sqlite:///{(tmp_path / 'a' / 'b' / 'store.db').as_posix()}")
    with store.write() as db:
        assert teachers.local_teacher(db).name == "teacher"
    store.close()

"""The same thing twice at once: each write done by two at the same moment is done, and neither of them breaks."""

from __future__ import annotations

import io
import json
import threading
from collections.abc import Callable
from typing import Any

import pytest

from chalkpoint.marking.answers import Script
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import (
    audit,
    exchange,
    jobs,
    kept,
    marks,
    migrate,
    one_pupil,
    overrides,
    retention,
    rooms,
    scripts,
    security,
    sessions,
    sharing,
    teachers,
    tries,
)
from chalkpoint.records.roomlines import Line, write_lines
from chalkpoint.records.store import Store, Transaction

TIMES = 6
PAPERS = json.dumps(
    {
        "schema": "chalkpoint.papers/1",
        "papers": [{"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}],
    }
)
DECISION: dict[str, Any] = {"student": "H01", "question": 1, "line": "answer", "marks": 1, "reason": "seen"}


class Made:
    """What is there before anything is written twice."""

    def __init__(self, store: Store) -> None:
        with store.write() as db:
            self.ada = teachers.add_teacher(db, "ada")
            self.grace = teachers.add_teacher(db, "grace")
            self.papers = kept.keep(db, self.ada.id, "papers", "Gauges", PAPERS).id
            self.class_id = kept.keep(db, self.ada.id, "class", "12 Heron", "[]").id
            self.room = rooms.keep_room(db, self.ada.id, "heron dune", "{}")
            self.seat = rooms.sit(db, self.room, 1)
            self.job = jobs.start(db, self.ada.id, "Marking")
            self.session = sessions.open_session(db, self.ada)


def script(written: str) -> Script:
    """Return a script of one line."""
    return Script("H01", 1, {1: {"answer": written}})


def put_and_delete(db: Transaction, made: Made) -> None:
    """Keep a script and delete it."""
    scripts.put_script(db, made.ada.id, made.papers, script("1"), over=True)
    scripts.delete_script(db, made.ada.id, made.papers, "H01")


def entry(code: str) -> dict[str, Any]:
    """Return a pupil's marks."""
    belief = {"misconception": "invert-only", "shown_on": [1], "could_show_on": [1], "named": True}
    return {"student": code, "marks": 1, "of": 2, "beliefs": [belief]}


Write = Callable[[Transaction, Made, int], object]
WRITES: dict[str, Write] = {
    "the first teacher of a laptop": lambda db, made, n: teachers.local_teacher(db),
    "a teacher added": lambda db, made, n: teachers.add_teacher(db, f"teacher {n}"),
    "the key": lambda db, made, n: security.key_of(db),
    "a script": lambda db, made, n: scripts.put_script(db, made.ada.id, made.papers, script(str(n))),
    "many scripts": lambda db, made, n: scripts.put_scripts(
        db, made.ada.id, made.papers, [Script(f"{n} {at}", 1, {1: {"answer": "1"}}) for at in range(30)]
    ),
    "a script deleted": lambda db, made, n: put_and_delete(db, made),
    "a share": lambda db, made, n: sharing.grant(db, made.ada.id, made.class_id, "grace", "viewer"),
    "a share ended": lambda db, made, n: sharing.revoke(db, made.ada.id, made.class_id, "grace"),
    "a room": lambda db, made, n: rooms.keep_room(db, made.ada.id, f"word {n}", "{}"),
    "codes": lambda db, made, n: rooms.put_codes(
        db, made.ada.id, made.room, [(seat, f"{n} {seat}") for seat in range(1, 31)]
    ),
    "a seat": lambda db, made, n: rooms.sit(db, made.room, 10 + n),
    "a seat by slip": lambda db, made, n: rooms.sit(db, made.room, 5, by_slip=True),
    "another seat for the same browser": lambda db, made, n: rooms.sit(
        db, made.room, 40 + n, before=made.seat
    ),
    "a seat freed": lambda db, made, n: rooms.free_seat(db, made.ada.id, made.room, 1),
    "all seats freed": lambda db, made, n: rooms.free_all(db, made.ada.id, made.room),
    "a room closed to newcomers": lambda db, made, n: rooms.let_in(
        db, made.ada.id, made.room, closed=True, per_address=0
    ),
    "a line": lambda db, made, n: write_lines(db, [Line(made.room, n, 1, "0101")]),
    "a try": lambda db, made, n: tries.note(db, "word"),
    "a session used": lambda db, made, n: sessions.touch(db, made.session),
    "a session ended": lambda db, made, n: sessions.close_session(db, made.session),
    "a thing deleted": lambda db, made, n: kept.delete(db, made.ada.id, "class", made.class_id),
    "a decision": lambda db, made, n: overrides.decide(
        db, made.ada.id, made.papers, student="H01", question=1, line="answer", marks=1, reason="seen"
    ),
    "a marking": lambda db, made, n: marks.keep_marks(
        db, made.ada.id, made.papers, [entry("H01"), entry("H02")]
    ),
    "a job begun": lambda db, made, n: jobs.start(db, made.ada.id, "Marking"),
    "a job's end": lambda db, made, n: jobs.finish(db, made.job, "/mark"),
    "a job that lives": lambda db, made, n: jobs.beat(db, made.job),
    "a look": lambda db, made, n: audit.note_look(db, made.grace.id, made.papers, f"H{n}"),
    "a pupil erased": lambda db, made, n: one_pupil.erase_pupil(db, made.ada.id, f"H{n}"),
    "how long": lambda db, made, n: retention.keep_for(db, 400 + n),
    "a shared session": lambda db, made, n: sessions.share_session(db, made.ada, f"secret {n}"),
    "a room ended": lambda db, made, n: rooms.close_room(db, made.ada.id, made.room),
}


def at_once(work: Callable[[], object]) -> list[str]:
    """Do something twice at the same moment; return the names of what broke but for refusals in a sentence."""
    together, broke = threading.Barrier(2), []

    def do() -> None:
        together.wait()
        try:
            work()
        except ChalkpointError:
            pass
        except Exception as reason:  # noqa: BLE001 - told below
            broke.append(type(reason).__name__)

    pair = [threading.Thread(target=do) for _ in range(2)]
    for one in pair:
        one.start()
    for one in pair:
        one.join()
    return broke


@pytest.mark.parametrize("name", WRITES)
def test_a_write_done_twice_at_once_breaks_nothing(store: Store, name: str) -> None:
    """Both are done, or one is refused in a sentence; the database never says no."""
    made = Made(store)
    for number in range(1, TIMES + 1):

        def write(number: int = number) -> None:
            with store.write() as db:
                WRITES[name](db, made, number)

        assert at_once(write) == []


def test_an_archive_brought_in_twice_at_once_is_there_once(make_store: Callable[[], Store]) -> None:
    """Each of the two is whole, or one is refused in a sentence and may be sent again."""
    first, second = make_store(), make_store()
    made, file = Made(first), io.StringIO()
    with first.write() as db:
        scripts.put_script(db, made.ada.id, made.papers, script("1"))
        marks.keep_marks(db, made.ada.id, made.papers, [entry("H01")])
    exchange.export_all(first, file)
    lines = file.getvalue().splitlines(keepends=True)
    assert at_once(lambda: exchange.import_all(second, lines)) == []
    again = io.StringIO()
    exchange.export_all(second, again)
    assert again.getvalue() == file.getvalue()


def test_a_database_brought_up_to_date_twice_at_once_is_so_once(store: Store) -> None:
    """Two who migrate: both find it up to date afterwards."""
    migrate.downgrade(store.engine, "base")
    assert at_once(lambda: migrate.upgrade(store.engine)) == []
    assert migrate.current(store.engine) == migrate.head()

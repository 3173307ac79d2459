"""A writer killed at any moment, with uploads, marking and live answers under way: what it told of stands whole.

Here a few kills on each database; many by `CHALKPOINT_KILLS=50 pytest tests/records/test_killed.py`.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from sqlalchemy import func, select, text

from chalkpoint.records.schema import BeliefRow, EntryRow, KeptRow, LineRow, RunRow, ScriptRow
from chalkpoint.records.store import Store, open_store
from conftest_records import DATABASES, fresh_database

KILLS = int(os.environ.get("CHALKPOINT_KILLS", "2"))
PUPILS, SEATS = 20, 10
WRITER = """
import json, os, sys, threading
from chalkpoint.marking.answers import Script
from chalkpoint.marking.students import Marker
from chalkpoint.records import kept, marks, rooms, scripts, teachers
from chalkpoint.records.roomlines import Line, write_lines
from chalkpoint.records.store import open_store
from chalkpoint.setting.paperfile import papers_from

url, count, pupils, seats = sys.argv[1], *map(int, sys.argv[2:])
asked = {"schema": "chalkpoint.papers/1", "title": "Gauges", "papers": [
    {"variant": 1, "questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]}
handed_in = [Script(f"H{at}", 1, {1: {"answer": "0.1010011 0011"}}) for at in range(pupils)]
marker = Marker(papers_from(asked))
entries = [marker.entry(one) for one in handed_in]
store = open_store(url)
with store.write() as db:
    me = teachers.local_teacher(db).id
    room = rooms.keep_room(db, me, f"heron {count}", "{}")

def say(*words):
    os.write(1, (" ".join(map(str, words)) + "\\n").encode())  # in one piece, whichever thread says it

def upload(number):
    with store.write() as db:
        papers = kept.keep(db, me, "papers", "Gauges", json.dumps(asked)).id
        scripts.put_scripts(db, me, papers, handed_in)
        marks.keep_marks(db, me, papers, entries)
    say("papers", papers)

def mark_again(number):
    with store.write() as db:
        own = kept.titles_of(db, me, "papers", limit=1)
        run = marks.keep_marks(db, me, own[0].id, entries).id if own else ""
    if run:
        say("run", run)

def live(number):
    with store.write() as db:
        write_lines(db, [Line(room, number, seat, "0011") for seat in range(1, seats + 1)])
    say("round", room, number)

def again(work):
    number = 0
    while True:
        number += 1
        work(number)

say("open")
for work in (upload, mark_again, live):
    threading.Thread(target=again, args=(work,)).start()
"""


def killed(url: str, count: int, after: float) -> set[tuple[str, ...]]:
    """Let a writer write for so many seconds and kill it; return what it had told of."""
    words = [sys.executable, "-c", WRITER, url, str(count), str(PUPILS), str(SEATS)]
    writer = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
    assert writer.stdout is not None
    assert writer.stdout.readline() == "open\n"
    timer = threading.Timer(after, writer.kill)
    timer.start()
    lines = [tuple(line.split()) for line in writer.stdout if line.endswith("\n")]
    writer.wait()
    timer.cancel()
    writer.stdout.close()
    return set(lines)


@pytest.mark.parametrize("database", DATABASES)
def test_killed_in_mid_write_nothing_acknowledged_is_lost(
    request: pytest.FixtureRequest, tmp_path: Path, database: str
) -> None:
    """Every upload with all its scripts and marks, every marking whole, every round of live lines whole."""
    on_server = database == "postgresql"
    url = (
        fresh_database(request.getfixturevalue("postgresql_server"))
        if on_server
        else f"sqlite:///{(tmp_path / 'store.db').as_posix()}"
    )
    rng, told = random.Random(1), set()
    for count in range(KILLS):
        told |= killed(url, count, rng.uniform(0.005, 0.25))
    store = open_store(url)
    stands = standing(store)
    assert told
    assert told <= stands, sorted(told - stands)[:3]
    if not on_server:
        with store.read() as db:
            assert db.execute(text("PRAGMA integrity_check")).scalar() == "ok"
    store.close()


def standing(store: Store) -> set[tuple[str, ...]]:
    """Return what stands, as the writer tells of it; nothing of it may be half."""
    with store.read() as db:
        papers = db.scalars(select(KeptRow.id).where(KeptRow.kind == "papers")).all()
        scripts = db.execute(select(ScriptRow.papers, func.count()).group_by(ScriptRow.papers)).all()
        runs = db.scalars(select(RunRow.id)).all()
        entries = db.execute(select(EntryRow.run, func.count()).group_by(EntryRow.run)).all()
        beliefs = db.execute(select(BeliefRow.run, func.count()).group_by(BeliefRow.run)).all()
        rounds = db.execute(
            select(LineRow.room, LineRow.round, func.count()).group_by(LineRow.room, LineRow.round)
        ).all()
    assert {(one, PUPILS) for one in papers} == {tuple(row) for row in scripts}
    assert {(one, PUPILS) for one in runs} == {tuple(row) for row in entries}
    assert {count % PUPILS for _, count in beliefs} <= {0}
    assert {count for *_, count in rounds} <= {SEATS}
    return (
        {("papers", one) for one in papers}
        | {("run", one) for one in runs}
        | {("round", room, str(number)) for room, number, _ in rounds}
    )

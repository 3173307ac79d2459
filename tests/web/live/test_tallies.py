"""A tally is made once for each change, whoever looks, and an open page is told what differs."""

from __future__ import annotations

from concurrent.futures import wait

import pytest
from sqlalchemy import event

from chalkpoint.records import rooms, teachers
from chalkpoint.records.roomlines import Line, lines_of, write_lines
from chalkpoint.records.store import Store
from chalkpoint.teaching.live.room import close_round, open_room, open_round
from chalkpoint.web.live.opened import body_of
from chalkpoint.web.live.seats import Seats, Sent
from chalkpoint.web.live.tallies import Tallies, difference

ROOM = open_round(open_room(["subtract 8.875, 3.6875"], word="heron dune"))
RIGHT, INVERTED = "0.0011101", "0.1110110"


@pytest.fixture
def room(store: Store) -> str:
    """A room in its first round; two sit in it."""
    with store.write() as db:
        made = rooms.keep_room(db, teachers.add_teacher(db, "ada").id, "heron dune", body_of(ROOM))
        for seat in (1, 2):
            rooms.sit(db, made, seat)
    return made


def put(store: Store, room: str, seat: int, written: str) -> None:
    """Write a line."""
    with store.write() as db:
        write_lines(db, [Line(room, 1, seat, written)])


def test_a_page_is_told_only_the_rows_that_differ(store: Store, room: str) -> None:
    """First all of it; then the row that is new, then the two whose counts changed; nothing where nothing did."""
    tallies = Tallies(store)
    seen = [tallies.looks.ask(room).result()]
    for seat, written in ((1, RIGHT), (2, INVERTED), (2, RIGHT)):
        put(store, room, seat, written)
        seen.append(tallies.looks.ask(room).result())
    put(store, room, 2, RIGHT)
    seen.append(tallies.looks.ask(room).result())
    tallies.close()
    none, first, second, changed, same = (one for one in seen if one is not None)
    assert difference(None, none) == ("tally", {"state": none.state, "html": none.whole})
    assert difference(none, first) == (
        "tally",
        {"state": first.state, "html": first.whole},
    )  # its table is new
    told = difference(first, second)
    assert told is not None
    assert told[0] == "change"
    assert told[1]["says"] == "<b>2</b> of 2 have written."
    assert list(told[1]["rows"]) == [INVERTED]
    assert told[1]["order"] == [RIGHT, INVERTED]
    told = difference(second, changed)
    assert told is not None
    assert (list(told[1]["rows"]), told[1]["order"]) == ([RIGHT], [RIGHT])  # nobody wrote the other any more
    assert difference(changed, same) is None


def test_a_page_whose_buttons_change_is_told_all(store: Store, room: str) -> None:
    """The state is another, so the page is loaded anew."""
    tallies = Tallies(store)
    put(store, room, 1, RIGHT)
    before = tallies.looks.ask(room).result()
    with store.write() as db:
        one = rooms.rooms_with(db, [room])[room]
        owner = teachers.teacher_called(db, "ada")
        assert owner is not None
        rooms.change_room(db, owner.id, one.id, body_of(close_round(ROOM)))
    now = tallies.looks.ask(room).result()
    tallies.close()
    assert before is not None
    assert now is not None
    told = difference(before, now)
    assert told is not None
    assert told[0] == "tally"
    assert told[1]["state"] != before.state


def test_pages_that_look_at_the_same_rooms_cost_one_look(store: Store, room: str) -> None:
    """Ten pages of one room, and one of a room that is closed: three statements."""
    tallies, said = Tallies(store), []

    def note(*args: object) -> None:
        said.append(str(args[2]))

    event.listen(store.engine, "before_cursor_execute", note)
    asked = [tallies.looks.ask(own) for own in (*[room] * 10, "closed")]
    wait(asked)
    tallies.close()
    event.remove(store.engine, "before_cursor_execute", note)
    assert len([one for one in said if one.startswith("SELECT")]) == 3
    assert len({id(one.result()) for one in asked[:10]}) == 1
    assert asked[10].result() is None


def test_lines_sent_at_once_are_one_transaction_and_each_is_answered_for_itself(store: Store) -> None:
    """Thirty send, one of them twice and one nothing that can be read; one has lost its seat."""
    with store.write() as db:
        teacher = teachers.add_teacher(db, "ada").id
        room = rooms.keep_room(db, teacher, "heron dune", body_of(ROOM))
        secrets = [rooms.sit(db, room, seat) for seat in range(1, 31)]
        rooms.free_seat(db, teacher, room, 30)
    told: list[tuple[str, str]] = []
    seats = Seats(store, lambda room, kind: told.append((room, kind)))
    commits: list[object] = []

    def note(connection: object) -> None:
        commits.append(connection)

    event.listen(store.engine, "commit", note)
    with store.write():  # on a file, whoever writes waits, and the others gather behind the first
        sent = [seats.lines.ask(Sent(secrets[0], 1, "00011100"))]
        sent += [seats.lines.ask(Sent(secret, 1, "00011101")) for secret in secrets]
        sent += [seats.lines.ask(Sent(secrets[1], 1, "banana"))]
    wait(sent)
    seats.close()
    event.remove(store.engine, "commit", note)
    with store.read() as db:
        assert lines_of(db, room, 1) == dict.fromkeys(range(1, 30), RIGHT)
    assert [one.result() is None for one in sent[:-1]] == [False] * 30 + [True]
    assert "banana" in str(sent[-1].exception())
    assert set(told) == {(room, "lines")}
    assert len(commits) <= 8

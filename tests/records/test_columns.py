"""What one database would refuse is refused on both, in a sentence; a key that cannot be is nobody's."""

from __future__ import annotations

import pytest

from chalkpoint.marking.answers import Script
from chalkpoint.records import jobs, kept, overrides, rooms, scripts, sharing
from chalkpoint.records.columns import Unwritable
from chalkpoint.records.kept import NotKept
from chalkpoint.records.store import Store

IMPOSSIBLE = ["x" * 13, "\0", "\ud800", "é" * 400]


@pytest.mark.parametrize(
    ("body", "student", "variant"),
    [("\0", "H01", 1), ("half \ud800", "H01", 1), ("", "H" * 201, 1), ("", "H01", 2**31)],
    ids=["sign 0", "half a sign", "too long", "too large"],
)
def test_what_cannot_be_kept_leaves_nothing(
    store: Store, teacher: str, body: str, student: str, variant: int
) -> None:
    """The whole transaction is undone."""

    def keep() -> None:
        with store.write() as db:
            papers = kept.keep(db, teacher, "papers", "Gauges", body).id
            scripts.put_script(db, teacher, papers, Script(student, variant))

    with pytest.raises(Unwritable, match="give"):
        keep()
    with store.read() as db:
        assert kept.count_of(db, teacher, "papers") == 0


def test_what_is_just_possible_is_kept(store: Store, teacher: str) -> None:
    """The longest code and the largest number, counted in signs and not in bytes."""
    with store.write() as db:
        papers = kept.keep(db, teacher, "papers", "é" * 200, "\x01🛟\r\n").id
        scripts.put_script(db, teacher, papers, Script("é" * 200, 2**31 - 1))
    with store.read() as db:
        assert kept.one(db, teacher, "papers", papers).body == "\x01🛟\r\n"
        assert scripts.script_of(db, teacher, papers, "é" * 200).variant == 2**31 - 1


@pytest.mark.parametrize("id", IMPOSSIBLE)
def test_an_impossible_id_is_not_found(store: Store, teacher: str, id: str) -> None:
    """It is answered like any other that is not there."""
    with store.read() as db:
        papers = kept.keep(db, teacher, "papers", "Gauges", "").id
        for look in (
            lambda: kept.one(db, teacher, "course", id),
            lambda: jobs.state(db, teacher, id),
            lambda: overrides.withdraw(db, teacher, papers, id),
            lambda: sharing.shared_with(db, teacher, id),
            lambda: scripts.script_of(db, teacher, papers, id),
            lambda: scripts.script_of(db, teacher, id, "H01"),
            lambda: rooms.one_room(db, teacher, id),
        ):
            with pytest.raises(NotKept):
                look()
        assert rooms.room_with(db, id) is None


def test_codes_come_in_one_order(store: Store, teacher: str) -> None:
    """By their bytes, whatever language a database sorts by."""
    codes = ["H01", "h02", "H-1", "É", "z", "_", "H 1", "a"]
    with store.write() as db:
        papers = kept.keep(db, teacher, "papers", "Gauges", "").id
        scripts.put_scripts(db, teacher, papers, [Script(code, 1) for code in codes])
    with store.read() as db:
        wanted = sorted(codes, key=str.encode)
        assert [one.student for one in scripts.scripts_of(db, teacher, papers)] == wanted
        assert [one.student for one in scripts.handed_in(db, teacher, papers)] == wanted

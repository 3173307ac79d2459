"""What a teacher keeps: found by nobody else, changed whole, deleted and brought back."""

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import kept
from chalkpoint.records.kept import NotKept
from chalkpoint.records.store import Store


def test_a_thing_is_kept_changed_and_listed(store: Store, teacher: str) -> None:
    """What was kept comes back as it was, newest first."""
    with store.write() as db:
        first = kept.keep(db, teacher, "course", "12 Heron", 'format = "6+4"', about={"from": "a sheet"})
        second = kept.keep(db, teacher, "course", "13 Heron", "")
    with store.write() as db:
        kept.change(db, teacher, "course", first.id, body='format = "8+4"')
    with store.read() as db:
        found = kept.one(db, teacher, "course", first.id)
        assert (found.title, found.body, found.about) == ("12 Heron", 'format = "8+4"', {"from": "a sheet"})
        assert found.changed > found.created
        assert [one.id for one in kept.all_of(db, teacher, "course")] == [second.id, first.id]
        assert [one.id for one in kept.all_of(db, teacher, "course", limit=1)] == [second.id]
        assert [one.id for one in kept.all_of(db, teacher, "course", start=1)] == [first.id]
        assert [one.id for one in kept.titles_of(db, teacher, "course", start=1, limit=1)] == [first.id]
        assert kept.count_of(db, teacher, "course") == 2


@pytest.mark.parametrize("kind", kept.KINDS)
def test_another_teachers_thing_is_not_found(store: Store, teacher: str, other: str, kind: str) -> None:
    """What is another's is answered like what does not exist, word for word but for its name."""
    with store.write() as db:
        one = kept.keep(db, teacher, kind, "mine", "")
    with store.write() as db:
        for act in (kept.one, kept.delete, kept.restore, kept.change):
            with pytest.raises(NotKept, match="is kept here"):
                act(db, other, kind, one.id)
        assert kept.all_of(db, other, kind) == []
    with pytest.raises(NotKept), store.read() as db:
        kept.one(db, teacher, next(each for each in kept.KINDS if each != kind), one.id)


def test_what_is_deleted_comes_back(store: Store, teacher: str) -> None:
    """A deleted thing is not found and not counted, until it is brought back."""
    with store.write() as db:
        one = kept.keep(db, teacher, "lesson", "Gauges", "")
    with store.write() as db:
        kept.delete(db, teacher, "lesson", one.id)
    with store.read() as db:
        assert [each.id for each in kept.deleted(db, teacher)] == [one.id]
        assert kept.count_of(db, teacher, "lesson") == 0
        with pytest.raises(NotKept):
            kept.one(db, teacher, "lesson", one.id)
    with store.write() as db:
        kept.restore(db, teacher, "lesson", one.id)
    with store.read() as db:
        assert kept.one(db, teacher, "lesson", one.id).title == "Gauges"


@pytest.mark.parametrize(
    ("kind", "title", "said"),
    [("thing", "x", "not kept"), ("course", " ", "0 char"), ("course", "x" * 201, "201")],
)
def test_what_cannot_be_kept_is_refused_and_nothing_is(
    store: Store, teacher: str, kind: str, title: str, said: str
) -> None:
    """A refusal says what would do, and undoes the whole transaction."""

    def keep_two() -> None:
        with store.write() as db:
            kept.keep(db, teacher, "course", "before", "")
            kept.keep(db, teacher, kind, title, "")

    with pytest.raises(EntryError, match=said):
        keep_two()
    with store.read() as db:
        assert kept.count_of(db, teacher, "course") == 0

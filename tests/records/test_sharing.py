"""Who else may look: a viewer, a moderator, nobody else; and none of them may write."""

from __future__ import annotations

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import audit, kept, scripts, sharing, teachers
from chalkpoint.records.kept import NotKept
from chalkpoint.records.sharing import MODERATOR, VIEWER
from chalkpoint.records.store import Store
from chalkpoint.records.teachers import Teacher


@pytest.fixture
def reader(store: Store) -> Teacher:
    """Another teacher."""
    with store.write() as db:
        return teachers.add_teacher(db, "grace")


@pytest.fixture
def group(store: Store, teacher: str) -> str:
    """A class of the first teacher's."""
    with store.write() as db:
        return kept.keep(db, teacher, "class", "12 Heron", "H01").id


def test_a_viewer_reads_a_class_and_its_papers(
    store: Store, teacher: str, reader: Teacher, group: str
) -> None:
    """A shared class shows the papers it was set, through the owner's id; other papers stay unseen."""
    with store.write() as db:
        set_for_it = kept.keep(db, teacher, "papers", "Gauges", "{}", about={"class": group}).id
        others = kept.keep(db, teacher, "papers", "Masts", "{}").id
        assert not sharing.may_read(db, reader.id, "class", group)
        sharing.grant(db, teacher, "class", group, reader)
    with store.read() as db:
        assert sharing.owner_of(db, reader.id, "papers", set_for_it) == teacher
        assert scripts.handed_in(db, sharing.owner_of(db, reader.id, "papers", set_for_it), set_for_it) == []
        assert [(one.thing.id, one.owner.id, one.role) for one in sharing.shared_with(db, reader.id)] == [
            (group, teacher, VIEWER)
        ]
        with pytest.raises(NotKept):
            sharing.owner_of(db, reader.id, "papers", others)
        assert not sharing.may_write(db, reader.id, "class", group)
        assert sharing.may_write(db, teacher, "class", group)
    with pytest.raises(NotKept), store.write() as db:
        kept.change(db, reader.id, "class", group, body="H02")


def test_a_share_ends_and_is_told_in_the_audit(
    store: Store, teacher: str, reader: Teacher, group: str
) -> None:
    """What was taken back is not found again, and the audit has every change of it."""
    with store.write() as db:
        sharing.grant(db, teacher, "class", group, reader)
        sharing.grant(db, teacher, "class", group, reader, MODERATOR)
        assert sharing.shared_by(db, teacher, "class", group) == [(reader, MODERATOR)]
        sharing.revoke(db, teacher, "class", group, reader)
        sharing.revoke(db, teacher, "class", group, reader)
        assert not sharing.may_read(db, reader.id, "class", group)
        assert sharing.shared_by(db, teacher, "class", group) == []
        assert [(one.what, one.before, one.after) for one in audit.audit_of(db, teacher, group)] == [
            ("shared", "grace: ", "grace: viewer"),
            ("shared", "grace: viewer", "grace: moderator"),
            ("no longer shared", "grace: moderator", "grace: "),
        ]


def test_what_is_deleted_is_shared_no_more(store: Store, teacher: str, reader: Teacher, group: str) -> None:
    """Papers of a deleted class are not found by its viewer either."""
    with store.write() as db:
        papers = kept.keep(db, teacher, "papers", "Gauges", "{}", about={"class": group}).id
        sharing.grant(db, teacher, "class", group, reader)
        kept.delete(db, teacher, "class", group)
        assert not sharing.may_read(db, reader.id, "class", group)
        assert not sharing.may_read(db, reader.id, "papers", papers)
        assert sharing.shared_with(db, reader.id) == []


def test_a_class_named_by_another_teachers_papers_opens_nothing(
    store: Store, teacher: str, other: str, group: str
) -> None:
    """Papers that claim another teacher's class do not become readable to that class's viewers."""
    with store.write() as db:
        eve = teachers.add_teacher(db, "eve")
        sharing.grant(db, teacher, "class", group, eve)
        papers = kept.keep(db, other, "papers", "Masts", "{}", about={"class": group}).id
        assert not sharing.may_read(db, eve.id, "papers", papers)


def test_what_cannot_be_shared_is_refused(store: Store, teacher: str, reader: Teacher, group: str) -> None:
    """Not what is another's, not with oneself, not another kind or role."""
    with store.write() as db:
        with pytest.raises(NotKept):
            sharing.grant(db, reader.id, "class", group, Teacher(teacher, "ada"))
        with pytest.raises(NotKept):
            sharing.revoke(db, reader.id, "class", group, reader)
        with pytest.raises(NotKept):
            sharing.shared_by(db, reader.id, "class", group)
        with pytest.raises(EntryError, match="name another"):
            sharing.grant(db, teacher, "class", group, Teacher(teacher, "ada"))
        with pytest.raises(EntryError, match="is not shared"):
            sharing.grant(db, teacher, "course", group, reader)
        with pytest.raises(EntryError, match="did you mean viewer"):
            sharing.grant(db, teacher, "class", group, reader, "view")

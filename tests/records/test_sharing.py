"""A shared class on both databases: found by those it is shared with, as long as it is."""

from __future__ import annotations

import pytest

from chalkpoint.records import audit, kept, sharing
from chalkpoint.records.kept import NotKept
from chalkpoint.records.store import Store


def test_a_share_is_found_changed_and_ended(store: Store, teacher: str, other: str) -> None:
    """Only the class's own papers come with it; the audit has every change."""
    with store.write() as db:
        group = kept.keep(db, teacher, "class", "12 Heron", "H01").id
        sat = kept.keep(db, teacher, "papers", "Gauges", "{}", about={"class": group}).id
        unsat = kept.keep(db, teacher, "papers", "Masts", "{}").id
        claimed = kept.keep(db, other, "papers", "Tides", "{}", about={"class": group}).id
        assert sharing.shared_with(db, other) == []
        sharing.grant(db, teacher, group, "grace", "viewer")
    with store.write() as db:
        sharing.grant(db, teacher, group, "grace", "moderator")
        assert sharing.shares_of(db, teacher, group) == [("grace", "moderator")]
        shared, papers = sharing.papers_shared(db, other, group, sat)
        assert (shared.owner, shared.sees_scripts, papers.id) == (teacher, True, sat)
        for papers_id in (unsat, claimed):
            with pytest.raises(NotKept):
                sharing.papers_shared(db, other, group, papers_id)
        sharing.revoke(db, teacher, group, "grace")
        with pytest.raises(NotKept):
            sharing.shared_with(db, other, group)
        assert [(one.before, one.after) for one in audit.audit_of(db, teacher, group)] == [
            ("", "grace: viewer"),
            ("viewer", "grace: moderator"),
            ("grace", ""),
        ]


def test_a_deleted_class_is_shared_no_more(store: Store, teacher: str, other: str) -> None:
    """Until it is brought back."""
    with store.write() as db:
        group = kept.keep(db, teacher, "class", "12 Heron", "H01").id
        sharing.grant(db, teacher, group, "grace", "viewer")
        kept.delete(db, teacher, "class", group)
        assert sharing.shared_with(db, other) == []
        kept.restore(db, teacher, "class", group)
        assert [one.one.id for one in sharing.shared_with(db, other)] == [group]

"""Owner, viewer and moderator: each sees what that role may, by every route, and only the owner changes anything."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import audit, kept, sessions, sharing, teachers
from chalkpoint.records.kept import NotKept
from chalkpoint.records.store import Store
from chalkpoint.web.app import create_app
from chalkpoint.web.settings import Settings
from conftest_web import ORIGIN, PAPERS, Client

NAMES = ("ada", "grace", "mary", "joan")


@dataclass
class School:
    """Four teachers' browsers, and a class of the first with papers that are marked."""

    store: Store
    browsers: dict[str, Client]
    ids: dict[str, str]
    group: str
    papers: str


@pytest.fixture
def school(store: Store, tmp_path: Path) -> Iterator[School]:
    """Ada's class, shared with Grace as viewer and with Mary as moderator; Joan is nobody here."""
    with store.write() as db:
        all_four = {name: teachers.add_teacher(db, name) for name in NAMES}
        teachers.set_password(db, all_four["ada"], "tide gauge at dawn")
        secrets = {name: sessions.open_session(db, one) for name, one in all_four.items()}
        ada = all_four["ada"].id
        group = kept.keep(db, ada, "class", "12 Heron", "H01\nH02").id
        papers = kept.keep(db, ada, "papers", "Gauges", json.dumps(PAPERS), about={"class": group}).id
    app = create_app(store, Settings(), cache=tmp_path / "made")
    with Client(app, base_url=ORIGIN, cookies={"chalkpoint": secrets["ada"]}) as first:
        browsers = {
            name: Client(app, base_url=ORIGIN, cookies={"chalkpoint": secret})
            for name, secret in secrets.items()
        }
        first.submit(
            f"/mark/papers/{papers}/answers", pasted="student,1\nH01,0.1010100 0011\nH02,010100 0011"
        )
        for name, role in (("grace", "viewer"), ("mary", "moderator")):
            first.submit(f"/mark/classes/{group}/share", teacher=name, role=role)
        yield School(store, browsers, {name: one.id for name, one in all_four.items()}, group, papers)


@pytest.mark.parametrize(
    ("page", "seen_by"),
    [
        ("/shared/{group}", {"grace", "mary"}),
        ("/shared/{group}/{papers}", {"grace", "mary"}),
        ("/shared/{group}/{papers}/scripts/H01", {"mary"}),
        ("/shared/{group}/{papers}/questions/1", {"mary"}),
        ("/mark/classes/{group}", {"ada"}),
        ("/mark/papers/{papers}", {"ada"}),
        ("/mark/papers/{papers}/scripts/H01", {"ada"}),
    ],
)
def test_each_sees_what_the_role_may(school: School, page: str, seen_by: set[str]) -> None:
    """Whoever may not look is answered as if nothing were there."""
    address = page.format(group=school.group, papers=school.papers)
    for name, browser in school.browsers.items():
        answer = browser.get(address)
        assert answer.status_code == (200 if name in seen_by else 404), name
        assert ("Gauges" in answer.text or "12 Heron" in answer.text) == (name in seen_by), name


def test_nobody_but_the_owner_changes_anything(school: School) -> None:
    """A viewer's and a moderator's pages have no form for it, and forms sent all the same find nothing."""
    forms: tuple[tuple[str, dict[str, Any]], ...] = (
        (f"/mark/classes/{school.group}", {"title": "Mine", "codes": "3"}),
        (f"/mark/classes/{school.group}/share", {"teacher": "joan", "role": "viewer"}),
        (
            f"/mark/papers/{school.papers}/scripts/H01/decide",
            {"question": "1", "line": "add", "marks": "1", "reason": "x"},
        ),
        (f"/kept/class/{school.group}/delete", {}),
    )
    table = school.browsers["mary"].said(f"/shared/{school.group}/{school.papers}/questions/1")
    assert "H02" in table
    table_page = school.browsers["mary"].get(f"/shared/{school.group}/{school.papers}/questions/1?row=x").text
    assert table_page.count("<form") == school.browsers["mary"].get("/shared").text.count("<form")
    for name in ("grace", "mary", "joan"):
        page = school.browsers[name].get(f"/shared/{school.group}/{school.papers}").text
        assert "/decide" not in page
        for path, fields in forms:
            assert school.browsers[name].submit(path, **fields).status_code == 404


def test_what_was_shared_is_shared_no_longer(school: School) -> None:
    """Taken back, or the class deleted, it is not found; each change is told in the audit."""
    school.browsers["ada"].submit(f"/mark/classes/{school.group}/unshare", teacher="grace")
    assert school.browsers["grace"].get(f"/shared/{school.group}").status_code == 404
    assert "12 Heron" not in school.browsers["grace"].get("/shared").text
    assert "12 Heron" in school.browsers["mary"].get("/shared").text
    school.browsers["ada"].submit(f"/kept/class/{school.group}/delete")
    assert school.browsers["mary"].get(f"/shared/{school.group}").status_code == 404
    with school.store.read() as db:
        told = [line.what for line in audit.audit_of(db, school.ids["ada"], school.group)]
    assert told == ["shared", "shared", "shared no longer"]


def test_papers_of_another_class_are_not_reached_through_a_shared_one(school: School) -> None:
    """Only what the class sat is shared with it."""
    with school.store.write() as db:
        other = kept.keep(db, school.ids["ada"], "papers", "Others", json.dumps(PAPERS)).id
    assert school.browsers["mary"].get(f"/shared/{school.group}/{other}").status_code == 404


@pytest.mark.parametrize(
    ("name", "role", "said"),
    [("nobody", "viewer", "not another"), ("ada", "viewer", "not another"), ("joan", "king", "not a role")],
)
def test_who_cannot_be_let_in_is_refused(school: School, name: str, role: str, said: str) -> None:
    """One sentence says what would do."""
    with pytest.raises(EntryError, match=said), school.store.write() as db:
        sharing.grant(db, school.ids["ada"], school.group, name, role)
    with pytest.raises(NotKept), school.store.write() as db:
        sharing.grant(db, school.ids["joan"], school.group, "grace", "viewer")


def test_who_looked_at_a_script_is_noted_and_shown_to_the_owner(school: School) -> None:
    """Two looks within the hour are one; the owner's own are not noted, and a viewer sees no script at all."""
    for _ in range(2):
        school.browsers["mary"].get(f"/shared/{school.group}/{school.papers}/scripts/H01")
    school.browsers["grace"].get(f"/shared/{school.group}/{school.papers}/scripts/H02")
    school.browsers["ada"].get(f"/mark/papers/{school.papers}/scripts/H02")
    school.browsers["mary"].get(f"/shared/{school.group}/{school.papers}/questions/1")
    with school.store.read() as db:
        looks = [(line.who, line.after) for line in audit.looks_at(db, [school.papers])]
    assert looks == [("mary", "H01"), ("mary", "question 1, every script")]
    assert "mary: H01" in school.browsers["ada"].said(f"/mark/classes/{school.group}")

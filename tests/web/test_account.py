"""Sessions a teacher can see and end, a password changed in the browser, cookies that fit TLS, private files."""

from __future__ import annotations

import os
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import select, update

from chalkpoint.records import security, sessions, teachers
from chalkpoint.records.ids import time_text
from chalkpoint.records.schema import SecurityRow, SessionRow
from chalkpoint.records.store import Store, back_up, open_store
from chalkpoint.web.app import create_app
from chalkpoint.web.settings import Settings
from conftest_web import Client

PUBLIC = "https://chalk.heron.example"
OLD, NEW = "tide gauge at dawn", "the mast logs drift"


@pytest.fixture
def browser(store: Store, tmp_path: Path) -> Client:
    """A browser behind a proxy with TLS."""
    with store.write() as db:
        teachers.set_password(db, teachers.local_teacher(db), OLD)
    app = create_app(store, Settings(public=("chalk.heron.example",)), cache=tmp_path / "made")
    return Client(app, base_url=PUBLIC, client=("192.0.2.7", 50_000))


def sign_in(client: Client, password: str) -> int:
    """Send the sign-in form; return the status."""
    door = client.get("/sign-in").text.split('name="door" value="')[1].split('"')[0]
    form = {"name": "teacher", "password": password, "door": door}
    return client.post("/sign-in", data=form, headers={"origin": PUBLIC}, follow_redirects=False).status_code


def other(client: Client) -> Client:
    """Return another browser at the same app."""
    return Client(client.app, base_url=PUBLIC, client=("192.0.2.7", 50_000))


def test_behind_tls_cookies_are_secure_and_bound_to_the_host(browser: Client) -> None:
    """A server of that name is reached, and no cookie goes without TLS."""
    assert sign_in(browser, OLD) == 303
    assert {"__Host-chalkpoint", "__Host-known", "__Host-door"} <= set(browser.cookies)
    answer = browser.get("/sign-in").headers["set-cookie"].lower()
    assert "secure" in answer
    assert "path=/" in answer
    assert "max-age=63072000" in browser.get("/sign-in").headers["strict-transport-security"]
    door = browser.get("/room").headers["set-cookie"]
    assert door.startswith("__Secure-room-door=")
    assert "; secure" in door.lower()
    assert browser.get("/work").status_code == 200


def test_signing_in_makes_a_new_session_and_ends_the_one_before(browser: Client, store: Store) -> None:
    """What was in the cookie before is worth nothing."""
    sign_in(browser, OLD)
    before = browser.cookies["__Host-chalkpoint"]
    sign_in(browser, OLD)
    assert browser.cookies["__Host-chalkpoint"] != before
    with store.read() as db:
        assert sessions.who(db, before) is None


def test_a_session_that_is_not_used_ends(browser: Client, store: Store) -> None:
    """After twelve hours; one that is used goes on."""
    sign_in(browser, OLD)
    for hours, status in ((11, 200), (13, 303)):
        with store.write() as db:
            db.execute(update(SessionRow).values(seen=time_text(datetime.now(UTC) - timedelta(hours=hours))))
        assert browser.get("/work", follow_redirects=False).status_code == status


def test_a_teacher_sees_and_ends_sessions(browser: Client) -> None:
    """Each is listed by its browser; the others end, one or all; nobody ends another teacher's."""
    agent = "Mozilla/5.0 (Windows NT 10.0) Gecko/20100101 Firefox/140.0"
    lost = other(browser)
    lost.headers["user-agent"] = agent
    sign_in(lost, OLD)
    sign_in(browser, OLD)
    page = browser.get("/account").text
    assert "Firefox on Windows" in page
    name = page.split('name="session" value="')[1].split('"')[0]
    assert lost.get("/account").text.count('name="session"') == 1
    browser.submit("/account/end", origin=PUBLIC, session=name)
    assert lost.get("/work", follow_redirects=False).status_code == 303
    sign_in(lost, OLD)
    browser.submit("/account/end", origin=PUBLIC)
    assert lost.get("/work", follow_redirects=False).status_code == 303
    assert browser.get("/work").status_code == 200


@pytest.mark.parametrize(
    ("old", "new", "again", "said"),
    [
        ("wrong wrong wrong", NEW, NEW, "another one"),
        (OLD, NEW, "the mast logs rain", "differ"),
        (OLD, "password1234", "password1234", "first that anyone would try"),
        (OLD, "short", "short", "give it from 10"),
    ],
)
def test_a_password_is_not_changed_to_anything(
    browser: Client, old: str, new: str, again: str, said: str
) -> None:
    """The old one must be right, the new one given twice and not easily guessed."""
    sign_in(browser, OLD)
    answer = browser.submit("/account/password", origin=PUBLIC, old=old, new=new, again=again)
    assert answer.status_code == 422
    assert said in answer.text
    assert sign_in(browser, OLD) == 303


def test_a_changed_password_ends_every_other_session(browser: Client) -> None:
    """The browser that changed it stays in; the old password does nothing."""
    lost = other(browser)
    sign_in(lost, OLD)
    sign_in(browser, OLD)
    answer = browser.submit("/account/password", origin=PUBLIC, old=OLD, new=NEW, again=NEW)
    assert answer.url.path == "/account"
    assert "password changed" in answer.text
    assert lost.get("/work", follow_redirects=False).status_code == 303
    assert sign_in(lost, OLD) == 403
    assert sign_in(lost, NEW) == 303


def test_the_security_log_says_what_happened_and_no_more(browser: Client, store: Store) -> None:
    """Sign-ins and refusals, by account and browser; a name that nobody has is not kept: it may be a password."""
    sign_in(browser, "wrong")
    sign_in(browser, OLD)
    with store.read() as db:
        me = teachers.teacher_called(db, "teacher")
        assert me is not None
        assert [one.what for one in security.latest(db, me.id)] == ["signed in", "sign-in refused"]
    door = browser.get("/sign-in").text.split('name="door" value="')[1].split('"')[0]
    form = {"name": OLD, "password": "teacher", "door": door}
    browser.post("/sign-in", data=form, headers={"origin": PUBLIC})
    with store.read() as db:
        assert OLD not in str(db.execute(select(SecurityRow.__table__)).all())


@pytest.mark.skipif(os.name != "posix", reason="looks at modes as POSIX has them")
def test_files_are_their_owners_alone(tmp_path: Path) -> None:
    """The database, its log of writes and a backup."""
    before = os.umask(0o022)
    try:
        store = open_store(f"sqlite:///{(tmp_path / 'store.db').as_posix()}")
        with store.write() as db:
            teachers.local_teacher(db)
        back_up(store, tmp_path / "copy.db")
        found = {path.name: stat.S_IMODE(path.stat().st_mode) for path in tmp_path.iterdir()}
        store.close()
    finally:
        os.umask(before)
    assert {"store.db", "store.db-wal", "copy.db"} <= set(found)
    assert set(found.values()) == {0o600}

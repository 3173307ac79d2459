"""Signing in: only where a password was set, limited in tries, and ended for good by signing out."""

from pathlib import Path

import pytest
from sqlalchemy import select

from chalkpoint.records import sessions, teachers, tries
from chalkpoint.records.schema import Base, TryRow
from chalkpoint.records.store import Store
from chalkpoint.web.app import create_app
from chalkpoint.web.settings import Settings
from conftest_web import ORIGIN, Client

PASSWORD = "tide gauge at dawn"  # noqa: S105 - a test's own


@pytest.fixture
def locked(store: Store, tmp_path: Path) -> Client:
    """A browser at an app that other machines may reach."""
    with store.write() as db:
        teachers.set_password(db, teachers.local_teacher(db), PASSWORD)
    app = create_app(store, Settings(lan=True, names=("heron",)), cache=tmp_path / "made")
    return Client(app, base_url="http://heron.local:8000")


def sign_in(client: Client, name: str, password: str, to: str = "") -> object:
    """Send the sign-in form as its page holds it."""
    page = client.get("/sign-in").text
    door = page.split('name="door" value="')[1].split('"')[0]
    form = {"name": name, "password": password, "door": door, "to": to}
    return client.post("/sign-in", data=form, headers={"origin": "http://heron.local:8000"})


def test_nobody_is_let_in_without_the_password(locked: Client) -> None:
    """A page asked for without a session leads to signing in, and back afterwards."""
    answer = locked.get("/mark", follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/sign-in?to=%2Fmark"
    done = sign_in(locked, "teacher", PASSWORD, "/mark")
    assert done.url.path == "/mark"  # type: ignore[attr-defined]


@pytest.mark.parametrize(("name", "password"), [("teacher", "wrong"), ("nobody", PASSWORD), ("teacher", "")])
def test_a_wrong_password_is_refused_in_one_sentence(locked: Client, name: str, password: str) -> None:
    """Neither name nor password is said to be the wrong one."""
    answer = sign_in(locked, name, password)
    assert answer.status_code == 403  # type: ignore[attr-defined]
    assert "do not go together" in answer.text  # type: ignore[attr-defined]
    assert locked.get("/work", follow_redirects=False).status_code == 303


def test_after_many_tries_from_one_place_the_next_waits(locked: Client, store: Store) -> None:
    """The wait is told; a try within it is not looked at, even with the right password."""
    for _ in range(tries.FREE):
        sign_in(locked, "teacher", "wrong")
    with store.write() as db:
        (what,) = set(db.scalars(select(TryRow.what)))
        for _ in range(10):
            tries.note(db, what)
    answer = sign_in(locked, "teacher", PASSWORD)
    assert answer.status_code == 403  # type: ignore[attr-defined]
    assert "Too many wrong passwords came from here; wait" in answer.text  # type: ignore[attr-defined]


def test_signing_out_ends_the_session_for_good(locked: Client, store: Store) -> None:
    """The secret in the cookie is worth nothing afterwards."""
    sign_in(locked, "teacher", PASSWORD)
    secret = locked.cookies["chalkpoint"]
    with store.read() as db:
        assert sessions.who(db, secret) is not None
    locked.submit("/sign-out", origin="http://heron.local:8000")
    with store.read() as db:
        assert sessions.who(db, secret) is None
    assert locked.get("/work", follow_redirects=False).status_code == 303


@pytest.mark.parametrize("to", ["https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example"])
def test_nobody_is_led_elsewhere_by_signing_in(locked: Client, to: str) -> None:
    """Only an address of ours is gone on to."""
    answer = sign_in(locked, "teacher", PASSWORD, to)
    assert answer.url.host == "heron.local"  # type: ignore[attr-defined]
    assert answer.url.path == "/work"  # type: ignore[attr-defined]


def test_the_secret_is_kept_nowhere(locked: Client, store: Store, tmp_path: Path) -> None:
    """The database has the digest of a session and of a password, never the thing itself."""
    sign_in(locked, "teacher", PASSWORD)
    secret = locked.cookies["chalkpoint"]
    with store.read() as db:
        stored = str([db.execute(table.select()).all() for table in Base.metadata.sorted_tables]).encode()
    assert b"argon2" in stored
    store.close()
    stored += b"".join(path.read_bytes() for path in tmp_path.glob("*.db*"))  # a file may have traces too
    assert secret.encode() not in stored
    assert PASSWORD.encode() not in stored


def test_a_password_set_while_serving_is_asked_for_at_once(client: Client, store: Store) -> None:
    """A browser without a session is let in no longer."""
    with store.write() as db:
        teachers.set_password(db, teachers.local_teacher(db), PASSWORD)
    assert client.get("/work", follow_redirects=False).headers["location"].startswith("/sign-in")


def test_a_laptop_opens_its_session_by_itself(client: Client) -> None:
    """Without --lan and without a password the machine's own user is the teacher."""
    assert client.get("/work").status_code == 200
    assert client.base_url == ORIGIN

"""Nobody outside can stop a class: what anyone may ask for is bounded in cost, and lanes keep the others apart."""

from __future__ import annotations

import asyncio
import socket
import threading
from pathlib import Path
from time import monotonic, perf_counter, sleep

import pytest
from sqlalchemy import func, select

from chalkpoint.records import passwords, sessions, teachers, tries
from chalkpoint.records.schema import JobRow, SessionRow, TryRow
from chalkpoint.records.store import Store, Transaction, open_store
from chalkpoint.teaching.practising.session import Practice
from chalkpoint.web import connections, lanes
from chalkpoint.web.app import create_app
from chalkpoint.web.lanes import Budget, BusyError, Lane
from chalkpoint.web.live import practice
from chalkpoint.web.settings import Settings
from conftest_web import ORIGIN, PATIENCE, Client, serve

HERON = "http://heron.local:8000"
PASSWORD = "tide gauge at dawn"  # noqa: S105 - a test's own
PRACTICE = "/practice?operation=subtract&seed=1&level=0"


@pytest.mark.parametrize("format", ["64%2B16", "24%2B8", "binary64", "128", "x"])
def test_practice_takes_the_formats_it_offers_and_no_other(client: Client, format: str) -> None:
    """A format that would take minutes is refused at once, for the summary too."""
    for page in (PRACTICE, PRACTICE.replace("practice?", "practice/summary.txt?")):
        began = perf_counter()
        answer = client.get(f"{page}&format={format}")
        assert answer.status_code == 422
        assert "give one of: 5+3, 6+4, 8+4, 10+6, 12+4" in answer.text
        assert perf_counter() - began < 5


def test_a_session_that_takes_too_long_is_given_up_and_goes_on_from_there(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One step more each time it is asked for, and never the whole of a long session at once."""
    steps = []
    real = practice.ACTS["h"]

    def slow(session: Practice, text: str) -> Practice:
        steps.append(1)
        sleep(0.1)
        return real(session, text)

    practice._after.cache_clear()  # noqa: SLF001 - another test may have been here
    monkeypatch.setitem(practice.ACTS, "h", slow)
    client.app.state.shared.lanes.strangers.seconds = 0.25  # type: ignore[attr-defined]
    page = "/practice?operation=subtract&seed=77&level=3&format=8%2B4" + "&act=h" * 12
    first = client.get(page)
    assert first.status_code == 503
    assert first.headers["retry-after"] == "2"
    assert len(steps) < 8  # none, where the machine took so long to begin
    for _ in range(30):
        if client.get(page).status_code == 200:
            break
    else:
        raise AssertionError("it never came to an end")
    assert len(steps) == 12


def test_a_line_as_long_as_a_book_is_refused(client: Client) -> None:
    """No act of practice is longer than a line."""
    assert client.get(f"{PRACTICE}&format=8%2B4&act=w{'0' * 201}").status_code == 422


def test_a_lane_that_is_full_turns_away_at_once_and_leaves_the_others_alone() -> None:
    """Strangers who fill their threads and their queue are told to come again; pupils do not notice."""
    strangers, pupils = Lane(1, 2, 5), Lane(1, 2, 5)
    go = threading.Event()

    async def here() -> bool:
        return False

    async def run() -> None:
        slow = [asyncio.create_task(strangers.run(lambda _: go.wait(PATIENCE), here)) for _ in range(3)]
        await asyncio.sleep(0.1)
        with pytest.raises(BusyError, match="more is asked"):
            await strangers.run(lambda _: None, here)
        assert await asyncio.wait_for(pupils.run(lambda _: "answered", here), PATIENCE) == "answered"
        go.set()
        await asyncio.gather(*slow)

    _apart(run)


def test_work_is_cancelled_when_its_client_hangs_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """Its next step is its last."""
    monkeypatch.setattr(lanes, "LOOKED_EVERY", 0.02)
    steps = []

    def work(budget: Budget) -> None:
        for _ in range(1000):
            budget.check()
            steps.append(1)
            sleep(0.01)

    async def gone() -> bool:
        return True

    async def run() -> None:
        with pytest.raises(BusyError):
            await Lane(1, 1, 60).run(work, gone)

    _apart(run)
    assert len(steps) < 500


def test_a_form_arrives_whole_however_long_it_takes_to_know_who_sends_it(
    client: Client, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether the client hung up is not asked before the form is read: to ask would take a part of it away."""
    token = client.token()
    monkeypatch.setattr(lanes, "LOOKED_EVERY", 0.01)
    real = sessions.who

    def slow(db: Transaction, secret: str) -> teachers.Teacher | None:
        sleep(0.1)
        return real(db, secret)

    monkeypatch.setattr(sessions, "who", slow)
    answer = client.post(
        "/courses/new", data={"token": token, "name": "12 Heron", "format": "6+4"}, headers={"origin": ORIGIN}
    )
    assert answer.status_code == 200
    assert "12 Heron" in answer.text


def _apart(run: object) -> None:
    """Run in a thread of its own: the browser's driver may hold a loop in this one."""
    failed: list[BaseException] = []

    def work() -> None:
        try:
            asyncio.run(run())  # type: ignore[operator]
        except BaseException as reason:  # noqa: BLE001 - raised again below
            failed.append(reason)

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    if failed:
        raise failed[0]


# === Signing in ===


@pytest.fixture
def locked(store: Store, tmp_path: Path) -> Client:
    """A browser of another machine, at an app that other machines may reach."""
    with store.write() as db:
        teachers.set_password(db, teachers.local_teacher(db), PASSWORD)
    app = create_app(store, Settings(lan=True, names=("heron",)), cache=tmp_path / "made")
    return Client(app, base_url=HERON, client=("192.0.2.7", 50_000))


def sign_in(client: Client, password: str) -> int:
    """Send the sign-in form; return the status."""
    door = client.get("/sign-in").text.split('name="door" value="')[1].split('"')[0]
    form = {"name": "teacher", "password": password, "door": door}
    return client.post("/sign-in", data=form, headers={"origin": HERON}, follow_redirects=False).status_code


def test_no_password_is_hashed_while_others_wait_to_write(
    locked: Client, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another writes while a password is looked at, and the try is counted by then."""
    seen = []
    real = passwords.fits

    def fits(digest: str, password: str) -> bool:
        with store.write() as db:  # on a file there is one writer at a time: this would never end
            seen.append(db.scalar(select(func.count()).select_from(TryRow)))
        return real(digest, password)

    monkeypatch.setattr(passwords, "fits", fits)
    assert sign_in(locked, "wrong") == 403
    assert sign_in(locked, PASSWORD) == 303
    assert seen == [1, 2]


def test_wrong_tries_of_others_keep_nobody_out(locked: Client, store: Store) -> None:
    """Whoever tries at a printed name waits longer and longer; another address and a known browser do not wait."""
    known = Client(locked.app, base_url=HERON, client=("192.0.2.7", 50_000))
    assert sign_in(known, PASSWORD) == 303
    known.submit("/sign-out", origin=HERON)
    for _ in range(tries.FREE):
        assert sign_in(locked, "wrong") == 403
    with store.write() as db:  # more of them, so that the wait outlasts the slowest machine
        for what in db.scalars(select(TryRow.what).distinct()).all():
            for _ in range(6):
                tries.note(db, what)
    assert sign_in(locked, PASSWORD) == 403  # it waits
    elsewhere = Client(locked.app, base_url=HERON, client=("192.0.2.8", 50_000))
    assert sign_in(elsewhere, PASSWORD) == 303
    assert sign_in(known, PASSWORD) == 303  # from the very address that tried
    with store.read() as db:
        kept = " ".join(db.scalars(select(TryRow.what)))
    assert "192.0.2" not in kept
    assert "teacher" not in kept


# === The machine's own teacher ===


@pytest.fixture
def own(store: Store, tmp_path: Path) -> Client:
    """A browser at an app of one machine that printed its address."""
    return Client(create_app(store, Settings(start_token="gauge"), cache=tmp_path / "made"), base_url=ORIGIN)  # noqa: S106 - a test's own


def rows(store: Store, table: type[SessionRow | JobRow]) -> int:
    """Return how many rows a table has."""
    with store.read() as db:
        return db.scalar(select(func.count()).select_from(table)) or 0


def test_whoever_does_not_come_by_the_printed_address_is_nobody(own: Client, store: Store) -> None:
    """Another account of the machine gets no page and leaves no session, however often it asks."""
    for page in ("/work", "/kept", "/start", "/start?token=guess", "/start?token=%E2%82%AC"):
        answer = own.get(page)
        assert answer.status_code == 403
        assert "open the address that chalkpoint serve printed" in answer.text.lower()
    assert rows(store, SessionRow) == 0
    assert own.get("/start?token=gauge&to=/find").url.path == "/find"
    assert rows(store, SessionRow) == 1
    assert own.get("/work").status_code == 200
    assert rows(store, SessionRow) == 1


def test_where_nobody_is_asked_who_he_is_all_browsers_share_one_session(client: Client, store: Store) -> None:
    """Pages asked for without a cookie, by three browsers at four addresses, leave one row."""
    for _ in range(3):
        client.cookies.clear()
        for page in ("/work", "/kept", "/account", "/teach/rooms"):
            assert client.get(page).status_code == 200
    assert rows(store, SessionRow) == 1


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_link_on_another_site_begins_nothing(own: Client, store: Store, site: str) -> None:
    """The page says who led here, and goes on only from here; no search and no job is begun."""
    own.get("/start?token=gauge")
    page = "/find?operation=subtract&where=align-shift+%3D+2"
    begun = own.app.state.shared.searches.kept  # type: ignore[attr-defined]
    answer = own.get(page, headers={"sec-fetch-site": site})
    assert answer.status_code == 403
    assert "A page of another site led here" in answer.text
    assert page.replace("&", "&amp;") in answer.text
    assert not begun
    assert rows(store, JobRow) == 0
    assert own.get(page, headers={"sec-fetch-site": "same-origin"}).status_code == 200


def test_a_session_without_a_password_ends_when_one_is_set(own: Client, store: Store) -> None:
    """Whoever was in without is out."""
    own.get("/start?token=gauge")
    secret = own.cookies["chalkpoint"]
    with store.write() as db:
        teachers.set_password(db, teachers.local_teacher(db), PASSWORD)
    with store.read() as db:
        assert sessions.who(db, secret) is None
    assert own.get("/work", follow_redirects=False).headers["location"].startswith("/sign-in")


# === Connections ===


def send(port: int, *parts: bytes, pause: float) -> float:
    """Send *parts* slowly; return how long the connection was held."""
    began = monotonic()
    with socket.create_connection(("127.0.0.1", port)) as to:
        to.settimeout(PATIENCE)
        try:
            for part in parts:
                to.sendall(part)
                sleep(pause)
            while to.recv(4096):
                pass
        except OSError:
            pass
    return monotonic() - began


HEAD = b"POST /sign-in HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 900000\r\n\r\n"


@pytest.mark.parametrize(
    "parts", [(), (b"GET /work HTTP/1.1\r\n", *[b"X-A: b\r\n"] * 400), (HEAD, *[b"x"] * 400)]
)
def test_silent_and_slow_connections_are_cut_off(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, parts: tuple[bytes, ...]
) -> None:
    """Nothing sent, a head or a body a few bytes at a time: each is cut off, and others are answered meanwhile."""
    for name, value in (("LOOKED_EVERY", 0.1), ("SILENT", 0.5), ("BODY_GRACE", 0.5)):
        monkeypatch.setattr(connections, name, value)
    opened = open_store(f"sqlite:///{(tmp_path / 'store.db').as_posix()}")
    with serve(opened, tmp_path / "made") as running:
        port = int(running.address.rsplit(":", 1)[1])
        assert send(port, *parts, pause=0.05) < 5
        assert send(port, b"GET /room HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n", pause=0) < 5


def test_one_address_holds_so_many_connections_and_no_more(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The next is closed at once; when one ends, another may come."""
    monkeypatch.setattr(connections, "MOST_FROM_ONE", 3)
    monkeypatch.setattr(connections, "HOME", ())
    opened = open_store(f"sqlite:///{(tmp_path / 'store.db').as_posix()}")
    with serve(opened, tmp_path / "made") as running:
        port = int(running.address.rsplit(":", 1)[1])
        held = [socket.create_connection(("127.0.0.1", port)) for _ in range(3)]
        sleep(0.2)
        ask = b"GET /room HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n"
        assert _said(port, ask) == b""
        held.pop().close()
        sleep(0.2)
        assert _said(port, ask).startswith(b"HTTP/1.1 200")
        for one in held:
            one.close()


def _said(port: int, ask: bytes) -> bytes:
    with socket.create_connection(("127.0.0.1", port)) as to:
        to.settimeout(PATIENCE)
        try:
            to.sendall(ask)
            return to.recv(4096)
        except OSError:
            return b""

"""Seats of a live room: nobody takes them all, nobody locks the others out, and a freed seat forgets who sat there."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path
from typing import Any

import pytest

from chalkpoint.records import rooms, sessions
from chalkpoint.records.roomlines import lines_of
from chalkpoint.records.store import Store
from chalkpoint.web.app import create_app
from chalkpoint.web.live import teacher as teacher_pages
from chalkpoint.web.live.pupil import MOST_OF_BROWSER
from chalkpoint.web.settings import Settings
from conftest_web import ORIGIN, TOKEN, Client

WORD = re.compile(r"word <b>([a-z ]+)</b>")
DOOR = re.compile(r'name="room-door" value="([^"]+)"')
LINE = "00011101"


class Lesson:
    """A room that is open, its teacher and the browsers that come."""

    def __init__(self, store: Store, folder: Path) -> None:
        self.store = store
        self.app = create_app(store, Settings(), cache=folder / "made")
        self.teacher = Client(self.app, base_url=ORIGIN)
        self.path = self.teacher.submit(
            "/teach/rooms", questions="subtract 8.875, 3.6875", seats="40"
        ).url.path
        found = WORD.search(self.teacher.get(self.path).text)
        assert found
        self.word = found[1]
        self.act("open")

    def act(self, name: str) -> None:
        """Press one of the teacher's buttons."""
        self.teacher.submit(f"{self.path}/act", act=name)

    def browser(self, address: str) -> Client:
        """Return a browser of another machine."""
        return Client(self.app, base_url=ORIGIN, client=(address, 50_000))

    def came(self) -> int:
        """Return how many seats are taken."""
        with self.store.read() as db:
            return sum(rooms.came(db, [self.path.rsplit("/", 1)[1]]).values())


@pytest.fixture
def lesson(store: Store, tmp_path: Path) -> Lesson:
    """A room in its first round."""
    return Lesson(store, tmp_path)


def come_in(browser: Client, word: str, seat: int, code: str = "") -> Any:
    """Send the form of the room's door, by a browser that may sit already."""
    door = browser.cookies.get("room-door") or DOOR.search(browser.get("/room").text)[1]  # type: ignore[index]
    form = {"room-door": door, "word": word, "seat": str(seat), "code": code}
    return browser.post("/room", data=form, headers={"origin": ORIGIN})


def write(browser: Client, line: str) -> None:
    """Send a line."""
    token = TOKEN.search(browser.get("/room/seat").text)
    assert token
    browser.post(
        "/room/seat/line", data={"token": token[1], "round": "1", "line": line}, headers={"origin": ORIGIN}
    )


def test_a_browser_has_one_seat(lesson: Lesson) -> None:
    """Whoever takes another gives up the first."""
    one = lesson.browser("192.0.2.1")
    for seat in (1, 2, 3):
        assert come_in(one, lesson.word, seat).url.path == "/room/seat"
    assert lesson.came() == 1


def test_an_address_takes_five_seats_and_no_more_unless_the_teacher_says_so(lesson: Lesson) -> None:
    """The sixth is told why; another address comes in; a slip does; and all do once the teacher lets them."""
    for seat in range(1, 6):
        assert come_in(lesson.browser("192.0.2.1"), lesson.word, seat).url.path == "/room/seat"
    assert "5 seats are taken from your address" in come_in(lesson.browser("192.0.2.1"), lesson.word, 6).text
    assert come_in(lesson.browser("192.0.2.2"), lesson.word, 6).url.path == "/room/seat"
    slips = lesson.teacher.submit(f"{lesson.path}/slips").text
    code = re.findall(r'class="bits">([^<]+)<', slips)[6]
    assert come_in(lesson.browser("192.0.2.1"), "", 0, code).url.path == "/room/seat"
    lesson.teacher.submit(f"{lesson.path}/let-in", newcomers="open", addresses="any")
    assert come_in(lesson.browser("192.0.2.1"), lesson.word, 8).url.path == "/room/seat"
    assert lesson.came() == 8


def test_a_closed_room_lets_no_newcomer_in_and_keeps_who_is_there(lesson: Lesson) -> None:
    """Until it is opened again."""
    here, late = lesson.browser("192.0.2.1"), lesson.browser("192.0.2.2")
    come_in(here, lesson.word, 1)
    lesson.teacher.submit(f"{lesson.path}/let-in", newcomers="closed", addresses="few")
    assert "closed to newcomers" in come_in(late, lesson.word, 2).text
    assert here.get("/room/seat").url.path == "/room/seat"
    lesson.teacher.submit(f"{lesson.path}/let-in", newcomers="open", addresses="few")
    assert come_in(late, lesson.word, 2).url.path == "/room/seat"


def test_every_seat_is_freed_at_once(lesson: Lesson) -> None:
    """Whoever sat there is led to the door; what was written stays counted."""
    pupils = [lesson.browser(f"192.0.2.{at}") for at in (1, 2)]
    for seat, pupil in enumerate(pupils, start=1):
        come_in(pupil, lesson.word, seat)
        write(pupil, LINE)
    lesson.teacher.submit(f"{lesson.path}/free", all="yes")
    assert lesson.came() == 0
    assert all(pupil.get("/room/seat").url.path == "/room" for pupil in pupils)
    with lesson.store.read() as db:
        assert set(lines_of(db, lesson.path.rsplit("/", 1)[1], 1)) == {1, 2}


def test_a_freed_seat_shows_nothing_of_who_sat_there(lesson: Lesson) -> None:
    """The next on that seat sees an empty line; its own it sees."""
    before, after = lesson.browser("192.0.2.1"), lesson.browser("192.0.2.2")
    come_in(before, lesson.word, 1)
    write(before, LINE)
    assert "0.0011101" in before.get("/room/seat").text
    lesson.teacher.submit(f"{lesson.path}/free", seat="1")
    come_in(after, lesson.word, 1)
    assert "0.0011101" not in after.get("/room/seat").text
    write(after, "01110110")
    assert "0.1110110" in after.get("/room/seat").text


def test_wrong_words_of_one_browser_keep_no_other_out(lesson: Lesson) -> None:
    """It waits itself, even with the right word; others, and other rooms, do not notice."""
    guessing = lesson.browser("192.0.2.1")
    for _ in range(MOST_OF_BROWSER):
        assert "No room has the word" in come_in(guessing, "dune heron", 1).text
    assert "wait a few minutes" in come_in(guessing, lesson.word, 1).text
    assert come_in(lesson.browser("192.0.2.1"), lesson.word, 1).url.path == "/room/seat"
    assert come_in(lesson.browser("192.0.2.2"), lesson.word, 2).url.path == "/room/seat"


# === Open pages ===


class Told:
    """A page that is open, asked as its server asks."""

    def __init__(self, client: Client, path: str, app: Any) -> None:
        self.client, self.path, self.app = client, path, app
        self.opened = asyncio.Event()

    async def run(self) -> None:
        """Listen until the server ends the stream."""
        cookies = "; ".join(f"{name}={value}" for name, value in self.client.cookies.items())
        scope = {
            "type": "http",
            "http_version": "1.1",
            "method": "GET",
            "path": self.path,
            "raw_path": self.path.encode(),
            "root_path": "",
            "scheme": "http",
            "query_string": b"",
            "headers": [(b"host", b"127.0.0.1:8000"), (b"cookie", cookies.encode())],
            "client": ("192.0.2.1", 50_000),
            "server": ("127.0.0.1", 8000),
        }
        never = asyncio.Event()
        asked = False

        async def receive() -> dict[str, Any]:
            nonlocal asked
            if not asked:
                asked = True
                return {"type": "http.request", "body": b"", "more_body": False}
            await never.wait()
            return {"type": "http.disconnect"}

        async def send(message: Any) -> None:
            if b"event:" in message.get("body", b""):
                self.opened.set()

        await self.app(scope, receive, send)


def ends(lesson: Lesson, client: Client, path: str, end: Any) -> bool:
    """Tell whether an open page's stream ends after *end*."""
    told = Told(client, path, lesson.app)

    async def run() -> bool:
        lesson.app.state.shared.hub.start()
        listening = asyncio.create_task(told.run())
        await asyncio.wait_for(told.opened.wait(), 20)
        await asyncio.to_thread(end)
        try:
            await asyncio.wait_for(listening, 20)
        except TimeoutError:
            return False
        return True

    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(1) as apart:
        return apart.submit(asyncio.run, run()).result()


@pytest.mark.parametrize("how", ["seat", "all", "closed"])
def test_a_pupils_open_page_ends_with_the_seat(lesson: Lesson, how: str) -> None:
    """When the seat is freed, when all are, and when the room is closed."""
    pupil = lesson.browser("192.0.2.1")
    come_in(pupil, lesson.word, 1)
    acts = {
        "seat": lambda: lesson.teacher.submit(f"{lesson.path}/free", seat="1"),
        "all": lambda: lesson.teacher.submit(f"{lesson.path}/free", all="yes"),
        "closed": lambda: lesson.teacher.submit(f"{lesson.path}/close"),
    }
    assert ends(lesson, pupil, "/room/seat/events", acts[how])


def test_a_teachers_open_page_ends_with_the_session(lesson: Lesson, monkeypatch: pytest.MonkeyPatch) -> None:
    """Signing out in one window ends what another is told; so does a session that ends in the database."""
    assert ends(lesson, lesson.teacher, f"{lesson.path}/events", lambda: lesson.teacher.submit("/sign-out"))
    lesson.teacher.get("/work")
    monkeypatch.setattr(teacher_pages, "BREATH", 0.2)

    def end() -> None:
        with lesson.store.write() as db:
            sessions.close_session(db, lesson.teacher.cookies["chalkpoint"])

    assert ends(lesson, lesson.teacher, f"{lesson.path}/events", end)
